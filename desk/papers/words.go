package papers

import (
	"fmt"
	"math"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/record"
)

// degrees writes an angle of a place in degrees, minutes and whole seconds.
func degrees(deg float64, positive, negative string) string {
	side := positive
	if deg < 0 {
		side = negative
	}
	seconds := int(math.Round(math.Abs(deg) * 3600))
	return fmt.Sprintf("%d° %02d' %02d\" %s", seconds/3600, seconds/60%60, seconds%60, side)
}

// DMS writes a place in degrees, minutes and seconds.
func DMS(p geo.Point) string {
	return degrees(p.LatDeg, "N", "S") + ", " + degrees(p.LonDeg, "E", "W")
}

// Decimal writes a place in signed decimal degrees, four places of which are
// within 11 m.
func Decimal(p geo.Point) string { return fmt.Sprintf("%.4f, %.4f", p.LatDeg, p.LonDeg) }

// GeoURI writes a place as a geo URI, with the uncertainty in whole metres where
// one is given [RFC5870].
func GeoURI(p geo.Point, uncertainty float64) string {
	fifth := func(deg float64) float64 { return math.Round(deg*1e5)/1e5 + 0 } // no negative zero
	uri := fmt.Sprintf("geo:%.5f,%.5f", fifth(p.LatDeg), fifth(p.LonDeg))
	if uncertainty > 0 {
		uri += fmt.Sprintf(";u=%.0f", uncertainty)
	}
	return uri
}

// bearing writes a direction as a course is spoken: three digits, 360 for north.
func bearing(deg float64) string {
	whole := (int(math.Round(deg))%360 + 360) % 360
	if whole == 0 {
		whole = 360
	}
	return fmt.Sprintf("%03d°", whole)
}

var compass = [...]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}

// point is the point of the compass of a direction.
func point(deg float64) string { return compass[(int(math.Round(deg/22.5))%16+16)%16] }

func nautical(metres float64) string { return fmt.Sprintf("%.1f NM", metres/unit.NauticalMile) }

// both writes a quantity in the person's units and in the other ones.
func both(value float64, format func(float64, unit.System) string, s unit.System) string {
	other := unit.US
	if s == unit.US {
		other = unit.Metric
	}
	return format(value, s) + " (" + format(value, other) + ")"
}

// heightBoth is both for heights.
func (f *Facts) heightBoth(alt float64) string { return both(alt, unit.FormatHeight, f.System) }

func (f *Facts) distance(m float64) string { return unit.FormatDistance(m, f.System) }
func (f *Facts) height(m float64) string   { return unit.FormatHeight(m, f.System) }
func (f *Facts) mass(kg float64) string    { return unit.FormatMass(kg, f.System) }

// zone is the launch's own zone.
func (f *Facts) zone() *time.Location { return f.File.Launch.Time.Location() }

// local writes an instant as the launch place's clocks show it.
func (f *Facts) local(t time.Time) string { return minute(t).In(f.zone()).Format("15:04") }

// universal writes an instant in UTC.
func universal(t time.Time) string { return minute(t).UTC().Format("15:04") }

// minute is the nearest one.
func minute(t time.Time) time.Time { return t.Round(time.Minute) }

// clocks writes an instant by both clocks, with the day when it is another one
// than that of the launch.
func (f *Facts) clocks(t time.Time) string {
	t = minute(t)
	text := f.local(t) + " local, " + universal(t) + " UTC"
	if launch := f.File.Launch.Time; t.In(f.zone()).YearDay() != launch.YearDay() || t.UTC().YearDay() != launch.UTC().YearDay() {
		text = t.In(f.zone()).Format("2 Jan 15:04") + " local, " + t.UTC().Format("2 Jan 15:04") + " UTC"
	}
	return text
}

// moment writes a day and an instant by both clocks.
func (f *Facts) moment(t time.Time) string {
	return t.In(f.zone()).Format("Mon 2 Jan 2006, 15:04") + " local (UTC" + f.offset() + "); " + t.UTC().Format("Mon 2 Jan 2006, 15:04") + " UTC"
}

func (f *Facts) offset() string { return f.File.Launch.Time.Format("-07:00") }

// after is a time since the launch, as hours and minutes.
func after(seconds float64) string {
	minutes := int(math.Round(seconds / 60))
	return fmt.Sprintf("%d:%02d", minutes/60, minutes%60)
}

// instant reads an answer's instant; the answers write nothing else.
func instant(text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		panic("papers: an answer holds " + text + " where an instant belongs")
	}
	return t
}

func percent(share float64) string {
	switch {
	case share == 0:
		return "none drawn"
	case share < 0.01:
		return "under 1 %"
	case share < 1 && share > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// named is a thing's own name, or what it is.
func named(name, kind string) string {
	if name == "" {
		return kind
	}
	return name
}

// partName is how a part of the train is spoken of.
func partName(p *record.Part) string {
	kind := p.Kind.String()
	if p.Kind == record.Reflector {
		kind = "radar reflector"
	}
	if p.Name == "" || strings.Contains(p.Name, kind) {
		return named(p.Name, kind)
	}
	return p.Name + " (" + kind + ")"
}

// few writes a small number of things.
func few(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// sentence begins with a capital and ends with a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	text = strings.ToUpper(text[:1]) + text[1:]
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text
}
