package grib2

import (
	"fmt"
	"math"
)

// Grid is section 3: where the points lie. Angles are degrees as coded, so that
// longitudes may be anything from -360 to 720: some files count on past 360.
type Grid struct {
	Template uint16
	Points   int // points of the grid, coded or not
	Ni, Nj   int // points along a parallel and a meridian, or along x and y; -1 where rows differ in length

	La1, Lo1, La2, Lo2 float64 // first and last point; of template 3.20 and 3.30 only the first
	Di, Dj             float64 // steps in degrees, never negative; NaN when not coded
	ScanMode           uint8   // flag table 3.4
	Resolution         uint8   // flag table 3.3; bit 5 (0x08): winds along the grid

	Earth      Earth
	Dx, Dy     float64 // steps in metres, templates 3.10, 3.20 and 3.30
	LaD        float64 // latitude where Dx and Dy hold
	LoV        float64 // meridian parallel to y, templates 3.20 and 3.30
	Centre     uint8   // flag table 3.5
	Latin1     float64 // standard parallels, template 3.30
	Latin2     float64
	SouthPole  [2]float64 // latitude and longitude of the southern pole, template 3.30
	rowOctets  int        // octets per entry of the list of row lengths
	malformed  string     // why At and Index cannot answer although the template is known
	latSpan    float64    // degrees from the first row to the last, signed
	lonSpan    float64    // degrees from the first column to the last, signed
	isLatLon   bool
	isReadable bool // the whole layout is known
}

// Earth is the figure that the grid stands on, code table 3.2.
type Earth struct {
	Shape        uint8
	Major, Minor float64 // m; equal for a sphere, 0 when the shape is not known
}

// parseGrid reads section 3.
func parseGrid(o octets, at int) (Grid, error) {
	if len(o) < 14 {
		return Grid{}, damage(3, at, "the section has %d octets, fewer than 14", len(o))
	}
	nan := math.NaN()
	g := Grid{Points: o.u32(7), rowOctets: o.u8(11), Template: uint16(o.u16(13)), Ni: -1, Nj: -1,
		La1: nan, Lo1: nan, La2: nan, Lo2: nan, Di: nan, Dj: nan}
	if o.u8(6) == 255 {
		g.Template = 65535 // no grid is defined; the values are just a list
	}
	least := map[uint16]int{0: 72, 1: 84, 10: 72, 12: 84, 20: 65, 30: 81, 40: 72}[g.Template]
	if least == 0 {
		return g, nil
	}
	if len(o) < least {
		return g, damage(3, at, "grid template 3.%d needs %d octets, but the section has %d", g.Template, least, len(o))
	}
	g.Earth = earth(o)
	if !o.missing(31, 4) {
		g.Ni = o.u32(31)
	}
	if !o.missing(35, 4) {
		g.Nj = o.u32(35)
	}
	if g.Ni >= 0 && g.Nj >= 0 && g.Ni*g.Nj != g.Points {
		return g, damage(3, at, "the grid has %d by %d points, but %d are announced", g.Ni, g.Nj, g.Points)
	}
	switch g.Template {
	case 0:
		g.isReadable = true
		return g, g.latLon(o, at)
	case 10:
		g.isReadable = true
		g.mercator(o)
	case 20, 30:
		g.isReadable = true
		g.conic(o)
	case 1, 40:
		g.ScanMode = o[71]
	case 12:
		g.ScanMode = o[59]
	}
	return g, nil
}

// earth reads the figure of the earth, code table 3.2.
func earth(o octets) Earth {
	const wgs84 = 6378137.0 // m, [WGS84] table 3.1
	e := Earth{Shape: o[14]}
	coded := func(octet int) float64 { return scaled(o.u32(octet+1), o.s8(octet)) }
	sphere := func(r float64) { e.Major, e.Minor = r, r }
	switch e.Shape {
	case 0:
		sphere(6367470)
	case 1:
		sphere(coded(16))
	case 2:
		e.Major, e.Minor = 6378160, 6356775
	case 3:
		e.Major, e.Minor = 1000*coded(21), 1000*coded(26)
	case 4:
		e.Major, e.Minor = wgs84, 6356752.314
	case 5:
		e.Major, e.Minor = wgs84, 6356752.314245
	case 6:
		sphere(6371229)
	case 7:
		e.Major, e.Minor = coded(21), coded(26)
	case 8:
		sphere(6371200)
	case 9:
		e.Major, e.Minor = 6377563.396, 6356256.909
	}
	return e
}

const micro = 1e6 // coded angles are millionths of a degree unless a basic angle is given

