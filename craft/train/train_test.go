package train

import (
	"math"
	"slices"
	"testing"
)

func line(load float64) Part {
	return Part{Role: Line, Mass: 0.01, Length: 2, BreakingLoad: load, BreakingLoadKnown: true}
}

var (
	chute    = Part{Role: Parachute, Mass: 0.18, Length: 1}
	box      = Part{Role: Box, Name: "camera box", Mass: 1.35}
	smallBox = Part{Role: Box, Name: "reporter box", Mass: 0.3}
	unknown  = Part{Role: Line, Length: 1}
)

func TestMassAndLength(t *testing.T) {
	whole := Train{line(150), chute, {Role: Reflector, Mass: 0.06}, line(450), box}
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-15 {
			t.Errorf("%s: %v, expected %v", what, got, want)
		}
	}
	near("mass", whole.Mass(), 1.61)
	near("below the canopy", whole.MassBelow(1), 1.42)
	near("below all", whole.MassBelow(4), 0)
	near("length", whole.Length(), 5)
	near("box hangs at", whole.Depth(4), 5)
	near("canopy hangs at", whole.Depth(1), 2)
	near("nothing", Train{}.Mass()+Train{}.Length(), 0)
}

func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name                      string
		train                     Train
		weakest, canopy, weakLine int
		weakLink                  bool
		unknown                   []int
	}{
		{"as it should be", Train{line(150), chute, line(450), box}, 0, 1, -1, true, nil},
		{"weak line below", Train{line(450), chute, line(150), box}, 2, 1, 2, false, nil},
		{"equal lines", Train{line(150), chute, line(150), box}, 2, 1, 2, false, nil},
		{"weakest of several below", Train{line(200), chute, line(450), smallBox, line(100), box}, 4, 1, 4, false, nil},
		{"weak link among several above", Train{line(450), line(150), chute, line(450), box}, 1, 2, -1, true, nil},
		{"no line above", Train{chute, line(450), box}, 1, 0, -1, false, nil},
		{"no line below", Train{line(150), chute, box}, 0, 1, -1, true, nil},
		{"unknown below", Train{line(150), chute, unknown, box}, 0, 1, -1, false, []int{2}},
		{"unknown above", Train{unknown, chute, line(150), box}, 2, 1, -1, false, []int{0}},
		{"unknown above beside a known weak link", Train{unknown, line(100), chute, line(150), box}, 1, 2, -1, true, []int{0}},
		{"known and unknown below", Train{line(150), chute, line(100), unknown, box}, 2, 1, 2, false, []int{3}},
		{"no canopy", Train{line(150), box}, 0, -1, -1, false, nil},
		{"zero is a load", Train{line(0), chute, line(10), box}, 0, 1, -1, true, nil},
		{"empty", nil, -1, -1, -1, false, nil},
	} {
		if got := c.train.WeakestLine(); got != c.weakest {
			t.Errorf("%s: weakest line %d, expected %d", c.name, got, c.weakest)
		}
		if got := c.train.Canopy(); got != c.canopy {
			t.Errorf("%s: canopy %d, expected %d", c.name, got, c.canopy)
		}
		if got := c.train.WeakLineBelowCanopy(); got != c.weakLine {
			t.Errorf("%s: weak line below %d, expected %d", c.name, got, c.weakLine)
		}
		if got := c.train.WeakLinkAboveCanopy(); got != c.weakLink {
			t.Errorf("%s: weak link above %v, expected %v", c.name, got, c.weakLink)
		}
		if got := c.train.LinesOfUnknownLoad(); !slices.Equal(got, c.unknown) {
			t.Errorf("%s: unknown loads %v, expected %v", c.name, got, c.unknown)
		}
	}
}

func TestHeaviestBox(t *testing.T) {
	for _, c := range []struct {
		train Train
		want  int
	}{
		{Train{line(1), smallBox, box}, 2}, {Train{box, smallBox}, 0}, {Train{box, box}, 0}, {Train{chute}, -1}, {Train{{Role: Box}}, 0},
	} {
		if got := c.train.HeaviestBox(); got != c.want {
			t.Errorf("%+v: %d, expected %d", c.train, got, c.want)
		}
	}
}
