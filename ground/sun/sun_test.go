package sun

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pappus/measure/geo"
)

var meadow = geo.Point{LatDeg: 40.0961, LonDeg: -99.2094}

// The dip of the sea horizon as seen is 1.76' times the root of the height in metres [Meeus1998] ch. 15 names the
// geometric 1.93'; navigation tables print 1.76'. The ray's arc lies above both by the same 9 %: 1.93² / 1.76 = 2.1'.
func TestHorizonNearTheGround(t *testing.T) {
	for _, height := range []float64{2, 10, 100, 450} {
		arc := -HorizonDeg(geo.AltAGL(height)) - 50.0/60
		want := 1.925 * 1.925 / 1.76 / 60 * math.Sqrt(height)
		if math.Abs(arc/want-1) > 0.05 { // the tables bend by k = 0.17, our air by 0.22: (0.83/0.78)^½ = 1.03
			t.Errorf("%g m: arc %.4f°, want about %.4f°", height, arc, want)
		}
	}
	if got := HorizonDeg(0); got != -50.0/60 {
		t.Errorf("on the ground %g", got)
	}
}

// Between a straight ray and one bent by the whole 34' more lies the truth.
func TestHorizonHighUp(t *testing.T) {
	previous := 0.0
	for height := 1000.0; height <= 40000; height += 1000 {
		straight := math.Acos(meanEarthRadius/(meanEarthRadius+height)) / degree
		arc := -HorizonDeg(geo.AltAGL(height)) - 50.0/60
		if arc < straight || arc > straight+34.0/60 || arc < previous {
			t.Errorf("%g m: arc %.3f°, straight %.3f°", height, arc, straight)
		}
		previous = arc
	}
}

// The same integral by brute force, in r itself, from a hair above the ground.
func TestHorizonIntegral(t *testing.T) {
	for _, height := range []float64{50, 3000, 30000} {
		const steps = 400000
		sum := 0.0
		for i := range steps {
			u := (float64(i) + 0.5) / steps
			h := height * u * u
			r := meanEarthRadius + h
			q := (1 + 2.77e-4*math.Exp(-h/8000)) * r / ((1 + 2.77e-4) * meanEarthRadius)
			sum += 2 * height * u / steps / (r * math.Sqrt(q*q-1))
		}
		// 2e-4° is 1 second of clock time at most latitudes; the brute force itself loses digits near the ground.
		if got := grazingArcDeg(height); math.Abs(got-sum/degree) > 2e-4 {
			t.Errorf("%g m: %.5f°, brute force %.5f°", height, got, sum/degree)
		}
	}
}

func TestSunsetIsLaterHighUp(t *testing.T) {
	noon := time.Date(2027, 4, 17, 18, 0, 0, 0, time.UTC)
	ground, high := DayAt(noon, meadow, 0), DayAt(noon, meadow, 30000)
	gain := high.Disc.Down.Time.Sub(ground.Disc.Down.Time)
	// 5.95° more at 11.4° an hour (15° cos 40.1° times the slant at declination 10°): 31 minutes.
	if gain < 29*time.Minute || gain > 33*time.Minute {
		t.Errorf("gain %v", gain)
	}
	justAfter := ground.Disc.Down.Time.Add(time.Minute)
	if got := LightAt(justAfter, meadow, 0); got != CivilTwilight {
		t.Errorf("on the ground: %v", got)
	}
	if got := LightAt(justAfter, meadow, 30000); got != Daylight {
		t.Errorf("at 30 km: %v", got)
	}
	if got := LightAt(ground.Civil.Down.Time.Add(time.Minute), meadow, 0); got != Night {
		t.Errorf("after twilight: %v", got)
	}
}

func TestTheDayHoldsTheInstant(t *testing.T) {
	for hour := range 48 {
		at := time.Date(2027, 4, 17, hour, 30, 0, 0, time.UTC)
		day := DayAt(at, meadow, 0)
		if d := day.Noon.Sub(at).Abs(); d > 12*time.Hour+time.Minute {
			t.Errorf("%v: noon %v is %v away", at, day.Noon, d)
		}
		if !day.Disc.Up.Time.Before(day.Noon) || !day.Disc.Down.Time.After(day.Noon) {
			t.Errorf("%v: out of order: %+v", at, day)
		}
	}
}

func TestRefractionIsContinuousAndKnown(t *testing.T) {
	// The almanacs' round figures: 34' at the horizon, 9.9' at 5°, 5.3' at 10°, 1.0' at 45°.
	for _, c := range []struct{ trueDeg, minutes, tolerance float64 }{
		{-34.0 / 60, 34, 1}, {5 - 9.9/60, 9.9, 0.2}, {10 - 5.3/60, 5.3, 0.2}, {45, 1.0, 0.03}, {90, 0, 0.01},
	} {
		if got := refractionDeg(c.trueDeg) * 60; math.Abs(got-c.minutes) > c.tolerance {
			t.Errorf("%g°: %.2f', want %.2f'", c.trueDeg, got, c.minutes)
		}
	}
	for e := -89.0; e < 89; e += 0.01 {
		if d := refractionDeg(e+0.01) - refractionDeg(e); math.Abs(d) > 0.007 { // it is steepest just below -1°, 0.64° a degree
			t.Errorf("jump of %g° at %g°", d, e)
		}
	}
}

func TestNoAllocation(t *testing.T) {
	at := time.Date(2027, 4, 17, 18, 0, 0, 0, time.UTC)
	var light Light
	if n := testing.AllocsPerRun(100, func() { light = LightAt(at, meadow, 1000); DayAt(at, meadow, 0) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
	_ = light
}

func ExampleDayAt() {
	day := DayAt(time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC), geo.Point{LatDeg: 78.2, LonDeg: 15.6}, 0)
	fmt.Println("the Sun", day.Disc.Down.Course)
	day = DayAt(time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC), geo.Point{LatDeg: 47.1, LonDeg: 9.5}, 0)
	fmt.Println(day.Disc.Down.Time.Format("15:04 MST"))
	// Output:
	// the Sun stays above the horizon
	// 19:21 UTC
}

func BenchmarkLightAt(b *testing.B) {
	at := time.Date(2027, 4, 17, 18, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		LightAt(at, meadow, 0)
	}
}

func BenchmarkDayAt(b *testing.B) {
	at := time.Date(2027, 4, 17, 18, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		DayAt(at, meadow, 0)
	}
}
