package trajectory

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/motion/ascent"
	"pappus/motion/descent"
)

func balloon(burst float64) ascent.Balloon {
	const helium = 0.0040026
	return ascent.Balloon{
		GasMoles: 3.9 / (atmosphere.MolarMassAir - helium), GasMolarMass: helium,
		EnvelopeMass: 1.2, TrainMass: 1.6, DragFactor: 1, BurstDiameter: burst,
	}
}

func flight(start Place) Flight {
	return Flight{
		Balloon: balloon(8.3),
		Fall:    descent.Fall{Mass: 1.96, CanopyArea: 1.32, BodyArea: 0.05, FillingWay: 12},
		Start:   start, Steps: UsualSteps,
	}
}

// The worked falls of the parachute section: 1.5 kg under 1.2 m nominal, 0.75,
// from 30 km with 5 m/s upwards, canopy open at once; and the same mass with a
// drag area of 0.04 m2 alone. Computed beforehand by another integration of
// the same equation in the US Standard Atmosphere 1976.
func TestWorkedFalls(t *testing.T) {
	for _, c := range []struct {
		name                           string
		area                           float64
		peak, peakAlt, minutes, landed float64
	}{
		{"canopy", 0.75 * math.Pi / 4 * 1.2 * 1.2, 41.9, 29600, 43.2, 5.32},
		{"bare", 0.04, 157, 26900, 9.5, 24.5},
	} {
		sampler := forecast.StandardSky().Sampler(0)
		f := Flight{Fall: descent.Fall{Mass: 1.5, CanopyArea: c.area}, Steps: UsualSteps}
		out, place := Outcome{}, Place{LatDeg: 45, Alt: 30000}
		if status := f.fall(&sampler, Flat(0), &place, -5, &out, nil); status != Landed {
			t.Fatalf("%s: status %v", c.name, status)
		}
		// Tolerances are half the last printed digit, and a step's length for the height of the peak.
		if math.Abs(out.PeakSpeed-c.peak) > 0.5 || math.Abs(out.PeakAlt-c.peakAlt) > 150 ||
			math.Abs(place.Seconds/60-c.minutes) > 0.06 || math.Abs(out.LandingSpeed-c.landed) > 0.05 {
			t.Errorf("%s: peak %.2f m/s at %.0f m, %.2f min, %.3f m/s; want %+v", c.name, out.PeakSpeed, out.PeakAlt, place.Seconds/60, out.LandingSpeed, c)
		}
	}
}

var epoch = time.Date(2027, 4, 17, 12, 0, 0, 0, time.UTC)

// sky builds a cube whose temperature and heights are the standard's and whose wind is given.
func sky(shape forecast.Shape, wind func(latDeg, lonDeg, alt, seconds float64) (east, north float64)) *forecast.Cube {
	for p := 105000.0; p > 500; p *= 0.97 {
		shape.Pressures = append(shape.Pressures, p)
	}
	return forecast.Invent(shape, func(latDeg, lonDeg, p, seconds float64, _ int) forecast.Node {
		z := atmosphere.PressureAltitude(p)
		e, n := wind(latDeg, lonDeg, float64(z), seconds)
		return forecast.Node{Height: geo.ToGeopotential(z, latDeg), Temperature: atmosphere.Temperature(z), East: e, North: n}
	})
}

func region(south, west, step float64, rows, cols int, hours ...int) forecast.Shape {
	s := forecast.Shape{South: south, West: west, LatStep: step, LonStep: step, Rows: rows, Cols: cols}
	for _, h := range hours {
		s.Times = append(s.Times, epoch.Add(time.Duration(h)*time.Hour))
	}
	return s
}

func fly(t *testing.T, cube *forecast.Cube, f Flight) (Outcome, *Track) {
	t.Helper()
	sampler, track := cube.Sampler(0), &Track{}
	out := f.Fly(&sampler, Flat(f.Start.Alt), track)
	if out.Status != Landed {
		t.Fatalf("status %v", out.Status)
	}
	return out, track
}

// In a uniform southerly wind the way over the ground is the wind times the
// time in the air, shortened by the height (the Earth is wider up there).
func TestUniformWind(t *testing.T) {
	cube := sky(region(30, -110, 1, 20, 20, 0), func(_, _, _, _ float64) (float64, float64) { return 0, 12 })
	out, track := fly(t, cube, flight(Place{LatDeg: 40, LonDeg: -100}))
	meanAlt, last := 0.0, track.Up[0]
	for _, r := range append(track.Up[1:], track.Down...) {
		meanAlt += (r.Seconds - last.Seconds) * (r.Alt + last.Alt) / 2
		last = r
	}
	meanAlt /= out.Landing.Seconds
	meridian, _ := geo.CurvatureRadii(40.5)
	got, azimuth, _ := geo.Inverse(geo.Point{LatDeg: 40, LonDeg: -100}, out.Landing.Point())
	want := 12 * out.Landing.Seconds * meridian / (meridian + meanAlt)
	// The float32 grid holds 12 exactly; what is left is the radius changing with latitude, about 1e-5.
	if math.Abs(got-want) > 5 || math.Abs(azimuth) > 1e-6 {
		t.Errorf("went %.1f m towards %.6f deg, want %.1f m north", got, azimuth, want)
	}
}

