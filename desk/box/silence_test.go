package box

import (
	"math"
	"strings"
	"testing"

	"pappus/measure/unit"
	"pappus/record"
)

// triangle is a flight of two hours to 30 km and back, drifting evenly by a way,
// over flat ground at the sea, a place every ten seconds.
func triangle(drift float64) []spot {
	var path []spot
	const flight = 7200.0
	for after := 0.0; after <= flight; after += 10 {
		alt := 30000 * (1 - math.Abs(after/3600-1))
		path = append(path, spot{after: after, alt: alt, aboveGround: alt, fromLaunch: drift * after / flight, fromLanding: drift * (1 - after/flight)})
	}
	down := spot{after: flight, fromLaunch: drift, landedAlready: true}
	end := down
	end.after += 3600
	return append(path, down, end)
}

func reporter(kind string) record.Reporter {
	return record.Reporter{Name: kind, Kind: kind, Every: record.Given(60), Delay: record.Given(30)}
}

func silent(reporters []record.Reporter, listen Listeners, path []spot) *Silence {
	return silenceOf(&record.Flight{Reporters: reporters}, listen, path, [][]spot{path}, unit.Metric)
}

// A ceiling of 18 km is passed at 2160 s on the way up and at 5040 s on the way
// down: 48 minutes of silence, and one interval more until something is heard.
func TestCeiling(t *testing.T) {
	r := reporter("satellite")
	r.Ceiling.Limited, r.Ceiling.Given, r.Ceiling.Height = true, true, 18000
	s := silent([]record.Reporter{r}, UsualListeners(), triangle(100e3))
	spells := s.Reporters[0].Spells
	// The path has a place every 10 s.
	if len(spells) != 1 || math.Abs(spells[0].From-2160) > 10 || math.Abs(spells[0].To-5040) > 10 {
		t.Fatalf("%+v", spells)
	}
	if math.Abs(*s.Gap-(2880+60)) > 20 || math.Abs(*s.Oldest-(2880+60+30)) > 20 || s.GapBand == nil {
		t.Errorf("gap %.0f s, oldest %.0f s", *s.Gap, *s.Oldest)
	}
	// A slower one that is heard all the while holds the gap at its own interval, in
	// which the quick one's silence is no longer than that.
	slow := record.Reporter{Name: "other", Kind: "other", Every: record.Given(600)}
	both := silent([]record.Reporter{r, slow}, UsualListeners(), triangle(100e3))
	if len(both.All) != 0 || *both.Gap != 600 {
		t.Errorf("%.0f s: %+v", *both.Gap, both.All)
	}
	// With a ceiling of its own at 27 km, passed at 3240 and 3960 s, both are silent
	// for 12 min, and the slow one alone is heard around it: 720 + 600.
	slow.Ceiling.Limited, slow.Ceiling.Given, slow.Ceiling.Height = true, true, 27000
	both = silent([]record.Reporter{r, slow}, UsualListeners(), triangle(100e3))
	if len(both.All) != 1 || math.Abs(*both.Gap-1320) > 20 {
		t.Errorf("%.0f s: %+v", *both.Gap, both.All)
	}
	// A quick one heard all the while leaves no gap but its own interval.
	quick := record.Reporter{Name: "quick", Kind: "other", Every: record.Given(20)}
	if all := silent([]record.Reporter{r, slow, quick}, UsualListeners(), triangle(100e3)); *all.Gap != 20 {
		t.Errorf("%.0f s", *all.Gap)
	}
}

// On the way down at 100 km from the launch, antenna there 2 m up: 4.12 (sqrt h +
// sqrt 2) km = d, so h = (d / 4.12 - 1.41)^2.
func TestRadioHorizonToTheGroundStation(t *testing.T) {
	path := triangle(300e3)
	s := silent([]record.Reporter{reporter("radio")}, UsualListeners(), path)
	first := s.Reporters[0].Spells[0]
	var lost spot
	for _, p := range path {
		if p.after == first.From {
			lost = p
		}
	}
	want := math.Pow(lost.fromLaunch/4120-math.Sqrt2, 2)
	// One place is 83 m lower than the one before, and 4.12 has three digits.
	if math.Abs(lost.alt-want) > 83+0.005*want || first.Why != "below the radio horizon of everyone who listens" {
		t.Errorf("lost at %.0f m, want %.0f: %+v", lost.alt, want, first)
	}
	last := s.Reporters[0].Spells[len(s.Reporters[0].Spells)-1]
	if last.To != 10800 || !strings.Contains(last.Why, "on the ground") {
		t.Errorf("%+v", last)
	}
	// A car 20 km from the landing hears it lower down; one within 2 km on the ground too.
	car := UsualListeners()
	car.Near = record.Given(20e3)
	nearer := silent([]record.Reporter{reporter("radio")}, car, path)
	if a, b := first.From, nearer.Reporters[0].Spells[0].From; !(b > a) {
		t.Errorf("without a car from %.0f s, with one from %.0f", a, b)
	}
	car.Near = record.Given(1000)
	if s := silent([]record.Reporter{reporter("radio")}, car, path); len(s.Reporters[0].Spells) != 0 {
		t.Errorf("%+v", s.Reporters[0].Spells)
	}
	relay := UsualListeners()
	relay.Relay = record.Given(60e3)
	if s := silent([]record.Reporter{reporter("radio")}, relay, path); !(s.Reporters[0].Spells[0].From > first.From) {
		t.Errorf("a relay does not help: %+v", s.Reporters[0].Spells)
	}
}

func TestCellularIsSilentAloft(t *testing.T) {
	s := silent([]record.Reporter{reporter("cellular")}, UsualListeners(), triangle(50e3))
	spell := s.Reporters[0].Spells[0]
	// 2 km are passed at 240 s and again at 6960 s.
	if math.Abs(spell.From-240) > 11 || math.Abs(spell.To-6960) > 11 {
		t.Errorf("%+v", spell)
	}
}

func TestReportersWithoutFigures(t *testing.T) {
	if s := silent(nil, UsualListeners(), triangle(50e3)); s != nil {
		t.Errorf("%+v", s)
	}
	s := silent([]record.Reporter{{Kind: "other"}}, UsualListeners(), triangle(50e3))
	if s.Gap != nil || s.Oldest != nil || !strings.Contains(s.Text, "no gap can be worked out") {
		t.Errorf("%+v", s)
	}
	if notes := strings.Join(s.Reporters[0].Notes, " "); !strings.Contains(notes, "no height") || !strings.Contains(notes, "18.0 km") {
		t.Errorf("%s", notes)
	}
}
