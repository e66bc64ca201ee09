package ensemble

import (
	"errors"
	"strings"
	"testing"

	"pappus/air/forecast"
)

// skyMet makes a run of 100 flights of which the first ones met an edge.
func skyMet(edges map[forecast.Held][2]int) *Result {
	r := &Result{Landings: make([]Landing, 100)}
	for edge, span := range edges {
		for i := span[0]; i < span[1]; i++ {
			r.Landings[i].Edges |= edge
		}
	}
	return r
}

func TestTooMuchOutOfSkyIsRefused(t *testing.T) {
	q := request(100)
	for name, c := range map[string]struct {
		edges map[forecast.Held][2]int
		wants []string // words of the refusal; none: answered
	}{
		"a tenth late":                       {map[forecast.Held][2]int{forecast.AfterLast: {0, 10}}, nil},
		"more late":                          {map[forecast.Held][2]int{forecast.AfterLast: {0, 11}}, []string{"11 %", "later steps"}},
		"more outside":                       {map[forecast.Held][2]int{forecast.OutsideArea: {0, 30}}, []string{"30 %", "wider area"}},
		"some late and others outside":       {map[forecast.Held][2]int{forecast.AfterLast: {0, 8}, forecast.OutsideArea: {8, 16}}, []string{"later steps", "wider area"}},
		"the same flights late and outside":  {map[forecast.Held][2]int{forecast.AfterLast: {0, 9}, forecast.OutsideArea: {0, 9}}, nil},
		"half start before the first step":   {map[forecast.Held][2]int{forecast.BeforeFirst: {0, 50}}, nil},
		"all above the top, below the floor": {map[forecast.Held][2]int{forecast.AboveTop: {0, 100}, forecast.BelowBottom: {0, 100}}, nil},
	} {
		err := skyMet(c.edges).inSky(&q)
		var out *OutOfSky
		if errors.As(err, &out) != (len(c.wants) > 0) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, word := range c.wants {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q does not say %q", name, err, word)
			}
		}
	}
}
