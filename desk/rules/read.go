package rules

import (
	"fmt"
	"slices"
	"strings"

	"pappus/measure/unit"
)

// authority stands under every answer.
const authority = "This is arithmetic on the numbers given, held against a copy of the text. The authority decides: read the current text and ask."

// Texts lists the names that Read knows.
func Texts() []string {
	var names []string
	for _, t := range texts() {
		names = append(names, t.name)
	}
	return names
}

// Read holds a flight against the rule text of that name.
func Read(name string, f Facts) (Answer, error) {
	for _, t := range texts() {
		if t.name == name {
			if err := f.check(); err != nil {
				return Answer{}, err
			}
			return t.answer(f), nil
		}
	}
	return Answer{}, fmt.Errorf("no rule text %q: expected one of %s", name, strings.Join(Texts(), ", "))
}

// US holds a flight against 14 CFR Part 101.
func US(f Facts) (Answer, error) { return Read("US", f) }

// ICAO holds a flight against the appendix on unmanned free balloons of ICAO Annex 2.
func ICAO(f Facts) (Answer, error) { return Read("ICAO", f) }

func (t text) answer(f Facts) Answer {
	became, because, undecided := t.outcomeOf(f)
	a := Answer{
		Text: t.name, Title: t.title, ReadOn: t.readOn, ReadHow: t.readHow,
		Because: because, Undecided: undecided, NotKnown: t.notKnown(became, f),
		Findings: t.findings(f), Duties: t.dutiesOf(became, f), Always: t.always,
		Changes: t.changes(f), Cautions: append(t.cautions(f), trainCautions(t, f)...),
		Counted: t.counted(f), Authority: authority,
	}
	if t.byClass {
		a.Class = became.class()
	} else {
		part := became == applies
		a.Applies = &part
	}
	if became == nothing {
		a.Customary = t.customary
	}
	a.Summary = t.summary(became, a)
	return a
}

func (t text) summary(became outcome, a Answer) string {
	var words string
	switch {
	case t.byClass:
		words = fmt.Sprintf("By its numbers the flight is of the %s class, by %s.", became.class(), strings.Join(a.Because, ", "))
	case became == applies:
		words = fmt.Sprintf("By its numbers the flight falls under the part, by %s.", strings.Join(a.Because, ", "))
	default:
		words = "No number given exceeds a limit of 101.1(a)(4); 101.7 holds all the same."
	}
	if len(a.Undecided) > 0 {
		words += fmt.Sprintf(" Not judged for want of a number: %s; until then reckon with more duties, not fewer.", strings.Join(a.Undecided, ", "))
	}
	var close []string
	for _, f := range a.Findings {
		if f.Near {
			close = append(close, f.ID)
		}
	}
	if len(close) > 0 {
		words += fmt.Sprintf(" Near a limit: %s.", strings.Join(close, ", "))
	}
	return words + " The authority decides."
}

func (t text) findings(f Facts) []Finding {
	list := make([]Finding, 0, len(t.paragraphs))
	for _, p := range t.paragraphs {
		v := worst(p.each(f))
		finding := Finding{
			ID: p.id, Paragraph: p.id, Value: v.value, Limit: v.deciding.limit,
			Unit: v.deciding.quantity.unit(), Strict: v.deciding.strict,
			Known: v.known, Exceeded: v.exceeded, Near: v.near, Source: p.source,
			Text: t.sentence(v, f),
		}
		if v.of >= 0 {
			finding.Package = f.Packages[v.of].Name
		}
		list = append(list, finding)
	}
	return list
}

// dutiesOf picks the duties of an outcome; one that hangs on the night stays in
// while the night is not known, one that hangs on the lines' length is counted.
func (t text) dutiesOf(became outcome, f Facts) []Duty {
	list := []Duty{}
	for _, d := range t.duties {
		skip := became < d.from
		switch d.when {
		case byNight:
			skip = skip || f.Night != nil && !*f.Night
		case longLine:
			over := limb{limit: t.markedFrom, strict: true}
			skip = skip || !over.exceeds(f.suspension())
		}
		if !skip {
			list = append(list, Duty{ID: d.id, Paragraph: d.id, Text: d.text, Source: d.source})
		}
	}
	return list
}

