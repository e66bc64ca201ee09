package message

import (
	"regexp"
	"strconv"
	"strings"

	"pappus/measure/unit"
	"pappus/signal/fix"
	"pappus/signal/notation"
)

var (
	heightNamed = regexp.MustCompile(`(?i)\b(?:alt(?:itude)?|height|elev(?:ation)?|höhe|hoehe)\.?["']?\s?[:=]?\s?["']?(?:of |is )?(?P<n>-?\d{1,3}(?:[,' ]\d{3})+(?:\.\d{1,6})?|-?\d{1,6}(?:[.,]\d{1,6})?)\s?(?P<u>km|m|ft|feet|met(?:er|re)s?)?\b`)
	heightAfter = regexp.MustCompile(`(?i)(?:^|[^\w.,])(?P<n>\d{1,3}(?:[,' ]\d{3})+(?:\.\d{1,6})?|\d{1,6}(?:[.,]\d{1,6})?)\s?(?P<u>km|m|ft|feet|met(?:er|re)s?)\s(?:above sea|asl|amsl|msl|high|up|altitude)\b`)
	grouped     = regexp.MustCompile(`^-?\d{1,3}(?:[,' ]\d{3})+(?:\.\d+)?$`)
	speedNamed  = regexp.MustCompile(`(?i)\b(?:speed|velocity|spd)["']?\s?[:=]?\s?(?P<n>\d{1,4}(?:[.,]\d{1,4})?)\s?(?P<u>km/h|kmh|kph|mph|kts?|knots?|m/s)`)
	courseNamed = regexp.MustCompile(`(?i)\b(?:course|heading|track)["']?\s?[:=]?\s?(?P<n>\d{1,3}(?:\.\d{1,3})?)\s?(?:°|deg)?`)
)

// fill adds time, height, speed and course from the words around a place: from its own
// line, and where it is the only place, from the whole text.
func (c *Candidate) fill(text string, only bool, terms Terms) {
	around := c.Raw
	if only {
		around = text
	}
	if c.Form == "receiver's sentence" || c.Form == "gpsd" || c.Form == "packet" {
		return
	}
	if c.TimeKind == fix.NoTime {
		c.time(around, terms)
	}
	if c.Height.Kind == fix.NoHeight {
		c.height(around)
	}
	if v, u, ok := quantity(speedNamed, around); ok {
		factors := map[byte]float64{'k': unit.KilometrePerHour, 'm': unit.MilePerHour}
		factor := factors[u[0]]
		switch {
		case strings.HasPrefix(u, "kt"), strings.HasPrefix(u, "kn"):
			factor = unit.Knot
		case u == "m/s":
			factor = 1
		}
		c.Speed = fix.Known(v * factor)
	}
	if v, _, ok := quantity(courseNamed, around); ok && v <= 360 {
		c.CourseDeg = fix.Known(v)
	}
}

func (c *Candidate) time(around string, terms Terms) {
	// Angles with colons look like times of day: they are taken out first.
	for _, f := range forms {
		around = f.pattern.ReplaceAllString(around, " ")
	}
	m, ok := notation.FindMoment(strings.Join(strings.Fields(around), " "), terms.Dates)
	if !ok {
		return
	}
	var assumed []string
	c.Time, c.TimeKind, assumed = m.Time(terms.Zone, fix.Before(terms.Received))
	c.Assumed = append(c.Assumed, assumed...)
	if c.TimeKind != fix.NoTime {
		c.Expected.Time = 1
		if m.Second == 0 {
			c.Expected.Time = 35 // minutes are cut off, not rounded
		}
	}
}

func (c *Candidate) height(around string) {
	v, u, ok := quantity(heightNamed, around)
	if !ok {
		if v, u, ok = quantity(heightAfter, around); !ok {
			return
		}
	}
	switch {
	case strings.HasPrefix(u, "f"):
		v *= unit.Foot
	case u == "km":
		v *= unit.Kilometre
	case u == "":
		c.Assumed = append(c.Assumed, "the height names no unit: metres were taken")
	}
	c.Height = fix.Height{Metres: v, Kind: fix.Unsaid}
}

// quantity finds a number and its unit, in small letters.
func quantity(pattern *regexp.Regexp, text string) (value float64, name string, ok bool) {
	m := pattern.FindStringSubmatch(text)
	if m == nil {
		return 0, "", false
	}
	number := m[pattern.SubexpIndex("n")]
	if grouped.MatchString(number) {
		number = strings.NewReplacer(",", "", "'", "", " ", "").Replace(number)
	}
	value, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if i := pattern.SubexpIndex("u"); i >= 0 {
		name = strings.ToLower(m[i])
	}
	return value, name, err == nil
}
