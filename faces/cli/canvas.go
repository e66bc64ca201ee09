package cli

import (
	"math"
	"strings"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/landing"
)

// canvas is a picture in characters.
type canvas struct {
	wide, high int
	cells      []rune
}

func newCanvas(wide, high int) *canvas {
	c := &canvas{wide, high, make([]rune, wide*high)}
	for i := range c.cells {
		c.cells[i] = ' '
	}
	return c
}

func (c *canvas) put(x, y int, r rune) {
	if x >= 0 && x < c.wide && y >= 0 && y < c.high {
		c.cells[y*c.wide+x] = r
	}
}

// filled answers the first and last lines with something on them, with one
// line of air around.
func (c *canvas) filled() (first, last int) {
	first, last = c.high, 0
	for y := range c.high {
		if c.line(y) != "" {
			first, last = min(first, y), y
		}
	}
	return max(first-1, 0), min(last+1, c.high-1)
}

func (c *canvas) line(y int) string {
	return strings.TrimRight(string(c.cells[y*c.wide:(y+1)*c.wide]), " ")
}

const (
	chartWide, chartHigh = 64, 14
	mapWide, mapHigh     = 68, 24
	cellAspect           = 2.0 // a character is about twice as high as wide
)

// profileChart draws height against time: the way up and the way down.
func profileChart(p *page, track *trajectory.Track, s unit.System) {
	rows := append(append([]trajectory.Row{}, track.Up...), track.Down...)
	start, end := rows[0].Seconds, rows[len(rows)-1].Seconds
	step, label := 5000.0, func(z float64) string { return unit.FormatHeight(z, s) }
	if s == unit.US {
		step = 20000 * unit.Foot
	}
	top := 0.0
	for _, r := range rows {
		top = max(top, r.Alt)
	}
	top *= 1.02
	c := newCanvas(chartWide, chartHigh)
	column := func(seconds float64) int { return int((seconds - start) / (end - start) * (chartWide - 1)) }
	level := func(alt float64) int { return chartHigh - 1 - int(max(alt, 0)/top*(chartHigh-1)+0.5) }
	for i, r := range rows {
		mark := '*'
		if i >= len(track.Up) {
			mark = '.'
		}
		c.put(column(r.Seconds), level(r.Alt), mark)
	}
	burst := track.Up[len(track.Up)-1]
	c.put(column(burst.Seconds), level(burst.Alt), '+')
	labels := map[int]string{}
	for z := 0.0; z <= top; z += step {
		labels[level(z)] = label(z)
	}
	for y := range chartHigh {
		p.lineWithLabel(labels[y], "|"+c.line(y))
	}
	axis := []rune(strings.Repeat("-", chartWide))
	p.lineWithLabel("", "+"+string(axis))
	total := unit.FormatDuration(end - start)
	at := column(burst.Seconds)
	under := newCanvas(chartWide, 1)
	under.write(0, 0, "0")
	under.write(max(at-4, 3), 0, unit.FormatDuration(burst.Seconds-start))
	under.write(chartWide-len([]rune(total)), 0, total)
	p.lineWithLabel("", " "+under.line(0))
}

func (c *canvas) write(x, y int, text string) {
	for i, r := range []rune(text) {
		c.put(x+i, y, r)
	}
}

func (p *page) lineWithLabel(label, rest string) {
	p.WriteString(strings.Repeat(" ", max(12-len([]rune(label)), 0)) + label + " " + rest + "\n")
}

// landingMap draws the regions, the central way, launch and median in a plane
// around the middle of them all.
func landingMap(p *page, launch geo.Point, track *trajectory.Track, regions []landing.Region, median geo.Point, s unit.System) {
	plane := geo.NewPlane(median)
	frame := newFrame(plane, launch, track, regions)
	c := newCanvas(mapWide, mapHigh)
	for y := range mapHigh {
		for x := range mapWide {
			at := plane.From(frame.east(x), frame.north(y))
			for i := len(regions) - 1; i >= 0; i-- { // likeliest last, on top
				if regions[i].Contains(at) {
					c.put(x, y, []rune{'#', ':'}[min(i, 1)])
				}
			}
		}
	}
	mark := func(at geo.Point, r rune) {
		x, y := frame.cell(plane.To(at))
		c.put(x, y, r)
	}
	for _, r := range track.Up {
		mark(r.Point(), '.')
	}
	mark(track.Up[len(track.Up)-1].Point(), '+')
	mark(median, 'X')
	mark(launch, 'L')
	first, last := c.filled()
	for y := first; y <= last; y++ {
		p.WriteString("  " + c.line(y) + "\n")
	}
	p.WriteString("  " + frame.scale(s) + "\n  L launch, . way up, + burst, X middle, # one in two, : nine in ten\n")
}

// frame maps the plane onto the canvas, north up.
type frame struct{ west, top, metres float64 }

func newFrame(plane geo.Plane, launch geo.Point, track *trajectory.Track, regions []landing.Region) frame {
	west, east, south, north := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	add := func(at geo.Point) {
		x, y := plane.To(at)
		west, east, south, north = min(west, x), max(east, x), min(south, y), max(north, y)
	}
	add(launch)
	for _, r := range track.Up {
		add(r.Point())
	}
	for _, region := range regions {
		for _, polygon := range region.Polygons {
			for _, at := range polygon.Outer {
				add(at)
			}
		}
	}
	metres := max((east-west)/(mapWide-3), (north-south)/(mapHigh-3)/cellAspect, 20)
	return frame{
		west:   (west+east)/2 - metres*(mapWide-1)/2,
		top:    (south+north)/2 + metres*cellAspect*(mapHigh-1)/2,
		metres: metres,
	}
}

func (f frame) east(x int) float64  { return f.west + float64(x)*f.metres }
func (f frame) north(y int) float64 { return f.top - float64(y)*f.metres*cellAspect }

func (f frame) cell(east, north float64) (x, y int) {
	return int(math.Round((east - f.west) / f.metres)), int(math.Round((f.top - north) / f.metres / cellAspect))
}

// scale is a bar of a round length, at most a quarter of the map.
func (f frame) scale(s unit.System) string {
	base := unit.Kilometre
	if s == unit.US {
		base = unit.StatuteMile
	}
	length := 0.1 * base
	for _, n := range []float64{0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500} {
		if n*base <= f.metres*mapWide/4 {
			length = n * base
		}
	}
	return "|" + strings.Repeat("-", max(int(length/f.metres)-1, 1)) + "| " + unit.FormatDistance(length, s)
}
