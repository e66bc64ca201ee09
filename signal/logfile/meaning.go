package logfile

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"pappus/measure/unit"
	"pappus/signal/notation"
)

// Meaning is what a column holds.
type Meaning int

// The meanings.
const (
	Ignored Meaning = iota
	When            // date and time of day
	Date
	Clock
	Epoch   // seconds since 1970
	Elapsed // seconds since the start
	Latitude
	Longitude
	Both // latitude and longitude in one cell
	LatSide
	LonSide
	HeightSea
	HeightEllipsoid
	HeightPressure
	HeightGround
	HeightUnsaid
	Speed
	Course
	Climb
	Satellites
	Dilution
	FixMode
	meanings
)

func (m Meaning) String() string {
	return [...]string{"nothing", "date and time", "date", "time of day", "seconds since 1970", "seconds since the start", "latitude", "longitude", "latitude and longitude",
		"north or south", "east or west", "height above sea", "height above the ellipsoid", "pressure height", "height above ground", "height", "speed", "course", "rise rate", "satellites", "dilution", "fix"}[m]
}

func (m Meaning) height() bool { return m >= HeightSea && m <= HeightUnsaid }

// Units are the factors to SI (for angles: to degrees) by the names of units that a
// column of that meaning can have. The first is taken where nothing says which.
func Units(m Meaning) map[string]float64 {
	switch {
	case m.height():
		return map[string]float64{"m": 1, "ft": unit.Foot, "km": unit.Kilometre, "mm": unit.Millimetre, "cm": unit.Centimetre}
	case m == Speed || m == Climb:
		return map[string]float64{"m/s": 1, "km/h": unit.KilometrePerHour, "kt": unit.Knot, "mph": unit.MilePerHour, "ft/min": unit.FootPerMinute, "ft/s": unit.FootPerSecond}
	case m == Latitude || m == Longitude:
		return map[string]float64{"deg": 1, "1e-7 deg": 1e-7, "1e-6 deg": 1e-6, "ddmm": 1}
	case m == Epoch || m == Elapsed:
		return map[string]float64{"s": 1, "ms": unit.Millisecond}
	}
	return nil
}

func usualUnit(m Meaning) string {
	switch {
	case m.height():
		return "m"
	case m == Speed || m == Climb:
		return "m/s"
	case m == Latitude || m == Longitude:
		return "deg"
	case m == Epoch || m == Elapsed:
		return "s"
	}
	return ""
}

// unitNames are other writings of units.
var unitNames = map[string]string{"m": "m", "meter": "m", "meters": "m", "metre": "m", "metres": "m", "ft": "ft", "feet": "ft", "foot": "ft", "km": "km", "mm": "mm", "cm": "cm",
	"m/s": "m/s", "mps": "m/s", "ms-1": "m/s", "km/h": "km/h", "kmh": "km/h", "kph": "km/h", "kt": "kt", "kts": "kt", "kn": "kt", "knot": "kt", "knots": "kt", "mph": "mph",
	"fpm": "ft/min", "ft/min": "ft/min", "fps": "ft/s", "ft/s": "ft/s", "deg": "deg", "degrees": "deg", "°": "deg", "dd": "deg", "e7": "1e-7 deg", "e6": "1e-6 deg", "s": "s", "sec": "s", "seconds": "s", "ms": "ms",
	"utc": "", "msl": "", "-": ""}

// nameWords are the words by which columns are called in several languages, in the
// order in which they are looked for.
var nameWords = []struct {
	meaning Meaning
	words   []string
}{
	{Latitude, []string{"lat", "latitude", "breite", "breitengrad", "latitud"}},
	{Longitude, []string{"lon", "long", "lng", "longitude", "länge", "laenge", "längengrad", "longitud"}},
	{Both, []string{"position", "latlon", "latlng", "coordinates", "coords", "location"}},
	{Climb, []string{"climb", "ascent", "ascentrate", "vspeed", "vs", "vario", "vertical", "verticalspeed", "vertspeed"}},
	{HeightUnsaid, []string{"alt", "altitude", "height", "elevation", "elev", "ele", "höhe", "hoehe", "altura", "altitud", "gpsalt", "hae"}},
	{Speed, []string{"speed", "spd", "velocity", "vel", "gs", "groundspeed", "sog", "geschwindigkeit"}},
	{Course, []string{"course", "heading", "hdg", "track", "cog", "bearing", "direction", "kurs"}},
	{Satellites, []string{"sats", "sat", "satellites", "nsat", "numsat", "numsats", "satcount", "satellite"}},
	{Dilution, []string{"hdop", "dop"}},
	{FixMode, []string{"fix", "fixtype", "mode", "fixmode"}},
	{LatSide, []string{"ns", "n/s"}},
	{LonSide, []string{"ew", "e/w"}},
	{Epoch, []string{"epoch", "unix", "unixtime", "posix"}},
	{Elapsed, []string{"elapsed", "seconds", "runtime", "uptime", "millis"}},
	{When, []string{"datetime", "timestamp", "utc", "time", "zeit", "hora", "uhrzeit", "gpstime"}},
	{Date, []string{"date", "datum", "fecha", "gpsdate"}},
}

