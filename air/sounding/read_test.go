package sounding

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pappus/air/atmosphere"
	"pappus/measure/geo"
)

const good = `alt_m,temperature_c,wind_from_deg,wind_speed_mps
0,15,270,10
1000,8.5,180,20
2000,2,0,0
`

func read(t *testing.T, text string) Profile {
	t.Helper()
	p, err := Read("sky.csv", []byte(text))
	if err != nil {
		t.Fatalf("a sound table is refused:\n%v", err)
	}
	return p
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.8g, expected %.8g ± %.2g", what, got, want, tolerance)
	}
}

func TestReadPlainTable(t *testing.T) {
	p := read(t, good)
	levels := p.Levels(45)
	if p.Len() != 3 || len(levels) != 3 || p.Vertical != ByGeometric || !p.HasTemp {
		t.Fatalf("read %+v", p)
	}
	// A wind from the west blows towards the east; one from the south, north.
	for i, want := range []struct{ east, north, temperature float64 }{{10, 0, 288.15}, {0, 20, 281.65}, {0, 0, 275.15}} {
		near(t, "east", levels[i].WindEast, want.east, 1e-12)
		near(t, "north", levels[i].WindNorth, want.north, 1e-12)
		near(t, "temperature", levels[i].Temperature, want.temperature, 1e-9)
	}
	// The lowest row stands at sea level, where the standard has 1013.25 hPa.
	near(t, "pressure at sea level", levels[0].Pressure, 101325, 1e-6)
}

// A table of the standard atmosphere by height, without pressures, must come
// back to the published pressures ([USSA76] table I, geopotential heights).
func TestHydrostaticAgainstStandardTable(t *testing.T) {
	p := read(t, `height_m,temperature_c,wind_from_deg,wind_speed_kt
0,15,90,10
11000,-56.5,90,10
20000,-56.5,90,10
32000,-44.5,90,10
`)
	// The published figures have five digits.
	for i, want := range []float64{101325, 22632, 5474.9, 868.02} {
		near(t, "pressure", p.Levels(45)[i].Pressure, want, want*2e-5)
	}
	near(t, "knots", p.Levels(45)[0].WindEast, -10*1852.0/3600, 1e-12)
}

func TestHeightFromPressure(t *testing.T) {
	// Standard heights of pressure levels in geopotential metres, as tabulated in
	// aviation: 850 hPa 1457 m, 500 hPa 5574 m, 100 hPa 16180 m, 10 hPa 31055 m.
	pressures := []float64{850, 500, 100, 10}
	heights := []float64{1457, 5574, 16180, 31055}
	text := "pressure_hpa,wind_from_deg,wind_speed_mps\n"
	for _, p := range pressures {
		text += fmt.Sprintf("%g,10,5\n", p)
	}
	p := read(t, text)
	if p.HasTemp || p.Vertical != ByPressure {
		t.Fatalf("read %+v", p)
	}
	for i, l := range p.Levels(0) {
		near(t, "height", float64(l.Height), heights[i], 0.6) // rounded to the metre
		near(t, "temperature", l.Temperature, atmosphere.AtGeopotential(l.Height).Temperature, 1e-9)
	}
	// An isothermal layer from 1000 to 500 hPa at 0 °C is R T/g ln 2 = 5541.9 m thick.
	p = read(t, "pressure_hpa,temperature_c,wind_from_deg,wind_speed_mps\n1000,0,0,0\n500,0,0,0\n")
	l := p.Levels(0)
	near(t, "thickness", float64(l[1].Height-l[0].Height), 287.053*273.15/9.80665*math.Ln2, 0.1)
}

func TestGeometricHeightsDependOnLatitude(t *testing.T) {
	p := read(t, "alt_m,wind_from_deg,wind_speed_mps\n0,0,0\n30000,0,0\n")
	equator, pole := p.Levels(0)[1].Height, p.Levels(90)[1].Height
	// Gravity at the pole is 0.53 % stronger ([WGS84]); so is the work of climbing.
	near(t, "ratio", float64(pole/equator), 1.0053, 2e-4)
	if back := geo.Geometric(pole, 90); math.Abs(float64(back)-30000) > 1e-6 {
		t.Errorf("30 km come back as %v", back)
	}
}

func TestHeightWinsAndPressuresAreKept(t *testing.T) {
	p := read(t, `pressure_hpa,height_m,wind_from_deg,wind_speed_mps
900,1000,0,0
,1500,0,0
800,2000,0,0
800,2005,0,0
700,3000,0,0
,4000,0,0
`)
	l := p.Levels(45)
	if p.Vertical != ByGeopotential {
		t.Fatal("the height does not place the rows")
	}
	near(t, "given", l[0].Pressure, 90000, 1e-9)
	near(t, "half way in the logarithm", l[1].Pressure, math.Sqrt(90000.0*80000), 1e-6)
	near(t, "given", l[2].Pressure, 80000, 1e-9)
	// The rounded twin of row 4 is drawn between its neighbours.
	near(t, "rounded twin", l[3].Pressure, 80000*math.Pow(7.0/8, 0.005), 1e-6)
	near(t, "above the last given", l[5].Pressure, 70000*math.Exp(-9.80665/287.053*1000/265.4), 70000*1e-4)
}

