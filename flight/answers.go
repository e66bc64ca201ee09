package flight

import (
	"context"
	"errors"

	"pappus/desk/rules"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/record"
)

// Answers is what the Plan place shows of a flight as it is being changed.
type Answers struct {
	Document []byte           // with the edits made
	Written  []record.Written // what the document says, in its own words
	Faults   record.Faults    // what must change before there are answers
	Trouble  string           // why a file without faults has no plan
	Plan     *sizing.Answer
	Course   *sizing.Course
	Rules    *rules.Answer // nil where the file names no rule text
}

// AnswersOptions shape the answers.
type AnswersOptions struct {
	Members int
	Workers int
	System  unit.System
	Box     bool // follow the boxes too, which takes several times as long as all else
}

// answersSeed is the same for every change, so that an answer moves only because
// the flight did.
const answersSeed = 1

// Answer makes edits to a document and answers the flight that it then is.
func Answer(ctx context.Context, document []byte, edits []record.Edit, o AnswersOptions) (*Answers, error) {
	document, err := record.Apply(document, edits)
	if err != nil {
		return nil, err
	}
	a := &Answers{Document: document, Written: record.Outline(document)}
	f, err := record.Parse("flight", document)
	if err != nil {
		if errors.As(err, &a.Faults) {
			return a, nil
		}
		return nil, err
	}
	if f.Rules != "" {
		if a.Rules, err = Rules(f, f.Rules); err != nil {
			a.Trouble = err.Error()
		}
	}
	parts, err := sizing.FromFile(f)
	if err != nil {
		a.Trouble = err.Error()
		return a, nil
	}
	setting := sizing.StandardSetting(f)
	options := sizing.Options{Members: o.Members, Seed: answersSeed, Workers: o.Workers, System: o.System, Why: []string{sizing.AllReasons}}
	if a.Plan, err = parts.Work(ctx, setting, options); err == nil {
		a.Course, err = parts.Course(ctx, setting, options)
	}
	if err == nil && o.Box {
		err = addBox(ctx, a.Plan, parts, setting, options)
	}
	if err != nil {
		if ctx.Err() != nil {
			return nil, err
		}
		a.Plan, a.Trouble = nil, err.Error()
	}
	return a, nil
}

// Wished answers a wish about a flight with changed flights.
func Wished(document []byte, wish string, system unit.System) (*sizing.Offers, error) {
	f, err := record.Parse("flight", document)
	if err != nil {
		return nil, err
	}
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, err
	}
	setting := sizing.StandardSetting(f)
	setting.Ground = trajectory.Flat(f.Launch.Elevation)
	if err := parts.Fill(setting, system); err != nil {
		return nil, err
	}
	return parts.Wish(&setting, wish, system), nil
}
