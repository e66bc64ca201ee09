package cli

// commands lists the program's commands in the order of the help.
func commands() []command {
	return []command{demoCommand, serveCommand, newCommand, sketchCommand, planCommand, boxCommand, readyCommand, costCommand, gasCommand, fillCommand, reportersCommand, rulesCommand, oddsCommand, hoursCommand, trendCommand, seasonCommand, groundCommand, papersCommand, weatherGetCommand, weatherListCommand, weatherShowCommand, weatherAtCommand, weatherImportCommand, weatherPruneCommand, weatherSettingsCommand}
}
