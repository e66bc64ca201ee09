package record

import (
	"bytes"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/measure/geo"
)

// full uses every table and most keys.
const full = `format = 1
name = "Späte \"Lerche\" \\ 2"
note = """
first line
second line"""

[launch]
latitude = -25.03
longitude = 260.7906
elevation = 2001.5
time = 2027-04-17T08:00:00.5+05:30
note = "gate code at the farm"

[envelope]
name = "large one"
mass = "2.5 lb"
burst_diameter = "27.25 ft"
drag = 0.30
price = 120.5

[gas]
kind = "hydrogen"
purity = 0.99995
fill = { burst_altitude = "98425 ft" }

[[cylinder]]
name = "rented"
water_volume = "49 L"
pressure = "2640 psi"
temperature = "41 F"
count = 2
deposit = 200

[[train]]
part = "other"
name = "swivel"
mass = "3 g"
breaking_load = "90 lbf"

[[train]]
part = "parachute"
canopy = "hemispherical"
rated = { mass = "4 lb", speed = "15 ft/s" }
mass = "7 oz"
note = "washed"

[[train]]
part = "box"
name = "box"
size = ["8 in", 0.2, "20 cm"]
foam = "EPS"
wall = "1 in"
conductivity = "0.034 W/mK"
finish = "foil"

[[train.item]]
name = "camera"
kind = "camera"
mass = "95 g"
power = "2.5 W"
supply = "cells"
coldest = "-10 degC"
warmest = "40 degC"
field_of_view = "92 deg"
lens = "fisheye"
image_width = 4000
bit_rate = "60 Mbit/s"
every = "5 s"
picture_size = "4.5 MB"
storage = "64 GB"

[[train.item]]
name = "cells"
kind = "cell"
mass = "15 g"
count = 4
capacity = "3000 mAh"
voltage = "1.5 V"
energy = "4.5 Wh"
chemistry = "lithium iron disulfide"

[[train.item]]
kind = "heat pack"
mass = "60 g"
heat = "3 W"
lasts = "1 h 30 min"

[[reporter]]
name = "beacon"
kind = "radio"
every = "90 s"
delay = 0
ceiling = "60000 ft"
frequency = "144.39 MHz"
call_sign = "N0CALL"

[[site]]
name = "other field"
latitude = 41
longitude = -98
elevation = "0 m"
drive = "1 h"

[limits]
launch_wind = "12 mph"
water = "5 %"
daylight = "3 h"
forecast_age = "12 h"
landing_energy = "20 J"
budget = 800

[[contact]]
name = "The office"
role = "authority"
phone = "000 000"
email = "office@example.org"

[remains]
share = "12.5 % to 80 %"
note = "from the last flight"

[[test]]
what = "drop"
date = 2027-03-02
result = "pass"
part = "box"
by = "A. Person"
speed = "17 ft/s"
mass = "2 kg"
load = "40 lbf"
time = "3 h"
temperature = "-20 C"

[[test]]
what = "freezer soak"
date = "2027-03-05"
result = "pass"
part = "box"
time = "1 h 30 min"
start = "21 degC"
outside = "-18.5 degC"
temperature = "2 degC"
power = "2.5 W"
reference = "2 kg"
distance = "30 km"
error = "7.5 %"

[[spare]]
name = "envelope"
count = 2
price = 120.5

[cost]
travel = 85.25
fees = 0
other = 12
returned = "87.5 %"

[recovery]
water = "4 %"
water_found = 0.2
out_of_reach = "5 %"
silent = "8 %"
found = "95 %"
label = "12.5 %"

[flown]
time = 2027-04-17T08:12:00+05:30
neck_lift = "5 lb 2 oz"
gauge_before = "2600 psi"
gauge_after = "300 psi"
air_temperature = "70 F"
gas_temperature = "60 F"
weighed = "1650 g"
notes = "light wind\nsun"
`

// unlined takes the places in the file away, which a rewrite may change.
func unlined(f *Flight) *Flight {
	g := *f
	g.Cylinders, g.Train, g.Reporters = slices.Clone(g.Cylinders), slices.Clone(g.Train), slices.Clone(g.Reporters)
	g.Sites, g.Contacts, g.Tests, g.Spares = slices.Clone(g.Sites), slices.Clone(g.Contacts), slices.Clone(g.Tests), slices.Clone(g.Spares)
	for i := range g.Cylinders {
		g.Cylinders[i].Line = 0
	}
	for i := range g.Train {
		g.Train[i].Line = 0
		g.Train[i].Items = slices.Clone(g.Train[i].Items)
		for j := range g.Train[i].Items {
			g.Train[i].Items[j].Line = 0
		}
	}
	for i := range g.Reporters {
		g.Reporters[i].Line = 0
	}
	for i := range g.Sites {
		g.Sites[i].Line = 0
	}
	for i := range g.Contacts {
		g.Contacts[i].Line = 0
	}
	for i := range g.Tests {
		g.Tests[i].Line = 0
	}
	for i := range g.Spares {
		g.Spares[i].Line = 0
	}
	return &g
}

