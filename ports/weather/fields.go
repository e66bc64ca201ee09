package weather

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"pappus/air/atmosphere"
	"pappus/air/grib2"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// parameters are the variables that a flight may need, by the names that an
// index uses, with discipline, category and number of [GRIB2] code table 4.2.
var parameters = map[string][3]uint8{
	"HGT": {0, 3, 5}, "TMP": {0, 0, 0}, "UGRD": {0, 2, 2}, "VGRD": {0, 2, 3}, "RH": {0, 1, 1},
	"GUST": {0, 2, 22}, "TCDC": {0, 6, 1}, "PRMSL": {0, 3, 1},
}

// column are the variables without which a pressure level is of no use.
var column = []string{"HGT", "TMP", "UGRD", "VGRD"}

// Fixed surfaces, [GRIB2] code table 4.5.
const (
	atSurface     = 1
	wholeAir      = 10
	atPressure    = 100
	atSeaLevel    = 101
	aboveGround   = 103
	wholeAirLocal = 200 // the same as 10, in the centre's own numbering
	noSurface     = 255
)

// parseLevel reads the level of an index line, of the kinds that a flight may need.
func parseLevel(text string) (grib2.Surface, bool) {
	switch text {
	case "surface":
		return grib2.Surface{Type: atSurface, Missing: true}, true
	case "mean sea level":
		return grib2.Surface{Type: atSeaLevel, Missing: true}, true
	case "entire atmosphere":
		return grib2.Surface{Type: wholeAir, Missing: true}, true
	}
	if number, ok := strings.CutSuffix(text, " mb"); ok {
		v, err := strconv.ParseFloat(number, 64)
		return grib2.Surface{Type: atPressure, Value: v * unit.HectoPascal}, err == nil && v > 0 && v < 2000
	}
	if number, ok := strings.CutSuffix(text, " m above ground"); ok {
		v, err := strconv.ParseFloat(number, 64)
		return grib2.Surface{Type: aboveGround, Value: v}, err == nil && v >= 0 && v < 1e5
	}
	return grib2.Surface{}, false
}

// parseForecast reads the forecast time of an instant: "anl", "6 hour fcst".
// Averages and the like are none.
func parseForecast(text string) (seconds int64, ok bool) {
	if text == "anl" {
		return 0, true
	}
	words := strings.Fields(text)
	if len(words) != 3 || words[2] != "fcst" {
		return 0, false
	}
	n, ok := natural(words[0])
	length := map[string]int64{"min": unit.Minute, "hour": unit.Hour, "day": unit.Day}[words[1]]
	return int64(n) * length, ok && length > 0 && n < 1_000_000
}

// atGround are the fields near the ground that tell what launch and landing are
// like; the height of the model's surface comes first.
var atGround = []struct{ variable, level string }{
	{"HGT", "surface"}, {"UGRD", "10 m above ground"}, {"VGRD", "10 m above ground"}, {"GUST", "surface"},
	{"TCDC", "entire atmosphere"}, {"PRMSL", "mean sea level"},
}

// humidFrom is the level up to which humidity matters to the weight of air.
const humidFrom = 300 * unit.HectoPascal

// mark tells a wanted field apart.
type mark struct {
	variable string
	kind     uint8
	pressure int64 // thousandths of a pascal
}

func markOf(variable string, s grib2.Surface) mark {
	m := mark{variable: variable, kind: s.Type}
	if s.Type == atPressure {
		m.pressure = int64(math.Round(s.Value * 1000))
	}
	return m
}

// wish is what is wanted of each step, for one member.
type wish map[mark]bool

// choose works out what is wanted from what the indexes of one step offer
// together: the levels that have all of height, temperature and wind, from the
// ground up to the first one above the top of the flight; humidity below
// 300 hPa; and fields near the ground where they are there.
func choose(indexes []Index, step int64, top geo.AltMSL, ground bool) (w wish, levels []float64) {
	offered := map[mark]float64{}
	for _, x := range indexes {
		for _, r := range x {
			if m, value, ok := r.mark(step); ok {
				offered[m] = value
			}
		}
	}
	for m, pressure := range offered {
		whole := m.kind == atPressure && m.variable == "HGT"
		for _, v := range column {
			_, there := offered[mark{v, atPressure, m.pressure}]
			whole = whole && there
		}
		if whole {
			levels = append(levels, pressure)
		}
	}
	slices.SortFunc(levels, func(a, b float64) int { return cmp.Compare(b, a) })
	least := atmosphere.At(top).Pressure
	if above := slices.IndexFunc(levels, func(p float64) bool { return p <= least }); above >= 0 {
		levels = levels[:above+1]
	}
	w = wish{}
	for _, p := range levels {
		s := grib2.Surface{Type: atPressure, Value: p}
		for _, v := range column {
			w[markOf(v, s)] = true
		}
		if _, there := offered[markOf("RH", s)]; there && p >= humidFrom {
			w[markOf("RH", s)] = true
		}
	}
	for _, g := range atGround {
		s, _ := parseLevel(g.level)
		if _, there := offered[markOf(g.variable, s)]; there && ground {
			w[markOf(g.variable, s)] = true
		}
	}
	return w, levels
}

// mark tells which field a line is, if it is an instant at a step of the kinds
// that may be wanted.
func (r Record) mark(step int64) (mark, float64, bool) {
	_, known := parameters[r.Variable]
	s, level := parseLevel(r.Level)
	seconds, instant := parseForecast(r.Forecast)
	if !known || !level || !instant || seconds != step || s.Type == aboveGround && s.Value != 10 {
		return mark{}, 0, false
	}
	return markOf(r.Variable, s), s.Value, true
}

// take answers the messages of an index that hold something of a wish, and
// crosses that off.
func (w wish) take(x Index, step int64) []Message {
	var wanted []Message
	for _, m := range x.Messages() {
		hit := false
		for _, r := range m.Fields {
			if k, _, ok := r.mark(step); ok && w[k] {
				hit = true
				delete(w, k)
			}
		}
		if hit {
			wanted = append(wanted, m)
		}
	}
	return wanted
}

// fieldMark tells which wanted field a decoded header is.
func fieldMark(f *grib2.Field) (mark, bool) {
	p := f.Product
	if !p.Known || p.Statistical || p.Second.Type != noSurface || p.Template > 1 {
		return mark{}, false
	}
	s := p.First
	if s.Type == wholeAirLocal {
		s.Type = wholeAir
	}
	for name, number := range parameters {
		if number != [3]uint8{f.Discipline, p.Category, p.Number} {
			continue
		}
		switch {
		case s.Type == aboveGround && s.Value != 10:
			return mark{}, false
		case s.Type == atPressure && s.Missing:
			return mark{}, false
		case s.Type == atSurface, s.Type == wholeAir, s.Type == atPressure, s.Type == atSeaLevel, s.Type == aboveGround:
			return markOf(name, s), true
		}
	}
	return mark{}, false
}
