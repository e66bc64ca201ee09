package rules_test

import (
	"slices"
	"testing"

	"pappus/desk/rules"
	"pappus/measure/unit"
)

// Factors by definition: the pound and the inch since the agreement of 1959, the
// pound-force with the standard gravity of 9.80665 m/s². They are written out here so
// that the test does not lean on the package that converts for the code.
const (
	pound      = 0.45359237
	inch       = 0.0254
	poundForce = 4.4482216152605
)

// read parses a quantity the way a flight file gives it.
func read(t *testing.T, words string, kind unit.Kind) float64 {
	t.Helper()
	value, err := unit.Parse(words, kind)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

func box(mass float64, size ...float64) rules.Package {
	p := rules.Package{Name: "box", Mass: mass}
	copy(p.Size[:], size)
	return p
}

// wide is a size so large that no mass in these tests is dense on it.
var wide = []float64{1, 1, 1}

// small is a cube of 5 cm, on which everything here is dense.
var small = []float64{0.05, 0.05, 0.05}

func flight(load float64, boxes ...rules.Package) rules.Facts {
	return rules.Facts{
		Packages: boxes,
		Lines:    []rules.Line{{Name: "top", Length: 2, BreakingLoad: load, AboveCanopy: true}, {Name: "main", Length: 6, BreakingLoad: 5000}},
	}
}

func answer(t *testing.T, name string, f rules.Facts) rules.Answer {
	t.Helper()
	a, err := rules.Read(name, f)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func finding(t *testing.T, a rules.Answer, id string) rules.Finding {
	t.Helper()
	for _, f := range a.Findings {
		if f.ID == id {
			return f
		}
	}
	t.Fatalf("no finding %s in %s", id, a.Text)
	return rules.Finding{}
}

type limitCase struct {
	name string
	f    rules.Facts
	want []string // the paragraphs exceeded
}

// TestUSLimits stands at each limit of 101.1(a)(4) exactly, and one gram or 0.1 N to
// either side. All four say "more than", so the limit itself is outside the part.
func TestUSLimits(t *testing.T) {
	lb := func(words string) float64 { return read(t, words, unit.Mass) }
	in := func(words string) float64 { return read(t, words, unit.Length) }
	n := func(words string) float64 { return read(t, words, unit.Force) }
	// 4.5 lb are 72 oz; on 4 in by 6 in that is 3 oz/in² exactly.
	face := []float64{in("4 in"), in("6 in"), in("9 in")}
	const i, ii, iii, iv = "101.1(a)(4)(i)", "101.1(a)(4)(ii)", "101.1(a)(4)(iii)", "101.1(a)(4)(iv)"
	for _, c := range []limitCase{
		{"(i) mass, 1 g under 4 lb, dense", flight(100, box(4*pound-0.001, small...)), nil},
		{"(i) mass, 4 lb, dense", flight(100, box(lb("4 lb"), small...)), nil},
		{"(i) mass, 64 oz, dense", flight(100, box(lb("64 oz"), small...)), nil},
		{"(i) mass, 4 lb in SI, dense", flight(100, box(1.81436948, small...)), nil},
		{"(i) mass, 1 g over 4 lb, dense", flight(100, box(4*pound+0.001, small...)), []string{i}},
		{"(i) mass, 1815 g, dense", flight(100, box(lb("1815 g"), small...)), []string{i}},
		{"(i) mass, 1 g over 4 lb, not dense", flight(100, box(4*pound+0.001, wide...)), nil},
		{"(i) density, 1 g under", flight(100, box(lb("4.5 lb")-0.001, face...)), nil},
		{"(i) density, exactly 3 oz/in²", flight(100, box(lb("4.5 lb"), face...)), nil},
		{"(i) density, exactly, in SI", flight(100, box(4.5*pound, 6*inch, 9*inch, 4*inch)), nil},
		{"(i) density, 1 g over", flight(100, box(lb("4.5 lb")+0.001, face...)), []string{i}},
		{"(ii) 1 g under 6 lb", flight(100, box(6*pound-0.001, wide...)), nil},
		{"(ii) 6 lb", flight(100, box(lb("6 lb"), wide...)), nil},
		{"(ii) 96 oz", flight(100, box(lb("96 oz"), wide...)), nil},
		{"(ii) 2.72155422 kg", flight(100, box(lb("2.72155422 kg"), wide...)), nil},
		{"(ii) 1 g over 6 lb", flight(100, box(6*pound+0.001, wide...)), []string{ii}},
		{"(ii) 6.01 lb", flight(100, box(lb("6.01 lb"), wide...)), []string{ii}},
		{"(i) and (ii)", flight(100, box(lb("7.5 lb"), small...)), []string{i, ii}},
		{"(iii) 12 lb in three", flight(100, box(lb("4 lb"), wide...), box(lb("4 lb"), wide...), box(lb("4 lb"), wide...)), nil},
		{"(iii) 12 lb in tenths", flight(100, box(lb("5.9 lb"), wide...), box(lb("5.8 lb"), wide...), box(lb("0.3 lb"), wide...)), nil},
		{"(iii) 1 g over 12 lb", flight(100, box(lb("4 lb"), wide...), box(lb("4 lb"), wide...), box(lb("4 lb")+0.001, wide...)), []string{iii}},
		{"(iii) 1 g under 12 lb", flight(100, box(lb("6 lb"), wide...), box(lb("6 lb")-0.001, wide...)), nil},
		{"(iii) one package of 13 lb is not two", flight(100, box(lb("13 lb"), wide...)), []string{ii}},
		{"(iv) 0.1 N under 50 lbf", flight(50*poundForce-0.1, box(1, wide...)), nil},
		{"(iv) 50 lbf", flight(n("50 lbf"), box(1, wide...)), nil},
		{"(iv) 222.4 N", flight(n("222.4 N"), box(1, wide...)), nil},
		{"(iv) 222.5 N", flight(n("222.5 N"), box(1, wide...)), []string{iv}},
		{"(iv) 0.1 N over 50 lbf", flight(50*poundForce+0.1, box(1, wide...)), []string{iv}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := answer(t, "US", c.f)
			if !slices.Equal(a.Because, c.want) && len(a.Because)+len(c.want) > 0 {
				t.Errorf("because %v, want %v", a.Because, c.want)
			}
			if a.Applies == nil || *a.Applies != (len(c.want) > 0) {
				t.Errorf("applies %v, want %v", a.Applies, len(c.want) > 0)
			}
			for _, f := range a.Findings {
				if f.Exceeded != slices.Contains(c.want, f.ID) || !f.Strict || !f.Known || f.Paragraph != f.ID {
					t.Errorf("finding %+v, exceeded should be %v", f, slices.Contains(c.want, f.ID))
				}
			}
		})
	}
}

// TestUSNumbers holds the printed limits, in SI by hand: 4, 6, 12 lb, 3 oz/in², 50 lbf.
func TestUSNumbers(t *testing.T) {
	a := answer(t, "US", flight(100, box(7*pound, small...)))
	for _, c := range []struct {
		id    string
		limit float64
		unit  string
	}{
		{"101.1(a)(4)(i)", 4 * pound, "kg"},
		{"101.1(a)(4)(ii)", 6 * pound, "kg"},
		{"101.1(a)(4)(iii)", 12 * pound, "kg"},
		{"101.1(a)(4)(iv)", 50 * poundForce, "N"},
	} {
		f := finding(t, a, c.id)
		// One unit in the last place may differ, since the factors are rounded apart.
		if d := f.Limit/c.limit - 1; d > 1e-15 || d < -1e-15 || f.Unit != c.unit {
			t.Errorf("%s: limit %v %s, want %v %s", c.id, f.Limit, f.Unit, c.limit, c.unit)
		}
	}
	dense := finding(t, answer(t, "US", flight(100, box(7*pound, wide...))), "101.1(a)(4)(i)")
	if want := 3 * pound / 16 / (inch * inch); dense.Limit/want-1 > 1e-15 || want/dense.Limit-1 > 1e-15 || dense.Unit != "kg/m2" {
		t.Errorf("density limit %v %s, want %v kg/m2", dense.Limit, dense.Unit, want)
	}
}

// TestNearLimits: 3 % of a mass limit either side, 30 % of a line's load either side.
func TestNearLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		text string
		f    rules.Facts
		id   string
		near bool
	}{
		{"6 lb less 2.9 %", "US", flight(100, box(6*pound*0.971, wide...)), "101.1(a)(4)(ii)", true},
		{"6 lb less 3.1 %", "US", flight(100, box(6*pound*0.969, wide...)), "101.1(a)(4)(ii)", false},
		{"6 lb and 2.9 %", "US", flight(100, box(6*pound*1.029, wide...)), "101.1(a)(4)(ii)", true},
		{"6 lb and 3.1 %", "US", flight(100, box(6*pound*1.031, wide...)), "101.1(a)(4)(ii)", false},
		{"6 lb", "US", flight(100, box(6*pound, wide...)), "101.1(a)(4)(ii)", true},
		{"4 lb less 1 %, not dense", "US", flight(100, box(4*pound*0.99, wide...)), "101.1(a)(4)(i)", false},
		{"4 lb less 1 %, dense", "US", flight(100, box(4*pound*0.99, small...)), "101.1(a)(4)(i)", true},
		{"50 lbf less 29 %", "US", flight(50*poundForce*0.71, box(1, wide...)), "101.1(a)(4)(iv)", true},
		{"50 lbf less 31 %", "US", flight(50*poundForce*0.69, box(1, wide...)), "101.1(a)(4)(iv)", false},
		{"50 lbf and 29 %", "US", flight(50*poundForce*1.29, box(1, wide...)), "101.1(a)(4)(iv)", true},
		{"50 lbf and 31 %", "US", flight(50*poundForce*1.31, box(1, wide...)), "101.1(a)(4)(iv)", false},
		{"230 N less 29 %", "ICAO", flight(163.3, box(1, wide...)), "1.1(c)(4)", true},
		{"230 N less 31 %", "ICAO", flight(158.7, box(1, wide...)), "1.1(c)(4)", false},
		{"3 kg less 3 %", "ICAO", flight(100, box(2.911, wide...)), "1.1(c)(2)", true},
		{"3 kg less 4 %", "ICAO", flight(100, box(2.88, wide...)), "1.1(c)(2)", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if f := finding(t, answer(t, c.text, c.f), c.id); f.Near != c.near {
				t.Errorf("near %v, want %v: %s", f.Near, c.near, f.Text)
			}
		})
	}
}
