package forecast

import (
	"math"
	"slices"

	"pappus/air/grib2"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// Surface is what the files give near the ground at a place and time. Each
// figure holds only where its flag is set.
type Surface struct {
	WindEast, WindNorth float64 // 10 m above the ground
	HasWind             bool
	Gust                float64 // m/s, near the ground
	HasGust             bool
	Cloud               float64 // share of the sky that is covered
	HasCloud            bool
	Pressure            float64 // reduced to mean sea level
	HasPressure         bool
}

// nearKinds counts the variables near the ground, nearEast first.
const nearKinds = int(seaPressure-nearEast) + 1

// nearBounds are what these variables can be; the strongest gust ever measured
// away from a tornado was 113 m/s (WMO archive of extremes, from memory).
var nearBounds = [nearKinds]struct {
	low, high float64
	expected  string
}{{-150, 150, "a wind"}, {-150, 150, "a wind"}, {-1, 200, "a gust"}, {-0.1, 1.1, "a share of the sky"}, {85000, 110000, "a pressure at sea level"}}

// classifyNear tells the variables near the ground. Parameter numbers are those
// of [GRIB2] code table 4.2, surfaces those of code table 4.5, the statistical
// process that of code table 4.10. Some files give the gust as the greatest of
// the interval that ends with the step.
func classifyNear(f *grib2.Field) (e entry, ok bool) {
	const surface, topOfAir, atmosphere, seaLevel, aboveGround, localAtmosphere, none = 1, 8, 10, 101, 103, 200, 255
	const maximum = 2
	const forecastError, analysisError = 6, 7
	p := f.Product
	if !p.Known || p.Process == forecastError || p.Process == analysisError || p.Template > 1 && !p.Statistical || f.Discipline != 0 && f.Discipline != 192 {
		return e, false
	}
	first, second := p.First, p.Second
	atTen := first.Type == aboveGround && !first.Missing && first.Value == 10
	column := first.Type == atmosphere || first.Type == localAtmosphere || first.Type == surface && (second.Type == topOfAir || second.Type == none)
	e = entry{field: f, times: 1}
	switch number := [3]uint8{f.Discipline, p.Category, p.Number}; {
	case number == [3]uint8{0, 2, 2} && atTen:
		e.variable = nearEast
	case number == [3]uint8{0, 2, 3} && atTen:
		e.variable = nearNorth
	case number == [3]uint8{0, 2, 22} && (atTen || first.Type == surface):
		e.variable = gust
	case number == [3]uint8{0, 6, 1} && column:
		e.variable, e.times = cloud, unit.Percent
	case number == [3]uint8{192, 128, 164} && column: // ECMWF's own, a share
		e.variable = cloud
	case (number == [3]uint8{0, 3, 1} || number == [3]uint8{0, 3, 0}) && first.Type == seaLevel:
		e.variable = seaPressure
	default:
		return e, false
	}
	if p.Statistical && (e.variable != gust || p.Statistic != maximum) {
		return e, false
	}
	e.member, e.valid = p.Member, f.Reference.Unix()+p.EndSeconds
	return e, true
}

// listNear names the fields near the ground that the files give on the grid of
// the cube. What a step lacks stays without value.
func (l *loading) listNear() {
	fields := len(l.members) * len(l.steps)
	for kind := range nearKinds {
		v := nearEast + variable(kind)
		block := 0
		for _, member := range l.members {
			for _, step := range l.steps {
				e, ok := l.cycle.entries[key{variable: v, member: member, valid: step}]
				if m, err := l.meshIf(e, ok); ok && err == nil && m.same(l.grid) {
					if l.raw.near[kind] == nil {
						l.raw.near[kind] = slices.Repeat([]float32{float32(math.NaN())}, fields*l.area)
					}
					b := nearBounds[kind]
					l.jobs = append(l.jobs, job{e, l.raw.near[kind], block * l.area, 1, b.low, b.high, b.expected})
				}
				block++
			}
		}
	}
}

func (l *loading) meshIf(e entry, there bool) (mesh, error) {
	if !there {
		return mesh{}, nil
	}
	return meshOf(e.field.Grid)
}

// Surface answers what the files give near the ground at a place, for one
// member: bilinear in place, linear in time. Outside the area and the steps
// there is none; a single step stands for all times.
func (c *Cube) Surface(at geo.Point, seconds float64, member int) Surface {
	var s Surface
	if !c.Covers(at) || !c.Frozen() && (seconds < c.times[0] || seconds > c.times[len(c.times)-1]) {
		return s
	}
	var ok bool
	s.WindEast, s.HasWind = c.nearAt(nearEast, at, seconds, member)
	s.WindNorth, ok = c.nearAt(nearNorth, at, seconds, member)
	s.HasWind = s.HasWind && ok
	s.Gust, s.HasGust = c.nearAt(gust, at, seconds, member)
	s.Cloud, s.HasCloud = c.nearAt(cloud, at, seconds, member)
	s.Cloud = min(max(s.Cloud, 0), 1)
	s.Pressure, s.HasPressure = c.nearAt(seaPressure, at, seconds, member)
	return s
}

// nearAt weighs the corners of one variable.
func (c *Cube) nearAt(v variable, at geo.Point, seconds float64, member int) (float64, bool) {
	values := c.near[v-nearEast]
	if values == nil {
		return 0, false
	}
	row, fy := c.rowOf(at.LatDeg)
	col, next, fx := c.colOf(at.LonDeg)
	sampler := c.Sampler(member)
	step, ft := sampler.stepOf(seconds)
	up, after := min(row+1, c.rows-1), min(step+1, len(c.times)-1)
	sum := 0.0
	for _, corner := range [8]struct {
		step, row, col int
		weight         float64
	}{
		{step, row, col, (1 - ft) * (1 - fy) * (1 - fx)}, {step, row, next, (1 - ft) * (1 - fy) * fx},
		{step, up, col, (1 - ft) * fy * (1 - fx)}, {step, up, next, (1 - ft) * fy * fx},
		{after, row, col, ft * (1 - fy) * (1 - fx)}, {after, row, next, ft * (1 - fy) * fx},
		{after, up, col, ft * fy * (1 - fx)}, {after, up, next, ft * fy * fx},
	} {
		if corner.weight == 0 { // it may be missing, or lie outside
			continue
		}
		sum += corner.weight * float64(values[((member*len(c.times)+corner.step)*c.rows+corner.row)*c.cols+corner.col])
	}
	if math.IsNaN(sum) {
		return 0, false
	}
	return sum, true
}

// near builds the fields near the ground of an invented sky.
func (s Shape) near(members int) (fields [nearKinds][]float32) {
	if s.Near == nil {
		return fields
	}
	put := func(v variable, value float64, there bool) {
		if !there {
			value = math.NaN()
		}
		fields[v-nearEast] = append(fields[v-nearEast], float32(value))
	}
	for member := range members {
		for _, t := range s.Times {
			for row := range s.Rows {
				for col := range s.Cols {
					n := s.Near(s.South+float64(row)*s.LatStep, s.West+float64(col)*s.LonStep, t.Sub(s.Times[0]).Seconds(), member)
					put(nearEast, n.WindEast, n.HasWind)
					put(nearNorth, n.WindNorth, n.HasWind)
					put(gust, n.Gust, n.HasGust)
					put(cloud, n.Cloud, n.HasCloud)
					put(seaPressure, n.Pressure, n.HasPressure)
				}
			}
		}
	}
	return fields
}