func TestReadBothWaysUp(t *testing.T) {
	up := read(t, good)
	down := read(t, "alt_m,temperature_c,wind_from_deg,wind_speed_mps\n2000,2,0,0\n1000,8.5,180,20\n0,15,270,10\n")
	for i, l := range up.Levels(10) {
		if got := down.Levels(10)[i]; got != l {
			t.Errorf("row %d: %+v from above, %+v from below", i, got, l)
		}
	}
}

func TestReadForgives(t *testing.T) {
	want := read(t, good).Levels(10)
	for name, text := range map[string]string{
		"byte order mark":      "\xef\xbb\xbf" + good,
		"Windows line ends":    strings.ReplaceAll(good, "\n", "\r\n"),
		"blank lines":          strings.ReplaceAll(good, "\n", "\n\n,,,\n"),
		"spaces and capitals":  strings.Replace(good, "alt_m,temperature_c", " Alt_m , TEMPERATURE_C", 1),
		"quotation marks":      strings.Replace(good, "1000,8.5", `"1000","8.5"`, 1),
		"no line end":          strings.TrimSuffix(good, "\n"),
		"columns of no matter": strings.ReplaceAll(good, "\n", ",x\n"),
	} {
		p, err := Read("sky.csv", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for i, l := range p.Levels(10) {
			if l != want[i] {
				t.Errorf("%s: row %d reads %+v, not %+v", name, i, l, want[i])
			}
		}
	}
}

func TestFaults(t *testing.T) {
	head := "alt_m,temperature_c,wind_from_deg,wind_speed_mps\n0,15,270,10\n"
	for name, c := range map[string]struct{ text, want string }{
		"empty":              {"", "sky.csv: the file is empty: expected a table with a header such as"},
		"only a mark":        {"\xef\xbb\xbf \n", "sky.csv: the file is empty"},
		"wide text":          {"\xff\xfea\x00", "sky.csv: the text is UTF-16"},
		"octets":             {"GRIB\x00\x00\x00\x02", "sky.csv: this is no plain text"},
		"semicolons":         {"alt_m;wind_from_deg\n0;1\n", "row 1: the columns are divided by semicolons"},
		"tabs":               {"alt_m\twind_from_deg\n0\t1\n", "row 1: the columns are divided by tabs"},
		"no vertical":        {"wind_from_deg,wind_speed_kt\n1,2\n", "row 1: a column is missing: give alt_m (metres above the sea) or height_m"},
		"no direction":       {"alt_m,wind_speed_kt\n1,2\n", "row 1: a column is missing: give wind_from_deg"},
		"no speed":           {"alt_m,wind_from_deg\n1,2\n", "row 1: a column is missing: give wind_speed_mps (metres per second) or wind_speed_kt (knots)"},
		"feet":               {"alt_ft,wind_from_deg,wind_speed_kt\n1,2,3\n", "row 1, alt_ft: this column is not read under that name: give alt_m"},
		"pressure unit":      {"Pressure (mb),wind_from_deg,wind_speed_kt\n1,2,3\n", "row 1, Pressure (mb): this column is not read"},
		"kelvin":             {"alt_m,temperature_k,wind_from_deg,wind_speed_kt\n1,2,3,4\n", "row 1, temperature_k: this column is not read under that name: give temperature_c (degrees Celsius)"},
		"slip of the pen":    {"alt_m,wind_form_deg,wind_speed_kt\n1,2,3\n", "row 1, wind_form_deg: this column is not read under that name: give wind_from_deg"},
		"wind to":            {"alt_m,wind_to_deg,wind_speed_kt\n1,2,3\n", "row 1, wind_to_deg"},
		"miles an hour":      {"alt_m,wind_from_deg,wind_speed_mph\n1,2,3\n", "row 1, wind_speed_mph"},
		"twice":              {"alt_m,alt_m,wind_from_deg,wind_speed_kt\n1,1,2,3\n", "row 1, alt_m: this column stands twice"},
		"two speeds":         {"alt_m,wind_from_deg,wind_speed_kt,wind_speed_mps\n1,2,3,4\n", "the wind speed is given twice"},
		"no row":             {"alt_m,wind_from_deg,wind_speed_kt\n", "sky.csv: the table has no row: at least two heights"},
		"one row":            {head, "sky.csv: the table has one row only: at least two heights"},
		"decimal commas":     {head + "1000,8,5,180,20\n", "row 3: the row has 5 cells, the header 4"},
		"quoted comma":       {head + "1000,\"8,5\",180,20\n", `row 3, temperature_c: "8,5" has a comma`},
		"empty cell":         {head + "1000,8.5,,20\n", "row 3, wind_from_deg: the cell is empty"},
		"short row":          {head + "1000,8.5,180\n", "row 3, wind_speed_mps: the cell is empty"},
		"NaN":                {head + "1000,NaN,180,20\n", `row 3, temperature_c: "NaN" is not a number`},
		"words":              {head + "1000,8.5,south,20\n", `row 3, wind_from_deg: "south" is not a number`},
		"hexadecimal":        {head + "0x10,8.5,180,20\n", `row 3, alt_m: "0x10" is not a number`},
		"infinite":           {head + "1000,8.5,180,Inf\n", "row 3, wind_speed_mps: Inf cannot be: expected 0 to 200"},
		"out of range":       {head + "1e999,8.5,180,1\n", "row 3, alt_m: 1e999 cannot be"},
		"too far round":      {head + "1000,8.5,361,20\n", "row 3, wind_from_deg: 361 cannot be: expected 0 to 360"},
		"negative speed":     {head + "1000,8.5,180,-1\n", "row 3, wind_speed_mps: -1 cannot be"},
		"storm":              {head + "1000,8.5,180,201\n", "row 3, wind_speed_mps: 201 cannot be: expected 0 to 200 metres per second"},
		"too cold":           {head + "1000,-131,180,20\n", "row 3, temperature_c: -131 cannot be: expected -130 to 60"},
		"kelvin in disguise": {head + "1000,281,180,20\n", "row 3, temperature_c: 281 cannot be"},
		"jumbled":            {head + "2000,2,0,0\n1000,2,0,0\n3000,0,0,0\n", "row 4, alt_m: out of order after row 3: the table goes upwards"},
		"jumbled from top":   {head[:49] + "3000,0,0,0\n1000,0,0,0\n2000,0,0,0\n0,0,0,0\n", "row 4, alt_m: out of order after row 3: the table goes downwards"},
		"doubled":            {head + "1000,2,0,0\n1000,2,0,0\n", "row 4, alt_m: the same height as row 3"},
		"pressure rises":     {"alt_m,pressure_hpa,wind_from_deg,wind_speed_mps\n0,1000,0,0\n9,1020,0,0\n", "row 3, pressure_hpa: higher than in row 2"},
		"pressure doubled":   {"pressure_hpa,wind_from_deg,wind_speed_mps\n1000,0,0\n900,0,0\n900,0,0\n", "row 4, pressure_hpa: the same height as row 3"},
		"in pascals":         {"pressure_hpa,wind_from_deg,wind_speed_mps\n100000,0,0\n", "row 2, pressure_hpa: 100000 cannot be: expected 0.005 to 1200 hectopascals"},
		"quotation":          {head + "\"1000,8.5,180,20\n", "row 3: extraneous or missing \" in quoted-field: mend the quotation marks"},
	} {
		_, err := Read("sky.csv", []byte(c.text))
		var faults Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: accepted, or another kind of error: %v", name, err)
			continue
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: says\n%v\nexpected to hold\n%s", name, err, c.want)
		}
		if len(faults) != 1 {
			t.Errorf("%s: %d faults for one mistake:\n%v", name, len(faults), err)
		}
	}
}