// comesBack holds the promise of the written form.
func comesBack(t *testing.T, f *Flight) {
	t.Helper()
	written := f.Encode()
	again, err := Parse("again.toml", written)
	if err != nil {
		t.Fatalf("the written form has faults:\n%v\n%s", err, written)
	}
	if !reflect.DeepEqual(unlined(f), unlined(again)) {
		t.Errorf("the flight did not come back:\n%+v\n%+v\n%s", unlined(f), unlined(again), written)
	}
	if !bytes.Equal(written, again.Encode()) {
		t.Errorf("two written forms of one flight:\n%s\n%s", written, again.Encode())
	}
	if f.Revision() != again.Revision() {
		t.Error("two revisions of one flight")
	}
}

func TestRoundTrip(t *testing.T) {
	for _, kind := range TemplateKinds() {
		comesBack(t, template(t, kind))
	}
	for _, text := range []string{sound, full} {
		f, err := Parse("flight.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		comesBack(t, f)
	}
}

func TestWrittenFormKeepsThePersonsWords(t *testing.T) {
	f, err := Parse("flight.toml", []byte(full))
	if err != nil {
		t.Fatal(err)
	}
	written := string(f.Encode())
	for _, words := range []string{
		`note = "first line\nsecond line"`, `note = "gate code at the farm"`, `note = "washed"`, `note = "from the last flight"`,
		`name = "Späte \"Lerche\" \\ 2"`, `"2640 psi"`, `"49 L"`, `"90 lbf"`, `rated = { mass = "4 lb",`, `["8 in", "20 cm", "20 cm"]`, `longitude = -99.2094 `,
		`burst_altitude = "98425 ft"`, `"12.5 % to 80 %"`, `2027-04-17T08:00:00.5+05:30`, `"144.39 MHz"`, `"-10 degC"`, `drag = 0.3`,
	} {
		if !strings.Contains(written, words) {
			t.Errorf("%s is not in the written form:\n%s", words, written)
		}
	}
	for _, words := range []string{"burst_spread", "place =", "height_reported", "rules"} {
		if strings.Contains(written, words) {
			t.Errorf("%s was left out by the person and is in the written form", words)
		}
	}
}

func TestValuesRead(t *testing.T) {
	f, err := Parse("flight.toml", []byte(full))
	if err != nil {
		t.Fatal(err)
	}
	// Worked out by hand from the definitions of the units; each reading rounds
	// a few times.
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"longitude", f.Launch.Point.LonDeg, -99.2094},
		{"elevation", float64(f.Launch.Elevation), 2001.5},
		{"envelope", f.Envelope.Mass, 1.133980925},
		{"burst", f.Envelope.BurstDiameter.Value, 8.3058},
		{"altitude", f.Gas.Fill.Value, 29999.94},
		{"bottle", f.Cylinders[0].Temperature.Value, 278.15},
		{"rated", f.Train[1].Canopy.Rated.Speed, 4.572},
		{"bit rate", f.Train[2].Items[0].BitRate.Value, 7.5e6},
		{"heat", f.Train[2].Items[2].Lasts.Value, 5400},
		{"box", f.Train[2].Total(), 0.095 + 0.060 + 0.060},
		{"ceiling", float64(f.Reporters[0].Ceiling.Height), 18288},
		{"neck lift", f.Flown.NeckLift.Value, 2.3246608963},
	} {
		if math.Abs(c.got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%s: %.12g, want %.12g", c.what, c.got, c.want)
		}
	}
	if f.Gas.Fill.Kind != BurstAltitude || f.Envelope.Drag.Varying || f.Envelope.Drag.Coefficient != 0.3 {
		t.Errorf("fill or drag: %+v %+v", f.Gas.Fill, f.Envelope.Drag)
	}
	if want := time.Date(2027, 4, 17, 2, 30, 0, 5e8, time.UTC); !f.Launch.Time.Equal(want) {
		t.Errorf("time %v, want %v", f.Launch.Time, want)
	}
	if soak := f.Tests[len(f.Tests)-1]; math.Abs(soak.Outside.Value-254.65) > 1e-9 || soak.Error != Given(0.075) || soak.Reference != Given(2) || soak.Distance != Given(30000) {
		t.Errorf("soak %+v", soak)
	}
	if len(f.Spares) != 1 || f.Spares[0].Count != 2 || f.Cost.Fees != Given(0) || f.Cost.Returned != Given(0.875) || f.Recovery.Label != Given(0.125) || f.Recovery.Silent != Given(0.08) {
		t.Errorf("spares %+v, cost %+v, recovery %+v", f.Spares, f.Cost, f.Recovery)
	}
	if f.Tests[0].Date != (Date{2027, time.March, 2}) {
		t.Errorf("date %v", f.Tests[0].Date)
	}
}

