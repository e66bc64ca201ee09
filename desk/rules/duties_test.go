package rules_test

import (
	"encoding/json"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pappus/desk/rules"
)

func ids(duties []rules.Duty) []string {
	var list []string
	for _, d := range duties {
		list = append(list, d.ID)
	}
	return list
}

func TestDutiesFollow(t *testing.T) {
	outside := answer(t, "US", flight(100, box(1, wide...)))
	inside := answer(t, "US", flight(100, box(4, wide...)))
	if len(outside.Duties) != 0 {
		t.Errorf("outside the part, yet duties %v", ids(outside.Duties))
	}
	for _, id := range []string{"101.33(e)", "101.35(a)(1)", "101.35(a)(2)", "101.35(a)(3)", "101.35(b)", "101.37(a)", "101.37(d)", "101.39(a)(1)", "101.39(b)", "101.39(c)", "101.39(d)"} {
		if !slices.Contains(ids(inside.Duties), id) {
			t.Errorf("inside the part, yet no duty %s", id)
		}
	}
	for _, a := range []rules.Answer{outside, inside} {
		if !slices.Equal(ids(a.Always), []string{"101.7(a)", "101.7(b)"}) {
			t.Errorf("always: %v", ids(a.Always))
		}
	}
	if inside.Customary != nil || outside.Customary == nil {
		t.Error("the customary call belongs to the flight outside the part, and to it alone")
	}
	for class, f := range map[string]rules.Facts{
		"light":  flight(100, box(1, wide...)),
		"medium": flight(100, box(2.5, wide...), box(2, wide...)),
		"heavy":  flight(100, box(3.5, wide...)),
	} {
		a := answer(t, "ICAO", f)
		got := ids(a.Duties)
		if !slices.Contains(ids(a.Always), "2.1") || !slices.Contains(ids(a.Always), "2.2") {
			t.Errorf("%s: the States' authorisations hold always, got %v", class, ids(a.Always))
		}
		if slices.Contains(got, "5.1.1") != (class != "light") || slices.Contains(got, "3.2") != (class != "light") {
			t.Errorf("%s: the notice of 7 days and the crowds are for medium and heavy: %v", class, got)
		}
		if slices.Contains(got, "3.1") != (class == "heavy") || slices.Contains(got, "3.3(a)") != (class == "heavy") {
			t.Errorf("%s: cloud and termination are for heavy alone: %v", class, got)
		}
	}
}

// TestNoticeWindowStaysWithThePart: 6 to 24 hours must not be read as a window of a
// flight outside the part.
func TestNoticeWindowStaysWithThePart(t *testing.T) {
	text, err := json.Marshal(answer(t, "US", flight(100, box(1, wide...))))
	if err != nil {
		t.Fatal(err)
	}
	if window := regexp.MustCompile(`24 h|6 to 24|101\.37\(a\): `); window.Match(text) {
		t.Errorf("outside the part, yet %q", window.Find(text))
	}
	inside, _ := json.Marshal(answer(t, "US", flight(100, box(4, wide...))).Duties)
	if !strings.Contains(string(inside), "6 to 24 hours before") {
		t.Error("inside the part the window of 101.37(a) is missing")
	}
}

func TestNightAndLongLines(t *testing.T) {
	yes, no := true, false
	for _, c := range []struct {
		name string
		text string
		edit func(*rules.Facts)
		id   string
		want bool
	}{
		{"night unknown", "US", func(f *rules.Facts) {}, "101.35(b)", true},
		{"night", "US", func(f *rules.Facts) { f.Night = &yes }, "101.35(b)", true},
		{"day", "US", func(f *rules.Facts) { f.Night = &no }, "101.35(b)", false},
		{"50 ft of line", "US", func(f *rules.Facts) { f.Lines[0].Length, f.Lines[1].Length = 0, 15.24 }, "101.35(d)", false},
		{"50.03 ft of line", "US", func(f *rules.Facts) { f.Lines[0].Length, f.Lines[1].Length = 5, 10.25 }, "101.35(d)", true},
		{"15 m of line", "ICAO", func(f *rules.Facts) { f.Lines[0].Length, f.Lines[1].Length = 5, 10 }, "3.7", false},
		{"15.1 m of line", "ICAO", func(f *rules.Facts) { f.Lines[0].Length, f.Lines[1].Length = 5, 10.1 }, "3.7", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := flight(100, box(4, wide...))
			c.edit(&f)
			if got := slices.Contains(ids(answer(t, c.text, f).Duties), c.id); got != c.want {
				t.Errorf("duty %s: %v, want %v", c.id, got, c.want)
			}
		})
	}
}