func TestAllFaultsAtOnceUpToABound(t *testing.T) {
	text := "alt_m,wind_from_deg,wind_speed_mps\n"
	for i := range 30 {
		text += fmt.Sprintf("%d,400,1\n", 100*i)
	}
	_, err := Read("sky.csv", []byte(text))
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 11 || !strings.HasPrefix(lines[0], "sky.csv, row 2, wind_from_deg: 400") || lines[10] != "sky.csv: and 20 more of this kind" {
		t.Errorf("the faults read\n%v", err)
	}
}

func TestTooLong(t *testing.T) {
	var text strings.Builder
	text.WriteString("alt_m,wind_from_deg,wind_speed_mps\n")
	for i := range mostRows + 1 {
		fmt.Fprintf(&text, "%d,0,1\n", i)
	}
	if _, err := Read("long.csv", []byte(text.String())); err == nil || !strings.Contains(err.Error(), "over 20000 rows") {
		t.Errorf("a table of %d rows: %v", mostRows+1, err)
	}
	if _, err := Read("long.csv", make([]byte, mostOctets+1)); err == nil {
		t.Error("a table without end is accepted")
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("pressure_hpa,wind_from_deg,wind_speed_kt\n1000,0,0\n500,0,1\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read("sky.csv", data)
		if err != nil {
			return
		}
		levels := p.Levels(30)
		for i, l := range levels {
			if math.IsNaN(float64(l.Height)+l.Temperature+l.WindEast+l.WindNorth) || !(l.Pressure >= 0) {
				t.Fatalf("row %d of an accepted table: %+v", i, l)
			}
			if i > 0 && !(l.Height > levels[i-1].Height && l.Pressure <= levels[i-1].Pressure) {
				t.Fatalf("row %d does not stand above the one below", i)
			}
		}
	})
}
