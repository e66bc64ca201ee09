package flight

import (
	"fmt"
	"strings"

	"pappus/desk/rules"
	"pappus/record"
)

// Rules holds a flight against a rule text.
func Rules(f *record.Flight, text string) (*rules.Answer, error) {
	if text == "" {
		return nil, fmt.Errorf("rules: the file does not say which rule text to read: add rules = %q or another of %s", rules.Texts()[0], strings.Join(rules.Texts(), ", "))
	}
	answer, err := rules.Read(text, rules.FromFile(f))
	if err != nil {
		return nil, err
	}
	return &answer, nil
}