func TestRadioCautions(t *testing.T) {
	f := flight(100, box(1, wide...))
	f.Reporters = []rules.Reporter{{"phone", "cellular"}, {"messenger", "satellite"}, {"beacon", "radio"}, {"spare", "radio"}}
	a := answer(t, "US", f)
	for id, words := range map[string]string{
		"47 CFR 22.925":  `"phone"`,
		"47 CFR 25.285":  "Check",
		"47 CFR Part 97": `"beacon", "spare"`,
	} {
		i := slices.IndexFunc(a.Cautions, func(c rules.Caution) bool { return c.ID == id })
		if i < 0 || !strings.Contains(a.Cautions[i].Text, words) {
			t.Errorf("%s with %s is missing in %+v", id, words, a.Cautions)
		}
	}
	f.Reporters = nil
	for _, c := range answer(t, "US", f).Cautions {
		if strings.HasPrefix(c.ID, "47 CFR") {
			t.Errorf("no reporter on board, yet %s", c.ID)
		}
	}
}

// TestNotKnown: a number that is missing is asked for, and is null, not a pass.
func TestNotKnown(t *testing.T) {
	f := rules.Facts{Packages: []rules.Package{box(2.5)}}
	for text, missing := range map[string][]string{
		"US":   {"101.1(a)(4)(i)", "101.1(a)(4)(iv)"},
		"ICAO": {"1.1(c)(3)", "1.1(c)(4)"},
	} {
		a := answer(t, text, f)
		if !slices.Equal(a.Undecided, missing) {
			t.Errorf("%s: undecided %v, want %v", text, a.Undecided, missing)
		}
		asked := strings.Join(a.NotKnown, "\n")
		if !strings.Contains(asked, "give the size") || !strings.Contains(asked, "give the breaking load") {
			t.Errorf("%s asks: %s", text, asked)
		}
		for _, id := range missing {
			got := finding(t, a, id)
			written, err := json.Marshal(got)
			if err != nil || got.Known || got.Exceeded || !strings.Contains(string(written), `"value":null`) || !strings.Contains(string(written), `"exceeded":null`) {
				t.Errorf("%s: %s %v", id, written, err)
			}
		}
		if !strings.Contains(a.Summary, missing[0]) {
			t.Errorf("the summary passes over %s: %s", missing[0], a.Summary)
		}
	}
	// Under 4 lb the size does not matter: both halves of (i) are needed.
	if a := answer(t, "US", flight(100, box(1.8))); len(a.Undecided) != 0 {
		t.Errorf("1.8 kg without a size: undecided %v", a.Undecided)
	}
	// A dense, known box over the limit is not hidden by an unknown one.
	if a := answer(t, "US", flight(100, box(2.5), box(2.5, small...))); !slices.Equal(a.Because, []string{"101.1(a)(4)(i)"}) || !strings.Contains(strings.Join(a.NotKnown, " "), "give the size") {
		t.Errorf("because %v, not known %v", a.Because, a.NotKnown)
	}
	// One line without a load may be the weakest: say so.
	f = flight(100, box(1, wide...))
	f.Lines = append(f.Lines, rules.Line{Name: "leader", Length: 1})
	if a := answer(t, "US", f); !strings.Contains(strings.Join(a.NotKnown, " "), "1 of 3 lines") {
		t.Errorf("not known: %v", a.NotKnown)
	}
}

// TestWhatCounts: boxes are counted, and what else hangs is told when it matters.
func TestWhatCounts(t *testing.T) {
	f := flight(100, box(2.7, wide...), box(2.7, wide...)) // 5.4 kg, just under 12 lb
	f.Hung = 5.8
	a := answer(t, "US", f)
	if *a.Applies || !slices.ContainsFunc(a.Cautions, func(c rules.Caution) bool { return c.ID == "all-that-hangs" }) {
		t.Errorf("applies %v, cautions %+v", *a.Applies, a.Cautions)
	}
	f.Hung = 5.42
	if a := answer(t, "US", f); slices.ContainsFunc(a.Cautions, func(c rules.Caution) bool { return c.ID == "all-that-hangs" }) {
		t.Error("5.42 kg are under 12 lb however counted")
	}
}