// notKnown asks for every number that a paragraph lacked.
func (t text) notKnown(became outcome, f Facts) []string {
	list := []string{}
	for _, p := range t.paragraphs {
		for _, v := range p.each(f) {
			if !v.known {
				list = append(list, fmt.Sprintf("%s: %s", p.id, t.sentence(v, f)))
			}
		}
	}
	if line, unstated := f.weakest(); line != nil && unstated > 0 {
		list = append(list, fmt.Sprintf("%d of %d lines have no breaking load: the weakest of the others was taken. One of them may part sooner; give each its breaking load.", unstated, len(f.Lines)))
	}
	lights := func(d dutyRule) bool { return d.when == byNight && became >= d.from }
	if f.Night == nil && slices.ContainsFunc(t.duties, lights) {
		list = append(list, "Whether some of the flight falls between sunset and sunrise: the duty to carry lights hangs on it.")
	}
	return list
}

// counted says what stood on the scale, since the texts speak of packages only.
func (t text) counted(f Facts) string {
	words := fmt.Sprintf("Counted as payload: %d %s with everything inside, %s in all. Parachute, reflector, cord and envelope are not counted, for the text speaks of packages. The breaking load of the weakest line stands for the impact force that separates the payload.",
		len(f.Packages), plural(len(f.Packages), "box", "boxes"), t.mass(f.payload()))
	if f.Hung > f.payload() {
		words += fmt.Sprintf(" All that hangs weighs %s; ask the authority if it counts more than the boxes.", t.mass(f.Hung))
	}
	return words
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// trainCautions are about the cord and what hangs, whatever the text.
func trainCautions(t text, f Facts) []Caution {
	var list []Caution
	line, _ := f.weakest()
	if line != nil && !line.AboveCanopy {
		list = append(list, Caution{
			ID:     "weakest-below-canopy",
			Text:   fmt.Sprintf("The weakest line, %s at %s, hangs below the parachute. Never weaken it further; put a weaker link above the canopy, so that the first thing to part leaves the box on its parachute.", lineName(*line), t.force(line.BreakingLoad)),
			Why:    "What parts below the canopy falls without it.",
			Source: Practice,
		})
	}
	for _, p := range t.paragraphs {
		l := p.limbs[0]
		switch l.quantity {
		case separationLoad:
			v := p.hold(f, -1)
			if (v.exceeded || v.near) && t.weakLink(v, f).change.ID == "" {
				list = append(list, Caution{
					ID:     "no-weak-link",
					Text:   fmt.Sprintf("No weak link well under %s can bear this train: lighten it first.", t.force(l.limit)),
					Why:    "A link that parts under the train's own weight drops it at launch.",
					Source: Practice,
				})
			}
		case payloadMass:
			if len(f.Packages) < p.packages || l.exceeds(f.payload()) || !l.exceeds(f.Hung) {
				continue
			}
			list = append(list, Caution{
				ID:     "all-that-hangs",
				Text:   fmt.Sprintf("The boxes weigh %s, which does not exceed the limit of %s in %s; with parachute, reflector and cord it is %s, which would. Ask the authority what it counts.", t.mass(f.payload()), t.mass(l.limit), p.id, t.mass(f.Hung)),
				Why:    "The text says packages; an authority may weigh everything below the envelope.",
				Source: Practice,
			})
		}
	}
	return list
}

// newton writes a force to the tenth.
func newton(value float64) string { return trimmed(value, 1) + " N" }

func (t text) force(value float64) string {
	pounds := trimmed(value/unit.PoundForce, 2) + " lbf"
	return t.both(pounds, newton(value))
}
