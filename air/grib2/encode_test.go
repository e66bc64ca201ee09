package grib2

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// invented is a small global message whose values a test can fill in.
func invented(ni, nj int) Message {
	return Message{
		Discipline: 0, Centre: 7, Reference: time.Date(2027, 4, 17, 6, 0, 0, 0, time.UTC), DataType: 1,
		Product: Product{Category: 2, Number: 2, Process: 2, ForecastSeconds: 9 * 3600, First: Surface{Type: 100, Value: 25000}, Second: Surface{Type: 255, Missing: true}},
		Grid:    Grid{Ni: ni, Nj: nj, La1: 90, Lo1: 0, La2: -90, Lo2: 360 - 360/float64(ni), Di: 360 / float64(ni), Dj: 180 / float64(nj-1)},
		Packing: Packing{Template: 3, Order: 2, Decimal: 2},
		Values:  make([]float64, ni*nj),
	}
}

func encoded(t testing.TB, m Message) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Encode(&out, m); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func onlyField(t testing.TB, data []byte) *Field {
	t.Helper()
	fields, faults := Scan(data)
	if len(faults) > 0 || len(fields) != 1 {
		t.Fatalf("%d fields and faults %v", len(fields), faults)
	}
	return &fields[0]
}

// TestRoundTrip packs values of many shapes and takes them out again. They may
// differ by half a step of the packing, and by the rounding of the sums.
func TestRoundTrip(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	shapes := map[string]func(i int) float64{
		"constant": func(int) float64 { return 273.15 },
		"zero":     func(int) float64 { return 0 },
		"wave":     func(i int) float64 { return 40*math.Sin(float64(i)/17) + 10*math.Cos(float64(i)/3) },
		"noise":    func(int) float64 { return 1000*random.Float64() - 700 },
		"spike":    func(i int) float64 { return map[bool]float64{true: 1e5, false: -3}[i == 77] },
		"steps":    func(i int) float64 { return float64(i / 50) },
		"holes": func(i int) float64 {
			if random.IntN(3) == 0 {
				return math.NaN()
			}
			return float64(i % 13)
		},
		"all missing": func(int) float64 { return math.NaN() },
	}
	packings := []Packing{{Template: 0}, {Template: 3, Order: 1}, {Template: 3, Order: 2}}
	for name, shape := range shapes {
		for _, packing := range packings {
			for _, precision := range [][2]int{{0, 0}, {2, 0}, {3, 1}, {-1, 0}, {1, -3}} {
				for _, size := range [][2]int{{24, 13}, {2, 2}, {5, 2}} {
					m := invented(size[0], size[1])
					packing.Decimal, packing.Binary = precision[0], precision[1]
					m.Packing = packing
					for i := range m.Values {
						m.Values[i] = shape(i)
					}
					t.Run(fmt.Sprintf("%s/5.%d/%d/%v/%v", name, packing.Template, packing.Order, precision, size), func(t *testing.T) { roundTrip(t, m) })
				}
			}
		}
	}
}

func roundTrip(t *testing.T, m Message) {
	f := onlyField(t, encoded(t, m))
	got, err := f.Decode(nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(m.Values) {
		t.Fatalf("%d values, not %d", len(got), len(m.Values))
	}
	step := math.Ldexp(1, m.Packing.Binary) * math.Pow10(-m.Packing.Decimal)
	for i, want := range m.Values {
		if math.IsNaN(want) != math.IsNaN(got[i]) || math.Abs(got[i]-want) > step/2+1e-12*math.Abs(want) {
			t.Fatalf("value %d is %v, not %v", i, got[i], want)
		}
	}
}

// TestRoundTripHeaders checks that what was said about a field comes back.
func TestRoundTripHeaders(t *testing.T) {
	m := invented(36, 19)
	m.Product = Product{Template: 1, Category: 3, Number: 5, Process: 4, Generator: 96, ForecastSeconds: -90 * 60,
		First: Surface{Type: 104, Value: 0.995}, Second: Surface{Type: 109, Value: -2e-6}, EnsembleType: 3, Member: 17, MembersInEnsemble: 30}
	m.Centre, m.SubCentre, m.Discipline = 98, 2, 10
	f := onlyField(t, encoded(t, m))
	want := m.Product
	want.Known, want.Statistic, want.EndSeconds = true, 255, want.ForecastSeconds
	if f.Product != want {
		t.Errorf("the product is %+v, not %+v", f.Product, want)
	}
	if f.Centre != 98 || f.SubCentre != 2 || f.Discipline != 10 || !f.Reference.Equal(m.Reference) || f.DataType != 1 {
		t.Errorf("the identification is %d %d %d %v %d", f.Centre, f.SubCentre, f.Discipline, f.Reference, f.DataType)
	}
	g := f.Grid
	if g.Ni != 36 || g.Nj != 19 || g.La1 != 90 || g.Lo1 != 0 || g.La2 != -90 || g.Lo2 != 350 || g.Di != 10 || g.Dj != 10 || g.ScanMode != 0 {
		t.Errorf("the grid is %+v", g)
	}
}

// TestEncodeRefuses checks that impossible messages are refused and that
// nothing is written for them.
func TestEncodeRefuses(t *testing.T) {
	for name, spoil := range map[string]func(m *Message){
		"packing template": func(m *Message) { m.Packing.Template = 2 },
		"order":            func(m *Message) { m.Packing.Order = 3 },
		"grid template":    func(m *Message) { m.Grid.Template = 30 },
		"too few values":   func(m *Message) { m.Values = m.Values[1:] },
		"latitude":         func(m *Message) { m.Grid.La1 = 91 },
		"grid step":        func(m *Message) { m.Grid.Dj = 1 },
		"product template": func(m *Message) { m.Product.Template = 8 },
		"member":           func(m *Message) { m.Product.Template, m.Product.Member = 1, -1 },
		"precision":        func(m *Message) { m.Values[3], m.Packing.Decimal = 1e9, 5 },
		"infinity":         func(m *Message) { m.Values[3] = math.Inf(1) },
		"decimal":          func(m *Message) { m.Packing.Decimal = 300 },
		"level":            func(m *Message) { m.Product.First.Value = math.Pi },
	} {
		m := invented(8, 5)
		spoil(&m)
		var out bytes.Buffer
		if err := Encode(&out, m); err == nil || out.Len() > 0 {
			t.Errorf("%s: error %v, %d octets written", name, err, out.Len())
		}
	}
	if err := Encode(brokenWriter{}, invented(8, 5)); !errors.Is(err, errBroken) {
		t.Errorf("a failing writer gives %v", err)
	}
}

var errBroken = errors.New("broken")

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errBroken }

// TestCompact packs a smooth field of a quarter degree and expects complex
// packing with differences to need less than half of simple packing: about what
// the weather services reach with the same method.
func TestCompact(t *testing.T) {
	m := invented(1440, 721)
	for j := range 721 {
		for i := range 1440 {
			lat, lon := math.Pi*(float64(j)/720-0.5), 2*math.Pi*float64(i)/1440
			m.Values[j*1440+i] = 25 + 40*math.Sin(2*lat)*math.Cos(4*lon) + 3*math.Sin(20*lat+11*lon)
		}
	}
	length := map[uint16]int{}
	for _, template := range []uint16{0, 3} {
		m.Packing.Template = template
		length[template] = len(encoded(t, m))
	}
	if length[3] > length[0]/2 {
		t.Errorf("complex packing needs %d octets, simple packing %d", length[3], length[0])
	}
	t.Logf("simple %d octets, complex %d", length[0], length[3])
}