// TestAnswerKeys holds the names that programs outside rely on.
func TestAnswerKeys(t *testing.T) {
	for text, own := range map[string]string{"US": "applies", "ICAO": "class"} {
		written, err := json.Marshal(answer(t, text, flight(100, box(3.2, wide...))))
		if err != nil {
			t.Fatal(err)
		}
		var document map[string]any
		if err := json.Unmarshal(written, &document); err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"text", "read_on", "because", "findings", "duties", "authority", own} {
			if document[key] == nil {
				t.Errorf("%s: no key %q", text, key)
			}
		}
		other := map[string]string{"US": "class", "ICAO": "applies"}[text]
		if _, there := document[other]; there {
			t.Errorf("%s has a key %q of another text", text, other)
		}
		first := document["findings"].([]any)[0].(map[string]any)
		for _, key := range []string{"id", "paragraph", "value", "limit", "strict", "exceeded", "near", "text", "unit"} {
			if _, there := first[key]; !there {
				t.Errorf("%s: a finding without %q", text, key)
			}
		}
		if !regexp.MustCompile(`^\d{4}-\d\d-\d\d$`).MatchString(document["read_on"].(string)) {
			t.Errorf("%s: read_on is %v", text, document["read_on"])
		}
	}
}

// TestNoVerdict: the words of a verdict are the authority's.
func TestNoVerdict(t *testing.T) {
	verdict := regexp.MustCompile(`(?i)\b(il)?legal|\bsafe|\ballowed to fly|\bcompliant|\bexempt\b|\bOK\b`)
	for _, text := range rules.Texts() {
		for _, f := range []rules.Facts{
			flight(100, box(1, wide...)), flight(230, box(3, small...)), flight(400, box(3.5), box(2.7, wide...)), {Packages: []rules.Package{box(2.5)}},
		} {
			a := answer(t, text, f)
			written, _ := json.Marshal(a)
			if found := verdict.Find(written); found != nil {
				t.Errorf("%s says %q", text, found)
			}
			if !strings.Contains(a.Summary, "The authority decides") || !strings.Contains(a.Authority, "The authority decides") {
				t.Errorf("%s does not say who decides: %s", text, a.Summary)
			}
		}
	}
}

func TestRefuses(t *testing.T) {
	for name, f := range map[string]rules.Facts{
		"at least one box":  {},
		"mass above zero":   flight(100, box(0, wide...)),
		"above zero":        flight(100, box(math.NaN(), wide...)),
		"three outer sides": flight(100, box(1, -1, 1, 1)),
		"can be below zero": flight(-1, box(1, wide...)),
		"at most 100":       {Packages: make([]rules.Package, 101)},
	} {
		if _, err := rules.Read("US", f); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("want an error with %q, got %v", name, err)
		}
	}
	if _, err := rules.Read("us", flight(1, box(1))); err == nil || !strings.Contains(err.Error(), "US, ICAO") {
		t.Errorf("an unknown text must name the known ones: %v", err)
	}
}

// TestManualNamesEveryParagraph keeps the page in step with the data.
func TestManualNamesEveryParagraph(t *testing.T) {
	page, err := os.ReadFile("../../doc/rules.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []rules.Facts{flight(400, box(7, small...)), flight(400, box(7, small...), box(1, wide...))} {
		f.Lines[1].Length = 60
		for _, text := range rules.Texts() {
			a := answer(t, text, f)
			for _, id := range slices.Concat(ids(a.Duties), ids(a.Always), a.Because) {
				if !strings.Contains(string(page), "| "+id+" |") {
					t.Errorf("doc/rules.md has no row for %s %s", text, id)
				}
			}
			if !strings.Contains(string(page), a.ReadOn) {
				t.Errorf("doc/rules.md does not give the date %s of %s", a.ReadOn, text)
			}
		}
	}
}
