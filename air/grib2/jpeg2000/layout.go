package jpeg2000

import (
	"math"
	"slices"
)

// rect is an area, the ends not included.
type rect struct{ x0, y0, x1, y1 int }

func (r rect) width() int  { return max(0, r.x1-r.x0) }
func (r rect) height() int { return max(0, r.y1-r.y0) }

func ceilDiv(a, b int) int { return (a + b - 1) / b }

// ceilShift is a/2^n rounded up; a may be negative.
func ceilShift(a, n int) int { return -((-a) >> n) }

// tileArea is B-7 to B-10.
func (c *codestream) tileArea(index int) rect {
	x, y := c.tx0+index%c.across*c.tilew, c.ty0+index/c.across*c.tileh
	return rect{max(x, c.x0), max(y, c.y0), min(x+c.tilew, c.x1), min(y+c.tileh, c.y1)}
}

// layout is a tile taken apart into resolutions, bands, precincts and blocks.
type layout struct {
	area        rect
	resolutions []resolution
}

type resolution struct {
	area         rect
	bands        []band
	wide, high   int // precincts
	precincts    []precinct
	scaleX       int // size of a precinct on the reference grid, as a power of two
	scaleY       int
	left, top    int // index of the first precinct on the grid of precincts
	precinctBits [2]int
}

// band is one sub-band. Orientation: 0 LL, 1 HL, 2 LH, 3 HH.
type band struct {
	area        rect
	orientation int
	offset      int // where its first coefficient stands in the tile
	planes      int // Mb, equation E-2
	step        float32
}

// precinct holds the code blocks of all bands of a resolution in one area.
type precinct struct {
	parts []part
}

// part is what a precinct has of one band.
type part struct {
	band       *band
	wide, high int
	included   tagTree
	empty      tagTree
	blocks     []block
}

// block is one code block.
type block struct {
	area     rect
	coded    bool // included in some packet
	missing  int  // bit planes without any bit
	lblock   int
	passes   int
	segments []codeword
}

// codeword is a run of coding passes that share one codeword segment.
type codeword struct {
	passes, most int
	data         []byte
}

// layout builds the tile, annex B.
func (c *coding) layout(area rect, octets int) (*layout, error) {
	l := &layout{area: area, resolutions: make([]resolution, c.levels+1)}
	packets, blocks := 0, 0
	for r := range l.resolutions {
		res := &l.resolutions[r]
		down := c.levels - r
		res.area = rect{ceilShift(area.x0, down), ceilShift(area.y0, down), ceilShift(area.x1, down), ceilShift(area.y1, down)}
		if err := c.bands(l, r); err != nil {
			return nil, err
		}
		px, py := c.precincts[r][0], c.precincts[r][1]
		res.precinctBits, res.scaleX, res.scaleY = [2]int{px, py}, px+down, py+down
		res.left, res.top = res.area.x0>>px, res.area.y0>>py
		if res.area.width() > 0 && res.area.height() > 0 {
			res.wide, res.high = ceilShift(res.area.x1, px)-res.left, ceilShift(res.area.y1, py)-res.top
		}
		// A packet has at least one octet, and a packet without a block that is
		// coded nothing else. This bounds what a short stream can ask for.
		if res.wide > octets || res.high > octets || res.wide*res.high > octets || packets > octets {
			return nil, damaged("%d octets cannot hold the packets of all precincts", octets)
		}
		packets += res.wide * res.high * c.layers
		if packets > octets {
			return nil, damaged("%d octets cannot hold %d packets", octets, packets)
		}
		res.precincts = make([]precinct, res.wide*res.high)
		for p := range res.precincts {
			blocks += c.precinct(res, r, p)
			if blocks > 4096+256*octets {
				return nil, damaged("%d octets cannot hold so many code blocks", octets)
			}
		}
	}
	return l, nil
}

