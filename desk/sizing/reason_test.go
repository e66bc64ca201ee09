package sizing

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
)

// Every number of the plan's own tables can be asked why, and the reason gives
// the number that the plan gives.
func TestEveryNumberHasItsReason(t *testing.T) {
	a := planned(t, parsed(t), Options{Members: 20, Seed: 1, Workers: 1, Why: []string{AllReasons}})
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var document map[string]map[string]any
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(text, &raw); err != nil {
		t.Fatal(err)
	}
	document = map[string]map[string]any{}
	for _, group := range []string{"lift", "gas", "ascent", "burst", "descent", "budget"} {
		var values map[string]any
		if err := json.Unmarshal(raw[group], &values); err != nil {
			t.Fatal(err)
		}
		document[group] = values
	}
	asked := 0
	for group, values := range document {
		for name, value := range values {
			number, ok := value.(float64)
			if key := group + "." + name; ok && name != "purity" {
				asked++
				reason, there := a.Why[key]
				if !there || reason.Formula == "" || reason.Source == "" || reason.Unit == "" {
					t.Errorf("%s cannot be asked why: %+v", key, reason)
				} else if math.Abs(reason.Value-number) > 1e-12*math.Abs(number) {
					t.Errorf("%s is %g, and its reason says %g", key, number, reason.Value)
				}
			}
		}
	}
	if asked < 20 {
		t.Errorf("only %d numbers were found", asked)
	}
	for _, r := range a.Why {
		for _, in := range r.Inputs {
			if in.Name == "" || in.Unit == "" || in.From == "" || math.IsNaN(in.Value) {
				t.Errorf("%s: input %+v", r.Key, in)
			}
		}
	}
}

func value(t *testing.T, r Reason, name string) float64 {
	t.Helper()
	for _, in := range r.Inputs {
		if strings.Contains(in.Name, name) {
			return in.Value
		}
	}
	t.Fatalf("%s has no input %q", r.Key, name)
	return 0
}

// A reader who puts the inputs into the formula must get the number.
func TestFormulasGiveTheNumberFromTheirInputs(t *testing.T) {
	why := planned(t, parsed(t), Options{Why: []string{"lift", "gas", "ascent", "descent"}}).Why
	check := func(key string, want, tolerance float64) {
		if got := why[key].Value; math.Abs(got/want-1) > tolerance {
			t.Errorf("%s: its formula gives %g, the plan %g", key, want, got)
		}
	}
	r := why["lift.gross_kg"]
	check(r.Key, value(t, r, "density")*value(t, r, "volume")-value(t, r, "mass"), 1e-12)
	r = why["lift.neck_kg"]
	check(r.Key, value(t, r, "gross")-value(t, r, "envelope"), 1e-12)
	r = why["gas.amount_mol"]
	check(r.Key, (value(t, r, "fill")+value(t, r, "hangs")+value(t, r, "envelope"))/(value(t, r, "dry air")-value(t, r, "impurity")), 1e-6)
	r = why["gas.volume_m3"]
	check(r.Key, value(t, r, "amount")*8.31432*value(t, r, "temperature")/value(t, r, "pressure"), 1e-9)
	r = why["ascent.launch_rate_mps"]
	d := value(t, r, "diameter")
	// The rate is that after half a minute, some hundred metres up.
	check(r.Key, math.Sqrt(2*value(t, r, "free")*value(t, r, "gravity")/(value(t, r, "drag")*value(t, r, "density")*math.Pi/4*d*d)), 0.02)
	r = why["ascent.mean_rate_mps"]
	check(r.Key, (value(t, r, "height")-value(t, r, "elevation"))/value(t, r, "time"), 1e-12)
	r = why["descent.landing_speed_mps"]
	// A fall into denser air lags behind the steady speed by under half a per cent.
	check(r.Key, math.Sqrt(2*value(t, r, "mass")*value(t, r, "gravity")/(value(t, r, "density")*(value(t, r, "canopy")+value(t, r, "boxes")))), 0.01)
	r = why["descent.landing_energy_j"]
	check(r.Key, value(t, r, "heaviest")*math.Pow(value(t, r, "speed"), 2)/2, 1e-12)
}

func TestUnknownReasonNamesTheKnown(t *testing.T) {
	_, err := worked(parsed(t), Options{Why: []string{"lift.neck"}})
	var unknown *UnknownReason
	if !errors.As(err, &unknown) || !strings.Contains(err.Error(), "lift.neck_kg") {
		t.Errorf("%v", err)
	}
	if a := planned(t, parsed(t), Options{}); a.Why != nil {
		t.Error("reasons nobody asked for")
	}
}