// In a wind that grows linearly with height the way is the shear times the
// integral of height over time, which the vertical motion alone gives.
func TestLinearShear(t *testing.T) {
	cube := sky(region(30, -110, 1, 20, 20, 0), func(_, _, alt, _ float64) (float64, float64) { return 0, 0.001 * alt })
	start := Place{LatDeg: 40, LonDeg: -100}
	f := flight(start)
	f.Steps = Steps{Rise: 2, Fall: 2, Way: 20, Most: UsualSteps.Most}
	_, fine := fly(t, sky(region(30, -110, 1, 20, 20, 0), func(_, _, _, _ float64) (float64, float64) { return 0, 0 }), f)
	integral, last := 0.0, fine.Up[0]
	meridian, _ := geo.CurvatureRadii(40.2)
	for _, r := range append(fine.Up[1:], fine.Down...) {
		middle := (r.Alt + last.Alt) / 2
		integral += (r.Seconds - last.Seconds) * 0.001 * middle * meridian / (meridian + middle)
		last = r
	}
	out, _ := fly(t, cube, flight(start))
	got, _, _ := geo.Inverse(start.Point(), out.Landing.Point())
	// 15 m is what a finer step may move.
	if math.Abs(got-integral) > 15 {
		t.Errorf("went %.1f m, want %.1f m", got, integral)
	}
}

// Over a pole, solid-body rotation about it carries a balloon round on its
// circle of latitude, whatever its height: nearly a full turn here.
func TestSolidRotationAroundThePole(t *testing.T) {
	const degreesPerHour = 40.0
	start := Place{LatDeg: 89.2, LonDeg: 10}
	turn := degreesPerHour * math.Pi / 180 / 3600
	cube := sky(forecast.Shape{South: 80, West: 0, LatStep: 0.25, LonStep: 1, Rows: 41, Cols: 360, Times: []time.Time{epoch}},
		func(latDeg, _, alt, _ float64) (float64, float64) {
			_, prime := geo.CurvatureRadii(latDeg)
			return turn * (prime + alt) * math.Cos(latDeg*math.Pi/180), 0
		})
	out, _ := fly(t, cube, flight(start))
	turned := geo.WrapLonDeg(start.LonDeg + degreesPerHour/3600*out.Landing.Seconds)
	away, _, _ := geo.Inverse(geo.Point{LatDeg: 89.2, LonDeg: turned}, out.Landing.Point())
	// The circle is about 89 km wide and walked in chords of 3 s to 15 s (0.2 degrees): each
	// chord's outward error is 0.2 m; some 700 of them give at most 120 m.
	if away > 150 {
		t.Errorf("landed %.0f m from where the rotation ends", away)
	}
}

// A wind that grows linearly in time carries by half its growth times the
// square of the time, whatever the height (seen from the ground's radius).
func TestTimeVaryingWind(t *testing.T) {
	const growth = 10.0 / 3600
	cube := sky(region(30, -110, 1, 20, 20, 0, 1, 2, 3, 4), func(_, _, _, s float64) (float64, float64) { return 0, growth * s })
	out, track := fly(t, cube, flight(Place{LatDeg: 40, LonDeg: -100}))
	want, last := 0.0, track.Up[0]
	meridian, _ := geo.CurvatureRadii(40.2)
	for _, r := range append(track.Up[1:], track.Down...) {
		middle := (r.Alt + last.Alt) / 2
		want += growth * (r.Seconds*r.Seconds - last.Seconds*last.Seconds) / 2 * meridian / (meridian + middle)
		last = r
	}
	got, _, _ := geo.Inverse(geo.Point{LatDeg: 40, LonDeg: -100}, out.Landing.Point())
	if math.Abs(got-want) > 10 {
		t.Errorf("went %.1f m, want %.1f m", got, want)
	}
}

// jet is a sky with everything in it: a westerly jet with a meander that
// moves, easterlies above, turning winds below.
func jet(latDeg, lonDeg, alt, seconds float64) (east, north float64) {
	phase := (lonDeg+seconds/3600)*0.5 + latDeg*0.3
	core := math.Exp(-math.Pow((alt-11000)/4000, 2))
	return 5 + 45*core*(1+0.3*math.Sin(phase)) - 12*math.Tanh((alt-24000)/4000), 6*math.Cos(phase)*core + 3*math.Sin(alt/2000)
}

