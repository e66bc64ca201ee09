package jpeg2000

// What is known of a coefficient and its neighbours, one bit each.
const (
	north = 1 << iota // this neighbour is significant
	south
	east
	west
	northEast
	northWest
	southEast
	southWest
	northMinus // and negative
	southMinus
	eastMinus
	westMinus
	significant // the coefficient itself
	visited     // coded in this bit plane already
	refined     // has been refined before
	neighbours  = 255
	farSouth    = south | southEast | southWest | southMinus
)

// zeroContext is the context of a significance decision by orientation and
// neighbours, table D.1.
var zeroContext = func() (t [4][256]uint8) {
	for o := range t {
		for f := range t[o] {
			t[o][f] = zeroContextOf(o, f)
		}
	}
	return t
}()

func count(f int, bits ...int) (n int) {
	for _, b := range bits {
		if f&b != 0 {
			n++
		}
	}
	return n
}

func zeroContextOf(orientation, f int) uint8 {
	h, v, d := count(f, east, west), count(f, north, south), count(f, northEast, northWest, southEast, southWest)
	if orientation == 3 {
		switch hv := min(h+v, 2); {
		case d >= 3:
			return 8
		case d == 2:
			return uint8(6 + min(hv, 1))
		case d == 1:
			return uint8(3 + hv)
		default:
			return uint8(hv)
		}
	}
	if orientation == 1 {
		h, v = v, h
	}
	switch {
	case h == 2:
		return 8
	case h == 1 && v >= 1:
		return 7
	case h == 1:
		return uint8(5 + min(d, 1))
	case v > 0:
		return uint8(2 + v)
	}
	return uint8(min(d, 2))
}

// signContext is the context of a sign decision and whether to invert it,
// tables D.2 and D.3, by the four near neighbours and their signs.
func signContext(f uint16) (context, invert int) {
	contribution := func(a, b, aMinus, bMinus uint16) int {
		sum := 0
		if f&a != 0 {
			sum++
			if f&aMinus != 0 {
				sum -= 2
			}
		}
		if f&b != 0 {
			sum++
			if f&bMinus != 0 {
				sum -= 2
			}
		}
		return min(max(sum, -1), 1)
	}
	h, v := contribution(east, west, eastMinus, westMinus), contribution(north, south, northMinus, southMinus)
	if h < 0 || h == 0 && v < 0 {
		h, v, invert = -h, -v, 1
	}
	if h == 0 {
		return contextSign + v, invert
	}
	return contextSign + 3 + v, invert
}

// blockDecoder decodes code blocks, annex D. Its slices serve one after another.
type blockDecoder struct {
	arithmetic
	raw        rawBits
	isRaw      bool
	style      int
	zero       *[256]uint8
	w, h       int
	stride     int
	flags      []uint16 // with a border of one all around
	magnitudes []int32  // doubled, so that halves have a place
	minus      []bool
}

// blocksInto decodes all code blocks of a tile and hands over each coefficient
// that is not zero, doubled, with its place in the tile.
func (l *layout) blocksInto(c *coding, put func(b *band, at int, value int32)) error {
	d := &blockDecoder{style: c.style}
	stride := l.area.width()
	for r := range l.resolutions {
		for p := range l.resolutions[r].precincts {
			for _, part := range l.resolutions[r].precincts[p].parts {
				for n := range part.blocks {
					blk := &part.blocks[n]
					if blk.passes == 0 {
						continue
					}
					planes := part.band.planes - blk.missing
					if planes > mostPlanes {
						return unsupported("%d bit planes", planes)
					}
					d.decodeBlock(blk, part.band.orientation, planes)
					origin := part.band.offset + (blk.area.y0-part.band.area.y0)*stride + blk.area.x0 - part.band.area.x0
					for i, v := range d.magnitudes {
						if v == 0 {
							continue
						}
						if d.minus[i] {
							v = -v
						}
						put(part.band, origin+i/d.w*stride+i%d.w, v)
					}
				}
			}
		}
	}
	return nil
}

// decodeBlock runs the coding passes of one block.
func (d *blockDecoder) decodeBlock(blk *block, orientation, planes int) {
	d.w, d.h = blk.area.width(), blk.area.height()
	d.stride = d.w + 2
	d.flags = grown(d.flags, d.stride*(d.h+2))
	d.magnitudes = grown(d.magnitudes, d.w*d.h)
	d.minus = grown(d.minus, d.w*d.h)
	d.zero = &zeroContext[orientation]
	d.reset()
	pass := 0
	for _, s := range blk.segments {
		// Raw passes come after the fourth bit plane, all but the clean-up ones.
		d.isRaw = d.style&styleBypass != 0 && pass >= 10 && pass%3 != 0
		if d.isRaw {
			d.raw = rawBits{data: s.data}
		} else {
			d.begin(s.data)
		}
		for range s.passes {
			half := int32(1) << (planes - 1 - (pass+2)/3) // doubled: half of the bit
			switch pass % 3 {
			case 0:
				d.cleanUp(half)
			case 1:
				d.propagate(half)
			case 2:
				d.refine(half)
			}
			if d.style&styleReset != 0 {
				d.reset()
			}
			pass++
		}
	}
}

