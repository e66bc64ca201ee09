package web

import (
	"net/http"

	"pappus/desk/sizing"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

// fillRequest is what was measured on the field, each as the person typed it
// with its unit; what was not measured is absent.
type fillRequest struct {
	Document string            `json:"document,omitempty"`
	Units    string            `json:"units,omitempty"`
	Measured map[string]string `json:"measured"`
}

type fillAnswer struct {
	Faults []missingAnswer   `json:"faults"`
	Fill   *contractDocument `json:"fill,omitempty"`
}

// fill answers what to weigh, and what the measured lift means.
func (s *Server) fill(r *http.Request) (any, error) {
	var q fillRequest
	if err := readJSON(r, &q); err != nil {
		return nil, err
	}
	document, system, err := s.asked(r, q.Document, q.Units)
	if err != nil {
		return nil, err
	}
	f, err := record.Parse("flight", document)
	if err != nil {
		return nil, badRequest("%v", err)
	}
	answer := fillAnswer{Faults: []missingAnswer{}}
	day := measuredDay(q.Measured, &answer)
	if len(answer.Faults) > 0 {
		return answer, nil
	}
	found, err := flight.FillDay(r.Context(), f, flight.Sky{}, day, flight.PlanOptions{Members: drawnForAnswers, Seed: 1, System: system})
	if err != nil {
		return nil, refusedUnlessGone(r, err)
	}
	answer.Fill = documentOf(found)
	return answer, nil
}

// measuredDay reads what was typed; what cannot be is said key by key.
func measuredDay(typed map[string]string, answer *fillAnswer) sizing.FillDay {
	var day sizing.FillDay
	var bottle, before, after record.Quantity
	known := map[string]bool{}
	for _, m := range []struct {
		key       string
		kind      unit.Kind
		low, high float64
		expected  string
		into      *record.Quantity
	}{
		{"weighed", unit.Mass, 0, 100, "a mass from 0 to 100 kg", &day.Weighed},
		{"hangs", unit.Mass, 0, 100, "a mass from 0 to 100 kg", &day.Hangs},
		{"train", unit.Mass, 0, 100, "a mass from 0 to 100 kg", &day.Train},
		{"air_temperature", unit.Temperature, 200, 340, "a temperature from -73 to 67 °C", &day.Air},
		{"gas_temperature", unit.Temperature, 200, 340, "a temperature from -73 to 67 °C", &day.Gas},
		{"air_pressure", unit.Pressure, 3e4, 1.1e5, "a pressure from 300 to 1100 hPa, as it is there", &day.Pressure},
		{"wind", unit.Speed, 0, 60, "a speed from 0 to 60 m/s", &day.Wind},
		{"bottle", unit.Volume, 1e-4, 10, "a water volume, such as 49 L", &bottle},
		{"gauge_before", unit.Pressure, 0, 1e8, "a pressure from 0 to 1000 bar", &before},
		{"gauge_after", unit.Pressure, 0, 1e8, "a pressure from 0 to 1000 bar", &after},
	} {
		known[m.key] = true
		text := typed[m.key]
		if text == "" {
			continue
		}
		value, err := unit.Parse(text, m.kind)
		if err != nil {
			answer.Faults = append(answer.Faults, missingAnswer{Key: m.key, Text: err.Error()})
			continue
		}
		if value < m.low || value > m.high {
			answer.Faults = append(answer.Faults, missingAnswer{Key: m.key, Text: "impossible on a field: expected " + m.expected})
			continue
		}
		*m.into = record.Given(value)
	}
	for key := range typed {
		if !known[key] {
			answer.Faults = append(answer.Faults, missingAnswer{Key: key, Text: "nothing of that name is measured"})
		}
	}
	switch given := before.Given || after.Given || bottle.Given; {
	case given && !(before.Given && after.Given && bottle.Given):
		answer.Faults = append(answer.Faults, missingAnswer{Key: "gauge_after", Text: "a gauge says something with all three: the bottle's water volume, the reading before and the reading after"})
	case given && after.Value > before.Value:
		answer.Faults = append(answer.Faults, missingAnswer{Key: "gauge_after", Text: "expected a reading no higher than the one before"})
	case given:
		day.Gauges = []sizing.GaugePair{{Water: bottle.Value, Before: before.Value, After: after.Value}}
	}
	return day
}
