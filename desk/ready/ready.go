// Package ready is the ledger of ground tests: how each is done in a kitchen or a
// yard, what passes, what was done, and what its figures put in place of what is
// typical.
package ready

import (
	"fmt"
	"slices"
	"time"

	"pappus/desk/box"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// State is where a test stands.
type State string

// The states, from open to done.
const (
	Missing State = "missing"
	Failed  State = "failed"
	Stale   State = "stale" // passed too long before the launch
	Passed  State = "passed"
)

// Ledger is what was tested and what was not.
type Ledger struct {
	Name    string            `json:"name,omitempty"`
	Launch  string            `json:"launch_time"`
	Tests   []Row             `json:"tests"`
	Missing []MissingTest     `json:"missing"` // failed and stale ones among them
	Unknown []string          `json:"not_recognised,omitempty"`
	Done    int               `json:"passed"`
	Text    string            `json:"text"`
	Used    []sizing.Measured `json:"measured"`
	Effects []Effect          `json:"effects,omitempty"` // only when asked for
}

// Row is one test of this flight.
type Row struct {
	ID       string   `json:"id"` // the word of `what` in the flight file
	Part     string   `json:"part,omitempty"`
	Name     string   `json:"name"`
	How      []string `json:"how"`
	Pass     string   `json:"pass_mark"`
	Write    string   `json:"write"` // what to put into the file
	Replaces string   `json:"replaces"`
	Danger   string   `json:"caution,omitempty"`
	State    State    `json:"state"`
	Date     string   `json:"date,omitempty"`
	Result   string   `json:"result,omitempty"`
	By       string   `json:"by,omitempty"`
	Finding  string   `json:"finding,omitempty"` // what its figures say
	Edit     *Edit    `json:"edit,omitempty"`
}

// Edit is a change of the flight file that a measured figure asks for.
type Edit struct {
	Path string `json:"path"`
	From string `json:"from,omitempty"`
	Text string `json:"text"`
}

// MissingTest is one line of the strip.
type MissingTest struct {
	ID    string `json:"id"`
	Part  string `json:"part,omitempty"`
	State State  `json:"state"`
	Text  string `json:"text"`
	Odds  bool   `json:"widens_odds"` // the landing would be surer after it
}

// Effect is what a test would do to the odds.
type Effect struct {
	ID     string `json:"id"`
	Before Radii  `json:"without"`
	After  Radii  `json:"with"`
	Text   string `json:"text"`
}

// Radii are distances from the median landing that hold a half and nine tenths.
type Radii struct {
	Radius50 float64 `json:"radius_50_m"`
	Radius90 float64 `json:"radius_90_m"`
}

// freshFor is how long before the launch a pass still counts, where things change
// by themselves: cells, clocks, settings. Judgement.
const freshFor = 60 * 24 * time.Hour

// Of answers the ledger of a flight, in the units that its texts are to be read in.
func Of(p *sizing.Parts, system unit.System) *Ledger {
	f := p.File
	l := &Ledger{Name: f.Name, Launch: f.Launch.Time.Format(time.RFC3339), Tests: []Row{}, Missing: []MissingTest{}, Used: []sizing.Measured{}}
	l.Used = append(l.Used, p.Measured...)
	for _, k := range kindsFor(f) {
		l.Tests = append(l.Tests, k.row(f, p, system))
	}
	for i := range l.Tests {
		r := &l.Tests[i]
		if r.State == Passed {
			l.Done++
			continue
		}
		_, odds := sizing.AsIfTested(p.Spread, r.ID)
		l.Missing = append(l.Missing, MissingTest{ID: r.ID, Part: r.Part, State: r.State, Text: r.strip(), Odds: odds})
	}
	for i := range f.Tests {
		if t := &f.Tests[i]; !slices.ContainsFunc(kinds(), func(k kind) bool { return k.is(t) }) {
			l.Unknown = append(l.Unknown, fmt.Sprintf("%s (%s): kept, but no test of that name is known here", t.What, dateOf(t)))
		}
	}
	l.Text = fmt.Sprintf("%d of %d tests are passed.", l.Done, len(l.Tests))
	if len(l.Missing) > 0 {
		l.Text += fmt.Sprintf(" %d are open: what is not tested stays as doubtful as is typical.", len(l.Missing))
	}
	return l
}

func (r *Row) strip() string {
	of := ""
	if r.Part != "" {
		of = " of " + r.Part
	}
	switch r.State {
	case Failed:
		return fmt.Sprintf("%s%s failed on %s", r.Name, of, r.Date)
	case Stale:
		return fmt.Sprintf("%s%s was passed long ago, on %s: once more", r.Name, of, r.Date)
	}
	return fmt.Sprintf("%s%s is not done", r.Name, of)
}

func dateOf(t *record.Test) string {
	return fmt.Sprintf("%04d-%02d-%02d", t.Date.Year, int(t.Date.Month), t.Date.Day)
}

// is tells whether a test of the file is of this kind, by its name or another one.
func (k *kind) is(t *record.Test) bool {
	return sizing.Is(t, k.id) || slices.ContainsFunc(k.also, func(name string) bool { return sizing.Is(t, name) })
}

// row puts what the file says of a test beside what it is. The latest counts.
func (k *kind) row(f *record.Flight, p *sizing.Parts, system unit.System) Row {
	r := Row{ID: k.id, Part: k.part, Name: k.name, How: k.how, Pass: k.pass(f, system), Write: k.write, Replaces: k.replaces, Danger: k.danger, State: Missing}
	last := sizing.LatestTest(f, func(t *record.Test) bool {
		other := t.Part != "" && k.part != "" && t.Part != k.part
		return k.is(t) && !other && (t.Part != "" || !k.several)
	})
	if last == nil {
		return r
	}
	r.Date, r.Result, r.By = dateOf(last), last.Result, last.By
	switch {
	case last.Result != "pass":
		r.State = Failed
	case k.fades && f.Launch.Time.Sub(sizing.TestDay(last)) > freshFor:
		r.State = Stale
	default:
		r.State = Passed
	}
	if k.finding != nil {
		r.Finding, r.Edit = k.finding(f, p, last, system)
	}
	return r
}

// boxOf answers the box that a test belongs to.
func boxOf(f *record.Flight, name string) *record.Part {
	for i := range f.Train {
		if p := &f.Train[i]; p.Kind == record.Box && (name == "" || p.Name == name) {
			return p
		}
	}
	return nil
}

// soakFinding says what a freezer soak measured.
func soakFinding(f *record.Flight, _ *sizing.Parts, t *record.Test, _ unit.System) (string, *Edit) {
	part := boxOf(f, t.Part)
	if part == nil {
		return "no box of that name is in the file", nil
	}
	soak, ok := sizing.SoakOf(f, part)
	if !ok {
		return "its figures say no loss: start, outside, temperature at the end and time are wanted, the end warmer than the outside; or power with the two temperatures it held", nil
	}
	wall, known := box.Measured(part, soak)
	text := ""
	if soak.TimeConstant > 0 {
		text = fmt.Sprintf("time constant %s", unit.FormatDuration(soak.TimeConstant))
	} else {
		text = fmt.Sprintf("%.2f W for each kelvin, its film of air counted", soak.Conductance)
	}
	if !known {
		return text + "; size and wall of the box are wanted to use it", nil
	}
	return fmt.Sprintf("%s: the wall loses %.2f W/K instead of the %.2f worked out, good to %s", text, wall.After, wall.Before, unit.FormatShare(soak.Error)), nil
}

// measuredFinding says what became of a test that reaches the odds.
func measuredFinding(_ *record.Flight, p *sizing.Parts, t *record.Test, _ unit.System) (string, *Edit) {
	for _, m := range p.Measured {
		if m.Test == t.What {
			return m.Text, nil
		}
	}
	return "", nil
}

// pullFinding compares a measured load with the file's.
func pullFinding(f *record.Flight, _ *sizing.Parts, t *record.Test, _ unit.System) (string, *Edit) {
	if !t.Load.Given {
		return "its load is not in the file: nothing is replaced", nil
	}
	for i := range f.Train {
		p := &f.Train[i]
		if p.Kind != record.Line && p.Kind != record.Other || t.Part == "" || p.Name != t.Part {
			continue
		}
		e := &Edit{Path: fmt.Sprintf("train[%d].breaking_load", i+1), Text: fmt.Sprintf("%.0f N", t.Load.Value)}
		if p.BreakingLoad.Given {
			e.From = fmt.Sprintf("%.0f N", p.BreakingLoad.Value)
			if e.From == e.Text {
				return "the file has the measured load", nil
			}
		}
		return fmt.Sprintf("parted at %.0f N: put it in place of the label's, for the rules' sake too", t.Load.Value), e
	}
	return fmt.Sprintf("parted at %.0f N; name the line with part, as the train calls it", t.Load.Value), nil
}

// runDownFinding compares the hours of cells with what was worked out.
func runDownFinding(f *record.Flight, _ *sizing.Parts, t *record.Test, system unit.System) (string, *Edit) {
	if !t.Time.Given {
		return "its time is not in the file: nothing is replaced", nil
	}
	for i := range f.Train {
		for k := range f.Train[i].Items {
			item := &f.Train[i].Items[k]
			if item.Name == "" || item.Name != t.Part || !t.Power.Given {
				continue
			}
			room := t.Time.Value * t.Power.Value
			text := fmt.Sprintf("gave %s in %s", unit.FormatElectricEnergy(room), unit.FormatDuration(t.Time.Value))
			if t.Outside.Given {
				kept := box.ChemistryOf(item.Chemistry).Share(t.Outside.Value)
				if kept <= 0 {
					return text + ", where such cells are taken to give nothing", nil
				}
				room /= kept
				text += fmt.Sprintf(" at %s", unit.FormatTemperature(t.Outside.Value, system))
			}
			each := room / float64(max(item.Count, 1))
			e := &Edit{Path: fmt.Sprintf("train[%d].item[%d].energy", i+1, k+1), Text: fmt.Sprintf("%.4g Wh", each/unit.WattHour)}
			return text + fmt.Sprintf(": %s of each at room temperature, by what its chemistry keeps", unit.FormatElectricEnergy(each)), e
		}
	}
	return fmt.Sprintf("ran for %s; name the cells with part and give power to learn their content", unit.FormatDuration(t.Time.Value)), nil
}

// EffectOf says what a test would do to the odds.
func EffectOf(id string, without, with Radii, system unit.System) Effect {
	e := Effect{ID: id, Before: without, After: with}
	less := without.Radius90 - with.Radius90
	e.Text = fmt.Sprintf("nine landings of ten within %s without it, %s with it", unit.FormatDistance(without.Radius90, system), unit.FormatDistance(with.Radius90, system))
	// Two runs of the same seed differ by what the doubt does and by the flights that
	// a changed draw brings across the edge: under a per cent is nothing.
	if less < 0.01*without.Radius90 {
		e.Text += ": hardly anything here, for the wind and the burst are what is in doubt"
	}
	return e
}