// departing answers a flight's departures drawn as an ensemble draws them: the
// step must also follow a wind and a rise that bend at every node.
func departing(seed uint64) *Doubt {
	law := &Law{RiseSigma: 0.08, TimeScale: 43200}
	law.WindCorrelation = Correlations(func(float64) float64 { return 3000 })
	law.RiseCorrelation = Correlations(func(float64) float64 { return 4000 })
	for k := range law.WindSigma {
		law.WindSigma[k] = 3
	}
	d, rng := &Doubt{Law: law}, rand.New(rand.NewPCG(seed, 1))
	for _, nodes := range []*[NodeCount]float64{&d.East, &d.North, &d.FreshEast, &d.FreshNorth, &d.Rise} {
		nodes[0] = rng.NormFloat64()
		for k := 1; k < NodeCount; k++ {
			c := law.WindCorrelation[k-1]
			nodes[k] = c*nodes[k-1] + math.Sqrt(1-c*c)*rng.NormFloat64()
		}
	}
	return d
}

// Half the steps, and steps so fine that nothing is left to gain, land nearby.
// The limit is well under the 50 m below which no landing density is drawn, so
// that steps are never seen in an answer.
func TestHalvingTheStepMovesTheLandingLittle(t *testing.T) {
	const limit = 15.0
	cube := sky(region(30, -112, 0.5, 41, 61, 0, 3, 6), jet)
	worst := 0.0
	for i := range 16 {
		x := float64(i)
		start := Place{LatDeg: 36 + math.Mod(x, 5), LonDeg: -103 + 0.5*x, Alt: 100 + 40*x, Seconds: 500 * x}
		usual, half, fine := flight(start), flight(start), flight(start)
		if i%2 == 1 {
			usual.Doubt, half.Doubt, fine.Doubt = departing(uint64(i)), departing(uint64(i)), departing(uint64(i))
		}
		half.Steps = half.Steps.Halved()
		fine.Steps = Steps{Rise: 2, Fall: 1, Way: 15, Most: fine.Steps.Most}
		a, _ := fly(t, cube, usual)
		for _, other := range []Flight{half, fine} {
			b, _ := fly(t, cube, other)
			moved, _, _ := geo.Inverse(a.Landing.Point(), b.Landing.Point())
			worst = max(worst, moved)
			if moved > limit {
				t.Errorf("from %+v: steps of %g s move the landing by %.1f m", start, other.Steps.Rise, moved)
			}
		}
	}
	t.Logf("landings move by %.1f m at most", worst)
}

func TestLandsOnTheGround(t *testing.T) {
	cube := sky(region(30, -110, 1, 20, 20, 0), func(_, _, _, _ float64) (float64, float64) { return 0, 0 })
	f := flight(Place{LatDeg: 40, LonDeg: -100, Alt: 610})
	sampler := cube.Sampler(0)
	out := f.Fly(&sampler, Flat(1500), nil)
	if math.Abs(out.Landing.Alt-1500) > 1e-6 {
		t.Errorf("landed at %.6f m", out.Landing.Alt)
	}
}

// A recorded row tells the air and the size at its own height: those of the
// step's middle belong to air 50 m lower, and half a per cent denser.
func TestRowsTellTheAirOfTheirPlace(t *testing.T) {
	sampler := forecast.StandardSky().Sampler(0)
	f, track := flight(Place{LatDeg: 45, Alt: 610}), &Track{}
	f.Fly(&sampler, Flat(610), track)
	if len(track.Up) < 100 || len(track.Down) < 100 {
		t.Fatalf("%d rows up and %d down", len(track.Up), len(track.Down))
	}
	for _, row := range append(track.Up, track.Down...) {
		want := atmosphere.At(geo.AltMSL(row.Alt))
		// The standard sky is read off levels: between two of them the logarithm
		// of pressure is taken as straight, which costs up to 0.03 %.
		if math.Abs(row.Temperature-want.Temperature) > 0.03 || math.Abs(row.Pressure/want.Pressure-1) > 5e-4 {
			t.Fatalf("at %.1f m: %.3f K, %.2f Pa; the standard has %.3f K, %.2f Pa", row.Alt, row.Temperature, row.Pressure, want.Temperature, want.Pressure)
		}
		volume := f.Balloon.GasMoles * 8.31432 * row.Temperature / row.Pressure
		if d := math.Cbrt(6 / math.Pi * volume); row.Diameter > 0 && math.Abs(row.Diameter/d-1) > 1e-9 {
			t.Fatalf("at %.1f m: %.6f m wide, by the gas law %.6f m", row.Alt, row.Diameter, d)
		}
	}
	// The burst is found inside its step from the air of the step's middle.
	if last := track.Up[len(track.Up)-1]; math.Abs(last.Diameter-8.3) > 8.3*5e-4 {
		t.Errorf("%.4f m wide at the burst, want 8.3 m", last.Diameter)
	}
}

