package terrain

import (
	"math"
	"sync/atomic"

	"pappus/measure/geo"
)

// Patch is the world's relief about one place, kept once worked out: posts a kilometre apart, straight lines between.
// Asking the world costs a few microseconds for the search of known heights; asking again nearby, as thousands of landings
// do, costs a fiftieth of that here. What it answers depends on the place alone, not on who asked before. It may be shared.
type Patch struct {
	world               *World
	southDeg, westDeg   float64
	stepLatDeg, stepDeg float64
	rows, columns       int
	posts               []atomic.Uint64 // height and error as float32; 0 where nobody asked
}

const (
	patchStepM   = 1000.0
	patchLargest = 1500e3 // m, radius; 70 MB of posts

	metresPerDegree = 111195.0 // of a mean sphere: only sets the posts' spacing
)

// Around makes a patch. Outside it, and within 5 degrees of a pole, it asks the world itself. The radius is cut to 1500 km.
func (w *World) Around(centre geo.Point, radiusM float64) *Patch {
	radius := math.Min(math.Max(radiusM, 0), patchLargest)
	p := &Patch{world: w, stepLatDeg: patchStepM / metresPerDegree}
	squeeze := math.Cos(centre.LatDeg * math.Pi / 180)
	if math.Abs(centre.LatDeg) > 85 || !(radius >= patchStepM) {
		return p
	}
	half := int(radius/patchStepM) + 1
	p.stepDeg = p.stepLatDeg / squeeze
	columns := min(half, int(175/p.stepDeg)) // never round the globe
	p.rows, p.columns = 2*half+1, 2*columns+1
	// Posts stand on whole steps, so that two patches agree where their steps do.
	p.southDeg = (math.Floor(centre.LatDeg/p.stepLatDeg) - float64(half)) * p.stepLatDeg
	p.westDeg = (math.Floor(centre.LonDeg/p.stepDeg) - float64(columns)) * p.stepDeg
	p.posts = make([]atomic.Uint64, p.rows*p.columns)
	return p
}

// Elevation gives the height between the four posts around a place.
func (p *Patch) Elevation(q geo.Point) (geo.AltMSL, float64, string) {
	y := (q.LatDeg - p.southDeg) / p.stepLatDeg
	x := math.Mod(q.LonDeg-p.westDeg+720, 360) / p.stepDeg
	if !(y >= 0 && y < float64(p.rows-1) && x >= 0 && x < float64(p.columns-1)) || math.Abs(q.LatDeg) > 85 {
		return p.world.Elevation(q)
	}
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	h00, e00 := p.post(j, i)
	h01, e01 := p.post(j, i+1)
	h10, e10 := p.post(j+1, i)
	h11, e11 := p.post(j+1, i+1)
	height := (h00*(1-fx)+h01*fx)*(1-fy) + (h10*(1-fx)+h11*fx)*fy
	e := (e00*(1-fx)+e01*fx)*(1-fy) + (e10*(1-fx)+e11*fx)*fy
	return geo.AltMSL(height), e, SourceCorrected
}

// post looks a post up, or works it out. Two who come at once both do, and store the same.
func (p *Patch) post(row, column int) (height, e float64) {
	cell := &p.posts[row*p.columns+column]
	bits := cell.Load()
	if bits == 0 {
		lat := math.Min(math.Max(p.southDeg+float64(row)*p.stepLatDeg, -90), 90)
		h, miss, _ := p.world.Elevation(geo.Point{LatDeg: lat, LonDeg: geo.WrapLonDeg(p.westDeg + float64(column)*p.stepDeg)})
		bits = uint64(math.Float32bits(float32(h)))<<32 | uint64(math.Float32bits(float32(miss)))
		cell.Store(bits)
	}
	return float64(math.Float32frombits(uint32(bits >> 32))), float64(math.Float32frombits(uint32(bits)))
}
