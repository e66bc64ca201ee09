package flight

import (
	"context"
	"fmt"
	"time"

	"pappus/desk/ready"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// Step is one thing to do before a launch.
type Step struct {
	ID    string `json:"id"`
	Text  string `json:"text"`           // what to do, in a few words
	Why   string `json:"why,omitempty"`  // what is behind it
	Place string `json:"place"`          // where it is done: text, plan, weather, odds, papers
	Line  int    `json:"line,omitempty"` // of the written form, where one is meant
	Lacks bool   `json:"missing"`        // something is missing; the others are the usual course
}

// Steps are what stands between a flight as it is and its launch, in the order to
// take them. The first is the next thing to do.
type Steps struct {
	Steps   []Step `json:"steps"`
	Missing int    `json:"missing"`
}

// Beside is what is known of a flight beside its document.
type Beside struct {
	Forecasts []Covers
	Looked    bool // the odds of this document were flown on one of them
}

// Covers is a time that a forecast says something of.
type Covers struct {
	From, To time.Time
	Cycle    time.Time // zero: it is a table of winds, for any time
}

const (
	// reach is how far ahead forecasts speak at all: the longest global runs end
	// after 16 days.
	reach = 16 * 24 * time.Hour
	// oldAfter is two cycles of six hours and half a day for them to be posted in;
	// judgement.
	oldAfter = 12 * time.Hour
	// handsOn is how long before the launch papers are no more to be printed;
	// judgement.
	handsOn = 3 * time.Hour
)

// stops are the cautions that a flight is not to be launched with, and what to do.
var stops = map[string]string{
	"gas-short":        "Get more gas, or fill less",
	"no-weak-link":     "Hang a weak link above the parachute",
	"weak-line-below":  "Strengthen the line below the parachute",
	"box-above-canopy": "Hang the parachute above the box",
}

// Next answers what is to be done next for a flight, as of a time.
func Next(ctx context.Context, document []byte, beside Beside, now time.Time, system unit.System) (*Steps, error) {
	s := &Steps{Steps: []Step{}}
	if missing := Describe(document).Missing; len(missing) > 0 {
		for _, m := range missing {
			text := fmt.Sprintf("Mend line %d", m.Line)
			if m.Key != "" {
				text += ", " + m.Key
			}
			s.lack("fault", "text", text, m.Text)
			s.Steps[len(s.Steps)-1].Line = m.Line
		}
		return s, nil
	}
	f, err := record.Parse("flight", document)
	if err != nil {
		return nil, err
	}
	parts, err := sizing.FromFile(f)
	if err == nil {
		err = s.cautions(ctx, f, parts, system)
	}
	if err != nil {
		if ctx.Err() != nil {
			return nil, err
		}
		s.lack("trouble", "plan", "Change the parts until they fly", err.Error())
		return s, nil
	}
	if now.After(f.Launch.Time) {
		s.lack("past", "plan", "Choose a launch time to come", "the one in the file has passed")
		return s, nil
	}
	s.weather(f, beside, now)
	for _, m := range ready.Of(parts, system).Missing {
		s.lack("test-"+m.ID, "text", "Ground test: "+m.Text, "what is not tested stays as doubtful as is typical")
	}
	if f.Launch.Time.Sub(now) > handsOn {
		s.course("papers", "papers", "Print the papers", "notice, lists and timeline stand on the flight and its forecast: print them last")
	}
	s.course("launch", "plan", "Launch, by the go and no-go list", "local rules and the people on the field have the last word")
	return s, nil
}

func (s *Steps) lack(id, place, text, why string) {
	s.Steps = append(s.Steps, Step{ID: id, Text: text, Why: why, Place: place, Lacks: true})
	s.Missing++
}

func (s *Steps) course(id, place, text, why string) {
	s.Steps = append(s.Steps, Step{ID: id, Text: text, Why: why, Place: place})
}

// cautions works the flight out and takes the cautions that stop it.
func (s *Steps) cautions(ctx context.Context, f *record.Flight, parts *sizing.Parts, system unit.System) error {
	plan, err := parts.Work(ctx, sizing.StandardSetting(f), sizing.Options{System: system, NominalOnly: true, Workers: 1})
	if err != nil {
		return err
	}
	for _, c := range plan.Cautions {
		if text, stop := stops[c.ID]; stop {
			s.lack(c.ID, "plan", text, c.Text+" "+c.Why)
		}
	}
	return nil
}

// weather says what is missing of forecast and odds. A launch that no forecast
// can reach yet lacks nothing: its other steps come first.
func (s *Steps) weather(f *record.Flight, beside Beside, now time.Time) {
	launch := f.Launch.Time
	var newest time.Time
	covered, table := false, false
	for _, c := range beside.Forecasts {
		if c.Cycle.IsZero() {
			covered, table = true, true
			continue
		}
		if !launch.Before(c.From) && !launch.After(c.To) {
			covered = true
			if c.Cycle.After(newest) {
				newest = c.Cycle
			}
		}
	}
	switch {
	case !covered && launch.Sub(now) > reach:
		return
	case !covered:
		s.lack("forecast", "weather", "Get a forecast for the launch", "none that is here covers it, and without one there are no odds")
		return
	case !table && now.Sub(newest) > oldAfter:
		s.lack("forecast-old", "weather", "Get a newer forecast", fmt.Sprintf("the newest here is the cycle of %s, and newer ones are out", newest.UTC().Format("2006-01-02 15:04 UTC")))
	}
	if !beside.Looked {
		s.lack("odds", "odds", "Look where it lands", "the odds of the flight as it stands were not looked at since the app was opened")
	}
}