// Looking at the air for the record must change nothing of the flight.
func TestRecordingChangesNothing(t *testing.T) {
	sampler := forecast.StandardSky().Sampler(0)
	f := flight(Place{LatDeg: 45, Alt: 610})
	plain := f.Fly(&sampler, Flat(610), nil)
	if recorded := f.Fly(&sampler, Flat(610), &Track{}); recorded != plain {
		t.Errorf("recorded: %+v, not: %+v", recorded, plain)
	}
}

// The rate of release is that of the release air, not of the air a minute up.
func TestLaunchRateIsThatOfTheReleaseAir(t *testing.T) {
	sampler := forecast.StandardSky().Sampler(0)
	for _, alt := range []float64{-400, 0, 3000} {
		f := flight(Place{LatDeg: 45, Alt: alt})
		f.Balloon.Drag.Constant = 0.3
		air := atmosphere.At(geo.AltMSL(alt))
		volume := f.Balloon.GasMoles * 8.31432 * air.Temperature / air.Pressure
		d := math.Cbrt(6 / math.Pi * volume)
		free := f.Balloon.GasMoles*(0.0289644-0.0040026) - 1.2 - 1.6
		const gravity = 9.80620 // at 45 degrees [WGS84], and within 0.1 % of it 3 km up
		want := math.Sqrt(2 * free * gravity / (0.3 * air.Density * math.Pi / 4 * d * d))
		if got := f.LaunchRate(&sampler); math.Abs(got/want-1) > 1e-3 {
			t.Errorf("at %g m: %.4f m/s, want %.4f", alt, got, want)
		}
	}
}

func TestTooLittleGas(t *testing.T) {
	f := flight(Place{})
	f.Balloon.GasMoles /= 2
	sampler := forecast.StandardSky().Sampler(0)
	if out := f.Fly(&sampler, Flat(0), nil); out.Status != NoLift {
		t.Errorf("status %v", out.Status)
	}
}

// Beside a pole, a departure drawn at one meridian is the same arrow at every
// other: from the pole, north is against the way out and east along the circle.
func TestDeparturesKeepTheirDirectionAcrossThePole(t *testing.T) {
	for _, lat := range []float64{89.99, -89.99} {
		side := math.Copysign(1, lat)
		arrow := func(lon, east, north float64) (x, y float64) { // in the plane of the pole, lon 0 along x
			sin, cos := math.Sincos(lon * math.Pi / 180)
			return -east*sin - side*north*cos, east*cos - side*north*sin
		}
		for _, from := range []float64{0, 100, -170} {
			for _, to := range []float64{0, 90, 180, -95, 179.9} {
				x, y := arrow(from, 3, -2)
				east, north := turned(3, -2, from, Place{LatDeg: lat, LonDeg: to})
				// 0.01 degrees off the pole the meridians turn by all but 2e-8 of the longitude.
				if gotX, gotY := arrow(to, east, north); math.Hypot(gotX-x, gotY-y) > 1e-6 {
					t.Errorf("latitude %g, from %g to %g: (%.6f, %.6f), want (%.6f, %.6f)", lat, from, to, gotX, gotY, x, y)
				}
			}
		}
	}
	if east, north := turned(3, -2, 0, Place{LatDeg: 79, LonDeg: 50}); east != 3 || north != -2 {
		t.Errorf("(%g, %g) far from a pole, want (3, -2)", east, north)
	}
}

// ridges is ground that rises and falls within the way of one step.
type ridges struct{}

func (ridges) Elevation(at geo.Point) geo.AltMSL {
	return geo.AltMSL(500 + 40*math.Sin(at.LonDeg*111000*math.Cos(40*math.Pi/180)/60))
}

// On rough ground, too, a landing is as high as the ground under it.
func TestLandingLiesOnRoughGround(t *testing.T) {
	cube := sky(region(30, -110, 2, 11, 16, 0, 6), func(_, _, _, _ float64) (float64, float64) { return 9, 0 })
	sampler := cube.Sampler(0)
	for i := range 20 {
		f := flight(Place{LatDeg: 40, LonDeg: -100 + float64(i)/1000, Alt: 700})
		out := f.Fly(&sampler, ridges{}, nil)
		if want := float64(ridges{}.Elevation(out.Landing.Point())); out.Status != Landed || math.Abs(out.Landing.Alt-want) > 1e-9 {
			t.Fatalf("lands at %.3f m where the ground is at %.3f m", out.Landing.Alt, want)
		}
	}
}