func TestDefaults(t *testing.T) {
	text := `[launch]
latitude = 40
longitude = -99
elevation = 610
time = 2027-04-17T13:00:00Z
[envelope]
mass = "1200 g"
[gas]
kind = "helium"
fill.neck_lift = "2 kg"
[[train]]
part = "parachute"
diameter = "1.5 m"
[[train]]
part = "box"
mass = 1
[[reporter]]
kind = "satellite"
[[reporter]]
kind = "radio"
[[cylinder]]
water_volume = "49 L"
pressure = "200 bar"
`
	f, err := Parse("flight.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	// 0.169 * 1200^0.549, worked out apart: 8.2893 m.
	if b := f.Envelope.BurstDiameter; b.Given || b.Value < 8.285 || b.Value > 8.295 {
		t.Errorf("burst diameter %+v", b)
	}
	if f.Envelope.BurstSpread != (Quantity{0.06, false}) || f.Envelope.Drag != (Drag{Varying: true}) || f.Envelope.Made.Known() {
		t.Errorf("envelope %+v", f.Envelope)
	}
	if f.Gas.Purity != (Quantity{1, false}) {
		t.Errorf("purity %+v", f.Gas.Purity)
	}
	if f.Remains != (Remains{Low: 0.1, Centre: 0.3, High: 0.9}) {
		t.Errorf("remains %+v", f.Remains)
	}
	if c := f.Train[0].Canopy; c.Kind != "flat circular" || c.KindGiven || c.Drag.Given || c.Drag.Value != 0.775 {
		t.Errorf("canopy %+v; a flat circular one has 0.75 to 0.80", c)
	}
	if f.Reporters[0].HeightReported != (Flag{}) || f.Reporters[1].HeightReported != (Flag{Value: true}) {
		t.Errorf("reporters %+v", f.Reporters)
	}
	if c := f.Cylinders[0]; c.Count != 1 || c.Temperature.Given || c.Temperature.Value < 294.25 || c.Temperature.Value > 294.27 {
		t.Errorf("cylinder %+v, want one at 70 F (294.26 K)", c)
	}
	if f.Format != 1 || f.Rules != "" || f.Flown != nil || f.Launch.Point != (geo.Point{LatDeg: 40, LonDeg: -99}) {
		t.Errorf("flight %+v", f)
	}
	comesBack(t, f)
}

func TestRevision(t *testing.T) {
	f, err := Parse("flight.toml", []byte(sound))
	if err != nil {
		t.Fatal(err)
	}
	same, err := Parse("other.toml", []byte("# a remark\n"+strings.Replace(sound, `"1200 g"`, `"1.2 kg"  # weighed`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	if f.Revision() != same.Revision() {
		t.Error("layout and comments changed the revision")
	}
	other, err := Parse("flight.toml", []byte(strings.Replace(sound, `"1200 g"`, `"1201 g"`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	if f.Revision() == other.Revision() {
		t.Error("a gram more is the same revision")
	}
	if text := f.Revision().String(); len(text) != 12 {
		t.Errorf("revision %q", text)
	}
}

// FuzzParse holds that no file stops the reader, that faults name a line of the
// file, and that whatever is read comes back from its written form.
func FuzzParse(f *testing.F) {
	for _, kind := range TemplateKinds() {
		data, err := Template(kind)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, seed := range []string{sound, full, "", "\ufeff[launch", "[[train]]\n[[train.item]]\n[train]\n", "a.b.c.d.e.f.g.h = 1", "x = {a={b={c={d={e={f={g=1}}}}}}}",
		"x = [[[[[[[[1]]]]]]]]", "name = \"\"\"\nopen", "[remains]\nshare = [0.1, 0.9]\n", "gas = 1\n[gas]\n[gas.fill]\n[[gas]]", "train = [{part = \"box\"}, {part = \"line\", item = [{}]}]"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		flight, err := Parse("fuzz.toml", data)
		if err == nil {
			comesBack(t, flight)
			return
		}
		faults := err.(Faults)
		if len(faults) == 0 {
			t.Fatal("refused without a fault")
		}
		last := 0
		for _, fault := range faults {
			if fault.Line < max(1, last) || fault.Line > 1+bytes.Count(data, []byte("\n")) || fault.Message == "" || strings.ContainsAny(fault.String(), "\n\r\x1b") {
				t.Errorf("fault %q", fault)
			}
			last = fault.Line
		}
	})
}