// bands sets up the sub-bands of a resolution, equation B-15, and their
// quantisation, annex E.
func (c *coding) bands(l *layout, r int) error {
	res := &l.resolutions[r]
	orientations := []int{1, 2, 3}
	level := c.levels - r + 1
	if r == 0 {
		orientations, level = []int{0}, c.levels
	}
	for k, o := range orientations {
		b := band{orientation: o}
		shift := func(v, high int) int {
			if high == 0 || level == 0 {
				return ceilShift(v, level)
			}
			return ceilShift(v-1<<(level-1), level)
		}
		b.area = rect{shift(l.area.x0, o&1), shift(l.area.y0, o>>1), shift(l.area.x1, o&1), shift(l.area.y1, o>>1)}
		if r > 0 {
			below := l.resolutions[r-1].area
			b.offset = (o>>1)*below.height()*l.area.width() + (o&1)*below.width()
		}
		index := 0
		if r > 0 {
			index = 3*(r-1) + 1 + k
		}
		word, exponent := c.steps[0], 0
		if c.quantisation == 1 {
			exponent = int(word>>11) - (c.levels - level) // equation E-5
		} else {
			if index >= c.stepCount {
				return damaged("a sub-band has no quantisation step")
			}
			word = c.steps[index]
			exponent = int(word >> 11)
		}
		b.planes = c.guard + exponent - 1
		if b.planes < 0 || b.planes > 37 {
			return damaged("a sub-band has %d bit planes", b.planes)
		}
		gain := o&1 + o>>1 // log2 of table E.1
		b.step = float32(math.Ldexp(1+float64(word&0x7ff)/2048, c.depth+gain-exponent))
		res.bands = append(res.bands, b)
	}
	return nil
}

// precinct sets up the code blocks of one precinct, B.6 and B.7, and tells how
// many there are.
func (c *coding) precinct(res *resolution, r, index int) int {
	p := &res.precincts[index]
	half := min(r, 1) // bands have half the resolution's scale but for the lowest
	pw, ph := res.precinctBits[0]-half, res.precinctBits[1]-half
	bw, bh := min(c.blockw, pw), min(c.blockh, ph)
	x, y := res.left+index%res.wide, res.top+index/res.wide
	count := 0
	for i := range res.bands {
		b := &res.bands[i]
		part := part{band: b}
		area := rect{max(b.area.x0, x<<pw), max(b.area.y0, y<<ph), min(b.area.x1, (x+1)<<pw), min(b.area.y1, (y+1)<<ph)}
		if area.width() > 0 && area.height() > 0 {
			left, top := area.x0>>bw, area.y0>>bh
			part.wide, part.high = ceilShift(area.x1, bw)-left, ceilShift(area.y1, bh)-top
			part.blocks = make([]block, part.wide*part.high)
			for n := range part.blocks {
				bx, by := left+n%part.wide, top+n/part.wide
				part.blocks[n] = block{lblock: 3, area: rect{max(area.x0, bx<<bw), max(area.y0, by<<bh), min(area.x1, (bx+1)<<bw), min(area.y1, (by+1)<<bh)}}
			}
			part.included, part.empty = newTagTree(part.wide, part.high), newTagTree(part.wide, part.high)
			count += len(part.blocks)
		}
		p.parts = append(p.parts, part)
	}
	return count
}

// packet names one packet.
type packet struct{ layer, resolution, precinct int }

// order lists the packets as the progression order has them, B.12. There is one
// component.
func (l *layout) order(c *coding) []packet {
	var all []packet
	for r := range l.resolutions {
		for p := range l.resolutions[r].precincts {
			for layer := range c.layers {
				all = append(all, packet{layer, r, p})
			}
		}
	}
	place := func(p packet) (y, x int) {
		res := &l.resolutions[p.resolution]
		return max(l.area.y0, (res.top+p.precinct/res.wide)<<res.scaleY), max(l.area.x0, (res.left+p.precinct%res.wide)<<res.scaleX)
	}
	compare := func(a, b packet) int {
		ay, ax := place(a)
		by, bx := place(b)
		switch c.progression {
		case 0:
			return firstOf(a.layer-b.layer, a.resolution-b.resolution, a.precinct-b.precinct)
		case 1:
			return firstOf(a.resolution-b.resolution, a.layer-b.layer, a.precinct-b.precinct)
		case 2:
			return firstOf(a.resolution-b.resolution, a.precinct-b.precinct, a.layer-b.layer)
		}
		return firstOf(ay-by, ax-bx, a.resolution-b.resolution, a.precinct-b.precinct, a.layer-b.layer)
	}
	slices.SortFunc(all, compare)
	return all
}

// firstOf is the first number that is not zero.
func firstOf(numbers ...int) int {
	for _, n := range numbers {
		if n != 0 {
			return n
		}
	}
	return 0
}
