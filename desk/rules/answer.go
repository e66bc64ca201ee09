// Package rules holds a flight against the text of a rule: which paragraph
// compares which number with which limit, what follows, and the smallest change
// that takes a number under its limit. It counts; the authority decides.
package rules

import "encoding/json"

// Answer is what one rule text says of one flight.
type Answer struct {
	Text    string `json:"text"`  // the name the flight file uses: "US", "ICAO"
	Title   string `json:"title"` // what that text is
	ReadOn  string `json:"read_on"`
	ReadHow string `json:"read_how"` // which copies were read, and what was not
	// Applies is plain arithmetic on the numbers given: true when one of them
	// exceeds a limit. Undecided names the paragraphs it could not judge.
	Applies   *bool     `json:"applies,omitempty"`
	Class     string    `json:"class,omitempty"`
	Because   []string  `json:"because"`
	Summary   string    `json:"summary"`
	Findings  []Finding `json:"findings"`
	Undecided []string  `json:"undecided"`
	NotKnown  []string  `json:"not_known"`
	Duties    []Duty    `json:"duties"`
	Always    []Duty    `json:"always"`
	Changes   []Change  `json:"changes"`
	Cautions  []Caution `json:"cautions"`
	// Customary is what people do without being asked by this text; it is kept
	// apart so that no window of the rule is mistaken for it.
	Customary *Customary `json:"customary,omitempty"`
	Counted   string     `json:"counted"`
	Authority string     `json:"authority"`
}

// Finding is one paragraph held against the flight. When a paragraph asks for two
// things at once, value and limit are those of the one further from being met, so
// that value against limit always tells whether the whole paragraph is met.
type Finding struct {
	ID        string  `json:"id"` // the paragraph as printed
	Paragraph string  `json:"paragraph"`
	Value     float64 `json:"value"`
	Limit     float64 `json:"limit"`
	Unit      string  `json:"unit"`   // of both: "kg", "kg/m2" or "N"
	Strict    bool    `json:"strict"` // exceeded by "more than", not by "or more"
	Known     bool    `json:"known"`  // false: the file lacks the number; value and exceeded are null
	Exceeded  bool    `json:"exceeded"`
	Near      bool    `json:"near"`
	Package   string  `json:"package,omitempty"` // the box it is about
	Source    Source  `json:"source"`
	Text      string  `json:"text"`
}

// MarshalJSON writes null for what is not known, never a zero that looks measured.
func (f Finding) MarshalJSON() ([]byte, error) {
	type plain Finding
	document := struct {
		plain
		Value    *float64 `json:"value"`
		Exceeded *bool    `json:"exceeded"`
	}{plain: plain(f)}
	if f.Known {
		document.Value, document.Exceeded = &f.Value, &f.Exceeded
	}
	return json.Marshal(document)
}

// Source says how a paragraph came to be known.
type Source string

const (
	TextRead       Source = "text read"
	TextReadInPart Source = "text read in part"
	FromMemory     Source = "from memory: check the text"
	Practice       Source = "common practice, no source"
)

// Duty is one thing to do or not to do.
type Duty struct {
	ID        string `json:"id"`
	Paragraph string `json:"paragraph"`
	Text      string `json:"text"`
	Source    Source `json:"source"`
}

// Change is one way to take a finding under its limit, tried by the same
// arithmetic: After is what the text would say then.
type Change struct {
	ID        string  `json:"id"` // "lighten", "split", "larger face", "weak link", "together"
	Paragraph string  `json:"paragraph"`
	Package   string  `json:"package,omitempty"`
	Amount    float64 `json:"amount"` // the least that does it
	Unit      string  `json:"unit"`   // "kg", "boxes", "m2", "N", "changes"
	Cheapest  bool    `json:"cheapest"`
	Text      string  `json:"text"`
	After     After   `json:"after"`
}

// After is the answer a change leads to, in short.
type After struct {
	Applies   *bool    `json:"applies,omitempty"`
	Class     string   `json:"class,omitempty"`
	Because   []string `json:"because"`
	Undecided []string `json:"undecided"`
	Boxes     int      `json:"boxes"`
	PayloadKg float64  `json:"payload_kg"`
	facts     Facts
}

// Facts returns the flight as changed, so that it can be planned.
func (a After) Facts() Facts { return a.facts.clone() }

// Caution is something outside the findings that can hurt or cost.
type Caution struct {
	ID     string `json:"id"`
	Text   string `json:"text"`
	Why    string `json:"why"`
	Source Source `json:"source"`
}

// Customary is the call that is usual though this text does not ask for it.
type Customary struct {
	Text   string   `json:"text"`
	Give   []string `json:"give"`
	Source Source   `json:"source"`
}