// grown gives a slice of n zeros, in the same place if it can.
func grown[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// sight is what a coefficient may know of its neighbours: with vertically causal
// contexts nothing of the stripe below.
func (d *blockDecoder) sight(at, y int) uint16 {
	f := d.flags[at]
	if d.style&styleCausal != 0 && y&3 == 3 {
		f &^= farSouth
	}
	return f
}

// become makes a coefficient significant, with its sign.
func (d *blockDecoder) become(at, i, y int, half int32) {
	sign := 0
	if d.isRaw {
		sign = d.raw.bit()
	} else {
		context, invert := signContext(d.sight(at, y))
		sign = d.decode(context) ^ invert
	}
	d.magnitudes[i] = 3 * half // the bit, and half of it for what is not known
	f := d.flags
	f[at] |= significant
	f[at-d.stride] |= south
	f[at+d.stride] |= north
	f[at-1] |= east
	f[at+1] |= west
	if sign == 1 {
		d.minus[i] = true
		f[at-d.stride] |= southMinus
		f[at+d.stride] |= northMinus
		f[at-1] |= eastMinus
		f[at+1] |= westMinus
	}
	f[at-d.stride-1] |= southEast
	f[at-d.stride+1] |= southWest
	f[at+d.stride-1] |= northEast
	f[at+d.stride+1] |= northWest
}

// propagate is the significance propagation pass, D.3.1.
func (d *blockDecoder) propagate(half int32) {
	for top := 0; top < d.h; top += 4 {
		for x := range d.w {
			for y := top; y < min(top+4, d.h); y++ {
				at := (y+1)*d.stride + x + 1
				f := d.sight(at, y)
				if f&significant != 0 || f&neighbours == 0 {
					continue
				}
				yes := 0
				if d.isRaw {
					yes = d.raw.bit()
				} else {
					yes = d.decode(int(d.zero[f&neighbours]))
				}
				if yes == 1 {
					d.become(at, y*d.w+x, y, half)
				}
				d.flags[at] |= visited
			}
		}
	}
}

// refine is the magnitude refinement pass, D.3.3.
func (d *blockDecoder) refine(half int32) {
	for top := 0; top < d.h; top += 4 {
		for x := range d.w {
			for y := top; y < min(top+4, d.h); y++ {
				at := (y+1)*d.stride + x + 1
				f := d.sight(at, y)
				if f&(significant|visited) != significant {
					continue
				}
				bit := 0
				switch {
				case d.isRaw:
					bit = d.raw.bit()
				case f&refined != 0:
					bit = d.decode(contextRefine + 2)
				case f&neighbours != 0:
					bit = d.decode(contextRefine + 1)
				default:
					bit = d.decode(contextRefine)
				}
				d.flags[at] |= refined
				if bit == 1 {
					d.magnitudes[y*d.w+x] += half
				} else {
					d.magnitudes[y*d.w+x] -= half
				}
			}
		}
	}
}

// cleanUp is the clean-up pass, D.3.4. It forgets which coefficients were
// visited.
func (d *blockDecoder) cleanUp(half int32) {
	for top := 0; top < d.h; top += 4 {
		for x := range d.w {
			y, found := top, false
			if top+4 <= d.h && d.quiet(top, x) {
				if d.decode(contextRun) == 0 {
					continue
				}
				y += d.decode(contextUniform) << 1
				y += d.decode(contextUniform)
				found = true
			}
			for ; y < min(top+4, d.h); y++ {
				at := (y+1)*d.stride + x + 1
				f := d.sight(at, y)
				if found || f&(significant|visited) == 0 && d.decode(int(d.zero[f&neighbours])) == 1 {
					d.become(at, y*d.w+x, y, half)
				}
				found = false
				d.flags[at] &^= visited
			}
		}
	}
	if d.style&styleSymbols != 0 {
		for range 4 {
			d.decode(contextUniform)
		}
	}
}

// quiet tells whether a column of four has nothing significant in it or around.
func (d *blockDecoder) quiet(top, x int) bool {
	all := uint16(0)
	for y := top; y < top+4; y++ {
		all |= d.sight((y+1)*d.stride+x+1, y)
	}
	return all&(neighbours|significant|visited) == 0
}