// latLon reads the rest of template 3.0.
func (g *Grid) latLon(o octets, at int) error {
	unit := 1 / micro
	if basic, parts := o.u32(39), o.u32(43); basic != 0 && !o.missing(39, 4) {
		if parts == 0 || o.missing(43, 4) {
			return damage(3, at, "the basic angle has no subdivisions")
		}
		unit = float64(basic) / float64(parts)
	}
	angle := func(v int) float64 {
		if unit == 1/micro {
			return float64(v) / micro
		}
		return float64(v) * unit
	}
	g.La1, g.Lo1, g.La2, g.Lo2 = angle(o.s32(47)), angle(o.s32(51)), angle(o.s32(56)), angle(o.s32(60))
	g.Resolution, g.ScanMode, g.isLatLon = o[54], o[71], true
	if !o.missing(64, 4) && g.Resolution&0x20 != 0 {
		g.Di = angle(o.u32(64))
	}
	if !o.missing(68, 4) && g.Resolution&0x10 != 0 {
		g.Dj = angle(o.u32(68))
	}
	const slack = 1e-3 // degrees; some files round their corners to thousandths
	for _, lat := range []float64{g.La1, g.La2} {
		if !(math.Abs(lat) <= 90+slack) {
			return damage(3, at, "a corner has latitude %g", lat)
		}
	}
	for _, lon := range []float64{g.Lo1, g.Lo2} {
		if !(math.Abs(lon) <= 720+slack) {
			return damage(3, at, "a corner has longitude %g", lon)
		}
	}
	g.spans()
	return nil
}

// spans works out the steps from the corners, which say more about a third or a
// sixteenth of a degree than a step rounded to millionths does. Where corners
// and coded step differ by more than half a step, the file contradicts itself.
func (g *Grid) spans() {
	if g.Ni < 1 || g.Nj < 1 {
		return
	}
	if g.Ni > 1 {
		g.lonSpan = math.Mod(g.Lo2-g.Lo1, 360)
		if g.ScanMode&0x80 != 0 {
			g.lonSpan = -g.lonSpan
		}
		if g.lonSpan <= 0 {
			g.lonSpan += 360
		}
		if math.IsNaN(g.Di) {
			g.Di = g.lonSpan / float64(g.Ni-1)
		}
		if d := g.lonSpan - g.Di*float64(g.Ni-1); math.Abs(d) > g.Di/2 {
			g.malformed = fmt.Sprintf("the grid goes from longitude %g to %g in %d steps of %g degrees, which does not fit", g.Lo1, g.Lo2, g.Ni-1, g.Di)
		}
		if g.ScanMode&0x80 != 0 {
			g.lonSpan = -g.lonSpan
		}
	}
	if g.Nj > 1 {
		g.latSpan = g.La2 - g.La1
		if math.IsNaN(g.Dj) {
			g.Dj = math.Abs(g.latSpan) / float64(g.Nj-1)
		}
		down := g.ScanMode&0x40 == 0
		if d := math.Abs(g.latSpan) - g.Dj*float64(g.Nj-1); math.Abs(d) > g.Dj/2 || g.latSpan == 0 || (g.latSpan < 0) != down {
			g.malformed = fmt.Sprintf("the grid goes from latitude %g to %g in %d steps of %g degrees, which does not fit", g.La1, g.La2, g.Nj-1, g.Dj)
		}
	}
}

const milli = 1e3 // coded lengths are millimetres

// mercator reads the rest of template 3.10.
func (g *Grid) mercator(o octets) {
	g.La1, g.Lo1 = float64(o.s32(39))/micro, float64(o.s32(43))/micro
	g.Resolution = o[46]
	g.LaD = float64(o.s32(48)) / micro
	g.La2, g.Lo2 = float64(o.s32(52))/micro, float64(o.s32(56))/micro
	g.ScanMode = o[59]
	g.Dx, g.Dy = float64(o.u32(65))/milli, float64(o.u32(69))/milli
}

// conic reads the rest of templates 3.20 (polar stereographic) and 3.30
// (Lambert conformal), which agree up to the scanning mode.
func (g *Grid) conic(o octets) {
	g.La1, g.Lo1 = float64(o.s32(39))/micro, float64(o.s32(43))/micro
	g.Resolution = o[46]
	g.LaD, g.LoV = float64(o.s32(48))/micro, float64(o.s32(52))/micro
	g.Dx, g.Dy = float64(o.u32(56))/milli, float64(o.u32(60))/milli
	g.Centre, g.ScanMode = o[63], o[64]
	if g.Template == 30 {
		g.Latin1, g.Latin2 = float64(o.s32(66))/micro, float64(o.s32(70))/micro
		g.SouthPole = [2]float64{float64(o.s32(74)) / micro, float64(o.s32(78)) / micro}
	}
}
