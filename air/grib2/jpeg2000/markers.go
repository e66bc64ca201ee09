package jpeg2000

import "encoding/binary"

// Markers, table A.2.
const (
	markSOC = 0xff4f
	markSIZ = 0xff51
	markCOD = 0xff52
	markCOC = 0xff53
	markQCD = 0xff5c
	markQCC = 0xff5d
	markRGN = 0xff5e
	markPOC = 0xff5f
	markPPM = 0xff60
	markPPT = 0xff61
	markSOT = 0xff90
	markSOP = 0xff91
	markEPH = 0xff92
	markSOD = 0xff93
	markEOC = 0xffd9
)

// codestream is what the headers say.
type codestream struct {
	x0, y0, x1, y1         int // image area on the reference grid
	tx0, ty0, tilew, tileh int // tiles
	across                 int // tiles in a row
	depth                  int
	signed                 bool
	coding                 coding
	tiles                  []tile
}

// tile is one tile's headers and packets.
type tile struct {
	seen   bool
	coding coding
	data   []byte
}

// coding is how a tile is coded: COD, COC, QCD and QCC.
type coding struct {
	depth         int // of the samples, from SIZ
	progression   int
	layers        int
	levels        int // of the wavelet transform
	blockw        int // as powers of two
	blockh        int
	style         int // of the code blocks, table A.19
	reversible    bool
	precincts     [33][2]int // as powers of two, for each resolution
	hasCOC        bool       // component markers outrank the default ones
	hasQCC        bool
	guard         int
	quantisation  int // table A.28: 0 none, 1 derived, 2 expounded
	steps         [97]uint16
	stepCount     int
	defined, quan bool
}

// segment is one marker segment without marker and length.
type segment []byte

func (s segment) u8(i int) int  { return int(s[i]) }
func (s segment) u16(i int) int { return int(binary.BigEndian.Uint16(s[i:])) }
func (s segment) u32(i int) int { return int(binary.BigEndian.Uint32(s[i:])) }

// parse reads all headers and gathers the packets of each tile. With onlySize
// it stops after the first segment.
func parse(data []byte, onlySize bool) (*codestream, error) {
	c := &codestream{}
	if len(data) < 4 || segment(data).u16(0) != markSOC || segment(data).u16(2) != markSIZ {
		return nil, damaged("it does not begin like one")
	}
	var current *tile // the tile whose header is being read
	end := 0          // where its tile part ends
	for at := 2; ; {
		if len(data)-at < 2 {
			return nil, damaged("it is cut short at octet %d", at)
		}
		mark := segment(data).u16(at)
		switch mark {
		case markEOC:
			return c, nil
		case markSOD:
			if current == nil || end < at+2 {
				return nil, damaged("tile data begin out of place at octet %d", at)
			}
			if !current.coding.defined || !current.coding.quan {
				return nil, damaged("a tile does not say how it is coded")
			}
			current.data = append(current.data, data[at+2:end]...)
			current, at = nil, end
			continue
		}
		if len(data)-at < 4 {
			return nil, damaged("it is cut short at octet %d", at)
		}
		length := segment(data).u16(at + 2)
		if length < 2 || length > len(data)-at-2 {
			return nil, damaged("a segment of %d octets at octet %d does not fit", length, at)
		}
		s := segment(data[at+4 : at+2+length])
		if c.tiles == nil && mark != markSIZ {
			return nil, damaged("it has no size")
		}
		var err error
		switch {
		case mark == markSIZ && c.tiles == nil:
			if err = c.size(s); err == nil && onlySize {
				return c, nil
			}
		case mark == markSOT && current == nil:
			current, end, err = c.startOfTile(s, data, at)
		case current != nil:
			err = current.coding.segment(mark, s)
		default:
			err = c.coding.segment(mark, s)
		}
		if err != nil {
			return nil, err
		}
		at += 2 + length
	}
}

// most is how large a coordinate may be, so that sums stay far from overflow.
const most = 1 << 30

// size reads SIZ, A.5.1.
func (c *codestream) size(s segment) error {
	if len(s) < 39 {
		return damaged("its size is cut short")
	}
	c.x1, c.y1, c.x0, c.y0 = s.u32(2), s.u32(6), s.u32(10), s.u32(14)
	c.tilew, c.tileh, c.tx0, c.ty0 = s.u32(18), s.u32(22), s.u32(26), s.u32(30)
	if s.u16(34) != 1 || s.u8(37) != 1 || s.u8(38) != 1 {
		return unsupported("%d components", s.u16(34))
	}
	c.depth, c.signed = s.u8(36)&127+1, s.u8(36)&128 != 0
	c.coding.depth = c.depth
	if c.depth > mostPlanes {
		return unsupported("%d bits in a sample", c.depth)
	}
	if c.x1 > most || c.y1 > most || c.x0 >= c.x1 || c.y0 >= c.y1 || c.tx0 > c.x0 || c.ty0 > c.y0 ||
		c.tilew < 1 || c.tileh < 1 || c.tilew > 2*most || c.tileh > 2*most || c.tx0+c.tilew <= c.x0 || c.ty0+c.tileh <= c.y0 {
		return damaged("its areas contradict each other")
	}
	c.across = ceilDiv(c.x1-c.tx0, c.tilew)
	down := ceilDiv(c.y1-c.ty0, c.tileh)
	if c.across > 65535 || down > 65535/c.across {
		return damaged("it has more than 65535 tiles")
	}
	c.tiles = make([]tile, c.across*down)
	return nil
}

