package grib2

import (
	"math"
	"time"
)

// layout says where the parts of a product definition template lie beyond
// octet 34, up to which all of these agree. Zero: the template has no such part.
type layout struct {
	ensemble int // type, perturbation number, members in ensemble
	derived  int // members in ensemble, after the kind of derivation
	interval int // end of the overall interval, then the time ranges
	least    int // octets of the section
}

// layouts are the templates whose headers are read ([GRIB2] section 4).
var layouts = map[uint16]layout{
	0:  {least: 34},
	1:  {ensemble: 35, least: 37},
	2:  {derived: 36, least: 36},
	5:  {least: 47},
	6:  {least: 35},
	7:  {least: 34},
	8:  {interval: 35, least: 58},
	9:  {interval: 48, least: 71},
	10: {interval: 36, least: 59},
	11: {ensemble: 35, interval: 38, least: 61},
	12: {derived: 36, interval: 37, least: 60},
	15: {least: 37},
}

// parseProduct reads section 4.
func parseProduct(o octets, at int, reference time.Time) (Product, error) {
	if len(o) < 9 {
		return Product{}, damage(4, at, "the section has %d octets, fewer than 9", len(o))
	}
	none := Surface{Type: 255, Missing: true}
	p := Product{Template: uint16(o.u16(8)), Statistic: 255, First: none, Second: none, Member: -1, EnsembleType: -1, MembersInEnsemble: -1}
	if len(o) >= 11 {
		p.Category, p.Number = o[9], o[10]
	}
	l, known := layouts[p.Template]
	if !known {
		return p, nil
	}
	if len(o) < l.least {
		return p, damage(4, at, "product template 4.%d needs %d octets, but the section has %d", p.Template, l.least, len(o))
	}
	p.Known = true
	p.Process, p.Generator = o[11], o[13]
	var ok bool
	if p.ForecastSeconds, ok = seconds(reference, o.u8(18), o.s32(19)); !ok {
		return p, damage(4, at, "the forecast time is given in unit %d of code table 4.4, which has no length", o.u8(18))
	}
	p.EndSeconds = p.ForecastSeconds
	p.First, p.Second = surface(o, 23), surface(o, 29)
	if l.ensemble > 0 {
		p.EnsembleType, p.Member, p.MembersInEnsemble = o.u8(l.ensemble), o.u8(l.ensemble+1), o.u8(l.ensemble+2)
	}
	if l.derived > 0 {
		p.MembersInEnsemble = o.u8(l.derived)
	}
	if l.interval > 0 {
		return p, p.interval(o, at, l.interval, reference)
	}
	return p, nil
}

// interval reads the octets about the interval over which values were gathered.
// With one time range, its own length decides; with ranges inside ranges, the
// date that is given as the overall end.
func (p *Product) interval(o octets, at, octet int, reference time.Time) error {
	p.Statistical, p.Statistic = true, o[octet+12-1]
	if o.u8(octet+7) == 1 {
		length, ok := seconds(reference, o.u8(octet+14), o.s32(octet+15))
		if !ok {
			return damage(4, at, "the time range is given in unit %d of code table 4.4, which has no length", o.u8(octet+14))
		}
		p.EndSeconds = p.ForecastSeconds + length
		return nil
	}
	end, ok := moment(o, octet)
	if !ok {
		return damage(4, at, "the end of the time interval does not exist as a date")
	}
	p.EndSeconds = end.Unix() - reference.Unix()
	return nil
}

// seconds turns a count of units of code table 4.4 into seconds from the
// reference time. Months and years are counted in the calendar.
func seconds(reference time.Time, unit, count int) (int64, bool) {
	fixed := map[int]int64{0: 60, 1: 3600, 2: 86400, 10: 3 * 3600, 11: 6 * 3600, 12: 12 * 3600, 13: 1}
	if s, ok := fixed[unit]; ok {
		return s * int64(count), true
	}
	months := map[int]int{3: 1, 4: 12, 5: 120, 6: 360, 7: 1200}
	m, ok := months[unit]
	if !ok || count < -12000 || count > 12000 {
		return 0, false
	}
	return reference.AddDate(0, m*count, 0).Unix() - reference.Unix(), true
}

// surface reads the six octets of a fixed surface.
func surface(o octets, octet int) Surface {
	s := Surface{Type: o[octet-1]}
	if s.Type == 255 || o.missing(octet+1, 1) || o.missing(octet+2, 4) {
		s.Missing = true
		return s
	}
	s.Value = scaled(o.s32(octet+2), o.s8(octet+1))
	return s
}

// scaled is value·10^-factor, rounded once where the power is exact.
func scaled(value, factor int) float64 {
	if factor >= 0 {
		return float64(value) / math.Pow10(factor)
	}
	return float64(value) * math.Pow10(-factor)
}
