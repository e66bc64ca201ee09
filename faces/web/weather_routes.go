package web

// weatherRoutes are the rows for how forecasts come and go, and for what hours,
// cycles and seasons say.
func weatherRoutes() []route {
	const missing, unfit = 404, 422
	asked := []int{400, missing, unfit, 503}
	return []route{
		{method: get, path: "/weather-sources", id: "weatherSources", text: "The archives that a forecast can be fetched from, and the fetch that is under way. Nothing is asked of them.", status: 200, answer: sourcesAnswer{}, handle: (*Server).sources},
		{method: post, path: "/weather-prune", id: "pruneWeather", text: "Remove fetched cycles but for the newest of each source; restore brings each back until the program ends.", request: pruneRequest{}, status: 200, answer: prunedAnswer{}, refusals: []int{400}, handle: (*Server).pruneWeather},
		{method: post, path: "/flights/{id}/fetch", id: "fetchWeather", text: "Fetch what a flight needs of a forecast, as a job: the only work that asks anything of another machine. Its result holds the id to choose the forecast by.", request: fetchRequest{}, status: 200, answer: jobReply{}, refusals: asked, handle: (*Server).fetch},
		{method: post, path: "/flights/{id}/winds", id: "winds", text: "The wind by height over the launch, with how sure it is.", request: windsRequest{}, status: 200, answer: contractDocument{}, refusals: []int{400, missing, unfit}, handle: (*Server).winds},
		{method: post, path: "/flights/{id}/hours", id: "startHours", text: "Compare launch hours at every site of the file. The answer has a job where that takes a moment, and none where it is known.", request: studyRequest{}, status: 200, answer: studyReply{}, refusals: asked, handle: startStudy(ofHours)},
		{method: post, path: "/flights/{id}/trend", id: "startTrend", text: "Fly the same launch through every cycle that is chosen.", request: studyRequest{}, status: 200, answer: studyReply{}, refusals: asked, handle: startStudy(ofTrend)},
		{method: post, path: "/flights/{id}/season", id: "startSeason", text: "Fly the past days that are chosen, at the flight's own hour: a season, not a forecast.", request: studyRequest{}, status: 200, answer: studyReply{}, refusals: asked, handle: startStudy(ofSeason)},
		{method: get, path: "/studies/{key}", id: "study", text: "Hours, a trend or a season that was worked out.", status: 200, answer: studyAnswer{}, refusals: []int{missing}, handle: (*Server).shownStudy},
		{method: get, path: "/studies/{key}/hours/{number}", id: "hour", text: "Where one hour comes down, with its regions. Hours are counted from 0 in the order of the answer.", status: 200, answer: hourAnswer{}, refusals: []int{missing}, handle: (*Server).hour},
	}
}