var wordPattern = regexp.MustCompile(`[\p{L}]+/[\p{L}]+|[\p{L}]+\d?|°|1?e-?[67]`)

// tokens takes a name apart: at anything but letters, and where small letters are
// followed by a capital.
func tokens(name string) []string {
	var b strings.Builder
	var before rune
	for _, c := range name[:min(len(name), 200)] {
		if before >= 'a' && before <= 'z' && c >= 'A' && c <= 'Z' {
			b.WriteByte(' ')
		}
		b.WriteRune(c)
		before = c
	}
	return wordPattern.FindAllString(strings.ToLower(b.String()), 12)
}

func allUnits(cells []string) bool {
	for _, c := range cells {
		if _, known := unitNames[strings.Trim(strings.ToLower(c), "()[] ")]; c != "" && !known {
			return false
		}
	}
	return true
}

// byName recognises a column by its name, and its unit by the name or the line of units.
func (t table) byName(name, unitLine string) Column {
	c := Column{Name: name[:min(len(name), 80)]}
	words := tokens(name)
	for _, n := range nameWords {
		if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(n.words, w) }) {
			c.Meaning, c.Why, c.Sure = n.meaning, "by its name", true
			break
		}
	}
	if c.Meaning == HeightUnsaid {
		for word, kind := range map[string]Meaning{"msl": HeightSea, "asl": HeightSea, "amsl": HeightSea, "hae": HeightEllipsoid, "ellipsoid": HeightEllipsoid, "baro": HeightPressure, "pressure": HeightPressure, "agl": HeightGround} {
			if slices.Contains(words, word) {
				c.Meaning = kind
			}
		}
	}
	candidates := append([]string{strings.Trim(strings.ToLower(unitLine), "()[] ")}, words...)
	for _, w := range candidates {
		if u := unitNames[w]; u != "" {
			if _, fits := Units(c.Meaning)[u]; fits {
				c.Unit = u
				c.Why += ", the unit too"
				break
			}
		}
	}
	return c
}

// figures are the numbers of a column.
func (t table) figures(i int, decimalComma bool) []float64 {
	var all []float64
	for _, row := range t.rows {
		if v, ok := number(row[i], decimalComma); ok {
			all = append(all, v)
		}
	}
	return all
}