// startOfTile reads SOT, A.4.2.
func (c *codestream) startOfTile(s segment, data []byte, at int) (*tile, int, error) {
	if len(s) < 8 || s.u16(0) >= len(c.tiles) {
		return nil, 0, damaged("a tile begins that is not there")
	}
	end := at + s.u32(2)
	if s.u32(2) == 0 { // up to the end of the codestream
		end = len(data)
		if end-at > 14 && segment(data).u16(end-2) == markEOC {
			end -= 2
		}
	}
	if end > len(data) || end < at+14 {
		return nil, 0, damaged("a tile part of %d octets at octet %d does not fit", s.u32(2), at)
	}
	t := &c.tiles[s.u16(0)]
	if !t.seen {
		t.seen, t.coding = true, c.coding
	}
	return t, end, nil
}

// segment reads one marker segment about the coding.
func (c *coding) segment(mark int, s segment) error {
	switch mark {
	case markCOD:
		if len(s) < 10 {
			return damaged("the coding style is cut short")
		}
		c.progression, c.layers = s.u8(1), s.u16(2)
		c.defined = true
		if c.progression > 4 || c.layers < 1 {
			return damaged("progression order %d with %d layers", c.progression, c.layers)
		}
		if c.hasCOC {
			return nil
		}
		return c.codeBlocks(s.u8(0)&1 != 0, s[5:])
	case markCOC:
		if len(s) < 7 {
			return damaged("the coding style is cut short")
		}
		c.hasCOC = true
		return c.codeBlocks(s.u8(1)&1 != 0, s[2:])
	case markQCD:
		if c.hasQCC {
			return nil
		}
		return c.quantise(s)
	case markQCC:
		if len(s) < 1 {
			return damaged("the quantisation is cut short")
		}
		c.hasQCC = true
		return c.quantise(s[1:])
	case markRGN:
		return unsupported("a region of interest")
	case markPOC:
		return unsupported("a change of the progression order")
	case markPPM, markPPT:
		return unsupported("packed packet headers")
	case markSIZ, markSOT:
		return damaged("marker %x is out of place", mark)
	}
	return nil // comments, lengths and the like
}

// codeBlocks reads the part that COD and COC share, table A.15.
func (c *coding) codeBlocks(hasPrecincts bool, s segment) error {
	if len(s) < 5 {
		return damaged("the coding style is cut short")
	}
	c.levels, c.blockw, c.blockh = s.u8(0), s.u8(1)+2, s.u8(2)+2
	c.style, c.reversible = s.u8(3), s.u8(4) == 1
	if c.levels > 32 || c.blockw > 10 || c.blockh > 10 || c.blockw+c.blockh > 12 || s.u8(4) > 1 {
		return damaged("%d levels, code blocks of 2^%d by 2^%d, transform %d", c.levels, c.blockw, c.blockh, s.u8(4))
	}
	if c.style&^0x3f != 0 {
		return unsupported("code-block style %x", c.style)
	}
	for r := 0; r <= c.levels; r++ {
		c.precincts[r] = [2]int{15, 15}
		if !hasPrecincts {
			continue
		}
		if len(s) < 6+r {
			return damaged("the precincts are cut short")
		}
		c.precincts[r] = [2]int{s.u8(5+r) & 15, s.u8(5+r) >> 4}
		if r > 0 && (c.precincts[r][0] == 0 || c.precincts[r][1] == 0) {
			return damaged("a precinct has no size")
		}
	}
	return nil
}

// quantise reads the part that QCD and QCC share, table A.27.
func (c *coding) quantise(s segment) error {
	if len(s) < 1 {
		return damaged("the quantisation is cut short")
	}
	c.guard, c.quantisation, c.quan = s.u8(0)>>5, s.u8(0)&31, true
	c.stepCount = 0
	if c.quantisation > 2 {
		return damaged("quantisation style %d", c.quantisation)
	}
	for rest := s[1:]; len(rest) > 0 && c.stepCount < len(c.steps); c.stepCount++ {
		if c.quantisation == 0 {
			c.steps[c.stepCount], rest = uint16(rest[0]>>3)<<11, rest[1:]
			continue
		}
		if len(rest) < 2 {
			return damaged("the quantisation is cut short")
		}
		c.steps[c.stepCount], rest = uint16(rest.u16(0)), rest[2:]
	}
	return nil
}
