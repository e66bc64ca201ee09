package rules

import "pappus/record"

// FromFile reads out of a flight file what a rule text compares. A package is
// one box with everything in it.
func FromFile(f *record.Flight) Facts {
	facts := Facts{Hung: f.TrainMass()}
	above := true
	for i := range f.Train {
		p := &f.Train[i]
		switch p.Kind {
		case record.Parachute:
			above = false
		case record.Box:
			facts.Packages = append(facts.Packages, Package{Name: p.Name, Mass: p.Total(), Size: p.Size.Edges})
		case record.Line:
			facts.Lines = append(facts.Lines, Line{Name: p.Name, Length: p.Length.Value, BreakingLoad: p.BreakingLoad.Value, AboveCanopy: above})
		case record.Reflector, record.Other:
		}
	}
	for _, r := range f.Reporters {
		facts.Reporters = append(facts.Reporters, Reporter{Name: r.Name, Kind: r.Kind})
	}
	return facts
}