func number(cell string, decimalComma bool) (float64, bool) {
	if decimalComma && commaNumber.MatchString(cell) {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	if !pointNumber.MatchString(cell) {
		return 0, false
	}
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

func bounds(all []float64) (low, high float64) {
	if len(all) == 0 {
		return math.NaN(), math.NaN()
	}
	return slices.Min(all), slices.Max(all)
}

func has(l *Layout, m Meaning) bool {
	return slices.ContainsFunc(l.Columns, func(c Column) bool { return c.Meaning == m })
}

// byContent recognises what names left open, and holds what they said against the range
// of the numbers.
func (t table) byContent(l *Layout) {
	once(l)
	for i := range l.Columns {
		t.refine(&l.Columns[i], i, l.DecimalComma)
	}
	for i := range l.Columns {
		if c := &l.Columns[i]; c.Meaning == Ignored {
			t.times(l, c, i)
		}
	}
	if !has(l, Latitude) && !has(l, Longitude) && !has(l, Both) {
		t.angles(l)
	}
	for i := range l.Columns {
		if c := &l.Columns[i]; c.Unit == "" && c.Meaning != Ignored {
			if c.Unit = usualUnit(c.Meaning); c.Unit != "" && c.Unit != "deg" && c.Unit != "s" {
				c.Why += ", no unit named: " + c.Unit + " was taken"
				c.Sure = false
				l.Notes = append(l.Notes, "column "+strconv.Itoa(i+1)+" names no unit: "+c.Unit+" was taken")
			}
		}
	}
}

// once keeps the first column of each meaning: loggers write several heights and times.
func once(l *Layout) {
	var seen [meanings]bool
	for i := range l.Columns {
		c := &l.Columns[i]
		if c.Meaning != Ignored && seen[c.Meaning] {
			c.Meaning, c.Unit, c.Sure, c.Why = Ignored, "", false, "another column before it means the same"
		}
		seen[c.Meaning] = true
	}
}

// refine holds a named column against its numbers.
func (t table) refine(c *Column, i int, decimalComma bool) {
	figures := t.figures(i, decimalComma)
	low, high := bounds(figures)
	switch {
	case c.Meaning == Latitude || c.Meaning == Longitude:
		greatest := math.Max(math.Abs(low), math.Abs(high))
		switch {
		case c.Unit != "" && c.Unit != "deg" || len(figures) == 0 || greatest <= 360:
		case greatest > 1e8 || greatest > 2e7 && c.Meaning == Latitude:
			c.Unit, c.Why, c.Sure = "1e-7 deg", c.Why+", the unit by its range", false
		case greatest > 1e6:
			c.Unit, c.Why, c.Sure = "1e-6 deg", c.Why+", the unit by its range", false
		case greatest <= 18000 && allMinutes(figures):
			c.Unit, c.Why, c.Sure = "ddmm", c.Why+", degrees and minutes run together by its range", false
		}
	case c.Meaning == When && len(figures) > len(t.rows)/2:
		// A time that is a number: seconds or milliseconds since 1970, or since the start.
		switch {
		case low > 1e9 && high < 4e9:
			c.Meaning, c.Unit = Epoch, "s"
		case low > 1e12 && high < 4e12:
			c.Meaning, c.Unit = Epoch, "ms"
		case high < 1e6:
			c.Meaning = Elapsed
		}
		c.Why += " and its range"
	case c.Meaning == When && t.share(i, func(m notation.Moment) bool { return m.HasClock && m.Year == 0 }) > 0.5:
		c.Meaning = Clock
	case c.Meaning.height() && c.Unit == "" && high > 45000:
		c.Unit, c.Why, c.Sure = "ft", c.Why+", feet since metres would be above 45 km", false
	}
}

func allMinutes(figures []float64) bool {
	for _, v := range figures {
		if math.Mod(math.Abs(v), 100) >= 60 {
			return false
		}
	}
	return true
}

// share is how many cells of a column hold a moment of some form.
func (t table) share(i int, form func(notation.Moment) bool) float64 {
	n := 0
	for _, row := range t.rows {
		if m, ok := notation.FindMoment(row[i], notation.Usual); ok && form(m) {
			n++
		}
	}
	return float64(n) / float64(len(t.rows))
}

// times recognises a column of times by their form.
func (t table) times(l *Layout, c *Column, i int) {
	low, high := bounds(t.figures(i, l.DecimalComma))
	kind := Ignored
	switch {
	case t.share(i, func(m notation.Moment) bool { return m.HasClock && m.Year != 0 }) > 0.8:
		kind = When
	case t.share(i, func(m notation.Moment) bool { return m.HasClock }) > 0.8:
		kind = Clock
	case t.share(i, func(m notation.Moment) bool { return m.Year != 0 }) > 0.8:
		kind = Date
	case low > 1.2e9 && high < 4e9:
		kind = Epoch
	}
	if kind == Ignored || has(l, kind) || (kind == Epoch || kind == Clock) && has(l, When) {
		return
	}
	c.Meaning, c.Why, c.Sure = kind, "by the form of its cells", false
}

// angles looks for two neighbours that can be latitude and longitude: numbers with four
// decimals or more within 90 and 180 that change little from row to row, or angles with
// marks.
func (t table) angles(l *Layout) {
	fits := func(i int, limit float64) bool {
		if l.Columns[i].Meaning != Ignored {
			return false
		}
		n := 0
		for _, row := range t.rows {
			a, err := notation.ParseAngle(row[i])
			if err == nil && math.Abs(a.Deg) <= limit && a.Step <= 1e-3 {
				n++
			}
		}
		return float64(n) > 0.8*float64(len(t.rows))
	}
	for i := 0; i+1 < len(l.Columns); i++ {
		if fits(i, 90) && fits(i+1, 180) {
			for k, m := range []Meaning{Latitude, Longitude} {
				c := &l.Columns[i+k]
				c.Meaning, c.Unit, c.Why, c.Sure = m, "deg", "by its range and place", false
			}
			l.Notes = append(l.Notes, "latitude and longitude were recognised by their range alone: look whether they are not exchanged")
			return
		}
	}
}
