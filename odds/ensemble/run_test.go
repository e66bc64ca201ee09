package ensemble

import (
	"context"
	"math"
	"slices"
	"testing"

	"pappus/air/atmosphere"
	"pappus/air/forecast"
	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
)

// plan is a flight of usual size: 1200 g of latex, 1.6 kg below it, about 5 m/s.
func plan() Craft {
	gas := liftgas.Gas{Kind: liftgas.Helium, Purity: 1}
	standard := atmosphere.At(0)
	air := inflation.Air{Pressure: standard.Pressure, Temperature: standard.Temperature, Density: standard.Density}
	gross := inflation.FreeLift(1.1).Neck(1.6).Gross(1.2)
	open := canopy.FromDiameter(canopy.FlatCircular(), 1.5, 0.75)
	return Craft{
		Gas: gas, GasMoles: inflation.MolesForGross(gross, air, gas, 0), EnvelopeMass: 1.2, TrainMass: 1.6,
		Burst:      envelope.NewBurstLaw(8.3, 0.06, 0.05),
		CanopyArea: open.DragArea(), FillingWay: open.FillingDistance(), BodyArea: 0.05,
		Remains: Remains{0.1, 0.3, 0.9},
	}
}

func request(members int) Request {
	return Request{
		Craft: plan(), Spread: UsualSpread(), Sky: forecast.StandardSky(), Ground: trajectory.Flat(0),
		Members: members, Seed: 1, Workers: 2,
	}
}

func TestSameAnswerForAnyNumberOfWorkers(t *testing.T) {
	one, eight := request(200), request(200)
	one.Workers, eight.Workers = 1, 8
	a, err := Run(context.Background(), one)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Run(context.Background(), eight)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(a.Landings, b.Landings) {
		t.Fatal("one worker and eight disagree")
	}
}

func TestInterruptGivesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	q := request(100000)
	q.Progress = func(int) { cancel() }
	if result, err := Run(ctx, q); err != ErrStopped || result != nil {
		t.Fatalf("got %v, %v", result, err)
	}
}

// A member costs no allocation: all its storage is the worker's own.
func TestNoAllocationPerMember(t *testing.T) {
	q := request(1)
	q.Sky = forecast.StandardSky()
	sampler := q.Sky.Sampler(0)
	law := lawFor(q.Spread, q.Sky, geo.Point{}, 0, 24)
	w := worker{q: &q, at: q.Craft.release(sampler.At(0, 0, 0, 0)), generator: newGenerator(), doubt: trajectory.Doubt{Law: law}}
	var into Landing
	if n := testing.AllocsPerRun(20, func() { w.fly(3, &into) }); n != 0 {
		t.Fatalf("%v allocations per member", n)
	}
}

// The spread of burst heights must follow the spread of burst sizes: a share
// of size moves the burst by three times that share of the density scale
// height (a consequence of the gas law).
func TestBurstHeightsSpread(t *testing.T) {
	q := request(4000)
	q.Spread = Spread{}
	q.Craft.Burst = envelope.NewBurstLaw(8.3, 0.06, 0)
	result, err := Run(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	var sum, square float64
	for _, l := range result.Landings {
		sum += l.BurstAlt
		square += l.BurstAlt * l.BurstAlt
	}
	n := float64(len(result.Landings))
	deviation := math.Sqrt(square/n - sum*sum/n/n)
	// Scale height of density near 31 km: 6.5 km; 4,000 draws give the deviation to about 2 %,
	// the changing scale height and the skew of the law another 5 %.
	if want := 3 * 0.06 * 6500; math.Abs(deviation/want-1) > 0.08 {
		t.Errorf("burst heights scatter by %.0f m, want about %.0f m", deviation, want)
	}
}

func BenchmarkMember(b *testing.B) {
	q := request(b.N)
	q.Workers = 1
	b.ReportAllocs()
	if _, err := Run(context.Background(), q); err != nil {
		b.Fatal(err)
	}
}

func TestNominalFlight(t *testing.T) {
	out, track := Nominal(request(1))
	if out.Status != trajectory.Landed || len(track.Up) == 0 || len(track.Down) == 0 {
		t.Fatalf("status %v, %d rows up, %d down", out.Status, len(track.Up), len(track.Down))
	}
	// 156.24 mol fill a sphere of 8.3 m where p/T = 4.339 Pa/K, which the US
	// Standard Atmosphere 1976 has at 31,286 m; the burst is found inside a step
	// of 150 m to a few metres.
	if math.Abs(out.Burst.Alt-31286) > 5 {
		t.Errorf("bursts at %.1f m, want 31286 m", out.Burst.Alt)
	}
	// The WMO-No. 8 rows with such a free lift rise at 300 m a minute; a real
	// balloon scatters by 8 to 9 %.
	if rate := out.Burst.Alt / out.Burst.Seconds; math.Abs(rate/5-1) > 0.09 {
		t.Errorf("rises at %.2f m/s in the mean, want about 5 m/s", rate)
	}
	// sqrt(2 m g / (rho CdA)) of 1.96 kg, 0.75 × 1.767 m2 + 0.05 m2, at the sea;
	// a settled fall lags its thinner air by a thousandth.
	if math.Abs(out.LandingSpeed/4.7767-1) > 0.003 {
		t.Errorf("lands at %.4f m/s, want 4.7767 m/s", out.LandingSpeed)
	}
}
