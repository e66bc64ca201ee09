package landing

import (
	"fmt"
	"math"

	"pappus/measure/geo"
)

// Density is the landing density on square cells laid north and east in the plane about
// the median, for drawing.
type Density struct {
	Plane         geo.Plane
	WestM, SouthM float64 // of the lower left corner of the first cell
	StepM         float64 // side of a cell
	Columns, Rows int
	PerKm2        []float64 // probability per km² at the middle of each cell, row by row from the south
	PeakPerKm2    float64
}

// faintest is the part of the peak below which nothing is worth drawing.
const faintest = 0.01

// Density draws the estimate over the box that holds all that is not faint, with at
// most so many cells.
func (e *Estimate) Density(mostCells int) (Density, error) {
	const bound = 1 << 22
	if mostCells < 1 || mostCells > bound {
		return Density{}, fmt.Errorf("a density of %d cells cannot be drawn: ask for 1 to %d", mostCells, bound)
	}
	d := Density{Plane: e.cloud.plane}
	low, high := e.visible()
	width, height := high.x-low.x, high.y-low.y
	// As fine as the estimate's own cells, unless that would be too many.
	d.StepM = e.lattice.step * math.Min(e.frame.scaleX, e.frame.scaleY)
	for {
		columns, rows := math.Ceil(width/d.StepM), math.Ceil(height/d.StepM)
		if columns*rows <= float64(mostCells) {
			d.Columns, d.Rows = max(1, int(columns)), max(1, int(rows))
			break
		}
		d.StepM *= math.Max(1.02, math.Sqrt(columns*rows/float64(mostCells))*0.999)
	}
	d.WestM = (low.x + high.x - float64(d.Columns)*d.StepM) / 2
	d.SouthM = (low.y + high.y - float64(d.Rows)*d.StepM) / 2
	d.PerKm2 = make([]float64, d.Columns*d.Rows)
	for i := range e.lattice.patches {
		e.paint(&d, &e.lattice.patches[i])
	}
	for _, v := range d.PerKm2 {
		d.PeakPerKm2 = math.Max(d.PeakPerKm2, v)
	}
	return d, nil
}

// visible is the box around all nodes that are not faint.
func (e *Estimate) visible() (low, high vector) {
	level := faintest * e.lattice.peak()
	low, high = vector{math.Inf(1), math.Inf(1)}, vector{math.Inf(-1), math.Inf(-1)}
	for i := range e.lattice.patches {
		p := &e.lattice.patches[i]
		for node, v := range p.density {
			if v < level {
				continue
			}
			a := e.frame.from(e.lattice.place(p, node))
			low = vector{math.Min(low.x, a.x), math.Min(low.y, a.y)}
			high = vector{math.Max(high.x, a.x), math.Max(high.y, a.y)}
		}
	}
	return low, high
}

// place is where a node lies in the frame.
func (l *lattice) place(p *patch, node int) vector {
	return vector{float64(p.x0+node%p.nx) * l.step, float64(p.y0+node/p.nx) * l.step}
}

// paint adds what one patch gives to the cells it covers.
func (e *Estimate) paint(d *Density, p *patch) {
	low, high := vector{math.Inf(1), math.Inf(1)}, vector{math.Inf(-1), math.Inf(-1)}
	for _, corner := range [4]int{0, p.nx - 1, (p.ny - 1) * p.nx, p.ny*p.nx - 1} {
		a := e.frame.from(e.lattice.place(p, corner))
		low = vector{math.Min(low.x, a.x), math.Min(low.y, a.y)}
		high = vector{math.Max(high.x, a.x), math.Max(high.y, a.y)}
	}
	column := func(x float64) float64 { return (x - d.WestM) / d.StepM }
	row := func(y float64) float64 { return (y - d.SouthM) / d.StepM }
	scale := squareKilometre / e.frame.area()
	for j := int(math.Max(0, row(low.y))); j < d.Rows && float64(j) <= row(high.y); j++ {
		for i := int(math.Max(0, column(low.x))); i < d.Columns && float64(i) <= column(high.x); i++ {
			u := e.frame.to(d.middle(i, j))
			x, y := u.x/e.lattice.step-float64(p.x0), u.y/e.lattice.step-float64(p.y0)
			if x < 0 || y < 0 || x >= float64(p.nx-1) || y >= float64(p.ny-1) {
				continue
			}
			node := int(y)*p.nx + int(x)
			d.PerKm2[j*d.Columns+i] += float64(scale * p.between(node, x-math.Floor(x), y-math.Floor(y)))
		}
	}
}

func (d *Density) middle(column, row int) vector {
	return vector{d.WestM + float64((float64(column)+0.5)*d.StepM), d.SouthM + float64((float64(row)+0.5)*d.StepM)}
}

// Cell gives the corners of a cell, counterclockwise from the south-west.
func (d *Density) Cell(column, row int) [4]geo.Point {
	west, south := d.WestM+float64(float64(column)*d.StepM), d.SouthM+float64(float64(row)*d.StepM)
	return [4]geo.Point{
		d.Plane.From(west, south),
		d.Plane.From(west+d.StepM, south),
		d.Plane.From(west+d.StepM, south+d.StepM),
		d.Plane.From(west, south+d.StepM),
	}
}
