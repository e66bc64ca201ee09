package logtable

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The standard library's functions are good to about 2e-16, far finer than what
// is promised here.
func TestExp(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct{ reach, tolerance float64 }{{0.01, 1e-14}, {1, 1e-14}, {40, 1e-14}, {700, 1e-13}} {
		for range 20000 {
			x := (2*rng.Float64() - 1) * c.reach
			if got, want := Exp(x), math.Exp(x); math.Abs(got/want-1) > c.tolerance {
				t.Fatalf("Exp(%v) = %v, want %v", x, got, want)
			}
		}
	}
	for _, x := range []float64{0, math.Copysign(0, -1), 700, -700, 710, -746, math.Inf(1), math.Inf(-1), math.Ln2, -math.Ln2} {
		if got, want := Exp(x), math.Exp(x); got != want && !(math.Abs(got/want-1) <= 1e-13) {
			t.Errorf("Exp(%v) = %v, want %v", x, got, want)
		}
	}
	if !math.IsNaN(Exp(math.NaN())) {
		t.Error("no number has an exponential")
	}
}

func TestLog(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for _, reach := range []float64{1e-9, 0.01, 1, 30, 700} {
		for range 20000 {
			x := math.Exp((2*rng.Float64() - 1) * reach)
			if got, want := Log(x), math.Log(x); math.Abs(got-want) > 1e-15+4e-16*math.Abs(want) {
				t.Fatalf("Log(%v) = %v, want %v", x, got, want)
			}
		}
	}
	for _, x := range []float64{1, 2, 0.5, math.Nextafter(2, 0), math.Nextafter(1, 0), 0, 5e-324, 0x1p-1022, math.MaxFloat64, math.Inf(1)} {
		if got, want := Log(x), math.Log(x); got != want && !(math.Abs(got-want) <= 4e-16*math.Abs(want)) {
			t.Errorf("Log(%v) = %v, want %v", x, got, want)
		}
	}
	for _, x := range []float64{-1, math.NaN(), math.Inf(-1)} {
		if !math.IsNaN(Log(x)) {
			t.Errorf("Log(%v) = %v", x, Log(x))
		}
	}
}

var sink float64

func BenchmarkExp(b *testing.B) {
	for i := range b.N {
		sink += Exp(-float64(i&1023) * 0.01)
	}
}

func BenchmarkStandardExp(b *testing.B) {
	for i := range b.N {
		sink += math.Exp(-float64(i&1023) * 0.01)
	}
}

func BenchmarkLog(b *testing.B) {
	for i := range b.N {
		sink += Log(float64(i&1023 + 1000))
	}
}

func BenchmarkStandardLog(b *testing.B) {
	for i := range b.N {
		sink += math.Log(float64(i&1023 + 1000))
	}
}
