package sounding

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"pappus/measure/unit"
)

// quantity is what a column holds.
type quantity int

const (
	geometric quantity = iota
	geopotential
	pressure
	temperature
	direction
	speedMetres
	speedKnots
	quantities // how many there are
)

// column is one that is read: its name, and what its values can be in the air
// between the lowest land and 80 km, in its unit.
type column struct {
	name      string
	low, high float64
	unit      string
}

var columns = [quantities]column{
	geometric:    {"alt_m", -1000, 80000, "metres above the sea"},
	geopotential: {"height_m", -1000, 80000, "geopotential metres above the sea"},
	pressure:     {"pressure_hpa", 0.005, 1200, "hectopascals"},
	temperature:  {"temperature_c", -130, 60, "degrees Celsius"},
	direction:    {"wind_from_deg", 0, 360, "degrees from north, where the wind comes from"},
	speedMetres:  {"wind_speed_mps", 0, 200, "metres per second"},
	speedKnots:   {"wind_speed_kt", 0, 200 / unit.Knot, "knots"},
}

// family is one thing that a table tells, in whichever of its columns, and the
// names by which other tables call it.
type family struct {
	columns  []quantity
	required bool
	stems    []string
}

var families = []family{
	{[]quantity{geometric, geopotential, pressure}, true, []string{"alt", "altitude", "height", "hgt", "geopotential", "gph",
		"gpm", "z", "elevation", "p", "pres", "press", "pressure"}},
	{[]quantity{temperature}, false, []string{"t_c", "t_k", "t_f", "temp", "temperature", "tair", "air_temperature"}},
	{[]quantity{direction}, true, []string{"wind_dir", "wind_direction", "winddir", "winddirection", "wdir", "dir", "direction",
		"wind_from", "wind_to", "drct", "dd"}},
	{[]quantity{speedMetres, speedKnots}, true, []string{"wind_speed", "windspeed", "wspd", "wspeed", "speed", "spd", "sknt", "ff", "wind"}},
}

// units are the endings that a name of a column may carry.
var units = []string{"m", "ft", "km", "feet", "gpm", "hpa", "pa", "mb", "mbar", "c", "k", "f", "degc", "degk", "degf",
	"celsius", "kelvin", "deg", "degrees", "true", "mps", "ms", "m_s", "kt", "kts", "kn", "knots", "mph", "kmh", "km_h", "kph"}

// layout finds the columns of a header. The answer holds, for each quantity,
// its place in a row, or -1.
func layout(file string, header []string) ([quantities]int, Faults) {
	var place [quantities]int
	var faults Faults
	for q := range place {
		place[q] = -1
		for i, name := range header {
			if strings.EqualFold(strings.TrimSpace(name), columns[q].name) {
				if place[q] >= 0 {
					faults = append(faults, Fault{file, 1, columns[q].name, "this column stands twice: keep one"})
				}
				place[q] = i
			}
		}
	}
	for _, f := range families {
		if has(place, f.columns) {
			continue
		}
		if near := f.near(header); near != "" {
			faults = append(faults, Fault{file, 1, near, fmt.Sprintf("this column is not read under that name: give %s", f.expected())})
		} else if f.required {
			faults = append(faults, Fault{file, 1, "", fmt.Sprintf("a column is missing: give %s", f.expected())})
		}
	}
	if place[speedMetres] >= 0 && place[speedKnots] >= 0 {
		faults = append(faults, Fault{file, 1, columns[speedKnots].name, "the wind speed is given twice: keep wind_speed_mps or wind_speed_kt"})
	}
	return place, faults
}

func has(place [quantities]int, any []quantity) bool {
	return slices.ContainsFunc(any, func(q quantity) bool { return place[q] >= 0 })
}

func (f family) expected() string {
	var names []string
	for _, q := range f.columns {
		names = append(names, fmt.Sprintf("%s (%s)", columns[q].name, columns[q].unit))
	}
	return strings.Join(names, " or ")
}

// near answers the first name in a header that seems to mean this family.
func (f family) near(header []string) string {
	for _, name := range header {
		if f.means(plain(name)) {
			return strings.TrimSpace(name)
		}
	}
	return ""
}

func (f family) means(name string) bool {
	if slices.Contains(f.stems, name) {
		return true
	}
	for _, u := range units {
		if stem, cut := strings.CutSuffix(name, "_"+u); cut && slices.Contains(f.stems, stem) {
			return true
		}
	}
	// Slips of the pen: two wrong letters in a long name, one in a short one.
	return slices.ContainsFunc(f.columns, func(q quantity) bool {
		wanted := columns[q].name
		return len(name) >= 5 && distance(name, wanted) <= min(2, len(wanted)/5)
	})
}

// plain brings a name to small letters, with one underscore wherever there is
// anything but letters and digits.
func plain(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(words, "_")
}

// distance counts the letters to change, add or drop between two names.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}
