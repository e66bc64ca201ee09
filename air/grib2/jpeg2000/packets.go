package jpeg2000

import "math/bits"

// Code-block styles, table A.19.
const (
	styleBypass    = 1 << 0
	styleReset     = 1 << 1
	styleTerminate = 1 << 2
	styleCausal    = 1 << 3
	styleSymbols   = 1 << 5
)

// tagTree codes an array of small integers, B.10.2.
type tagTree struct {
	levels []tagLevel // from the leaves up to the root
}

type tagLevel struct {
	wide  int
	value []int  // what is known: the value is at least this
	fixed []bool // and it is no more
}

func newTagTree(wide, high int) tagTree {
	var t tagTree
	for {
		n := wide * high
		t.levels = append(t.levels, tagLevel{wide: wide, value: make([]int, n), fixed: make([]bool, n)})
		if n <= 1 {
			return t
		}
		wide, high = (wide+1)/2, (high+1)/2
	}
}

// read tells whether the value of a leaf is below a limit, reading what bits it
// takes to know.
func (t *tagTree) read(b *headerBits, x, y, limit int) bool {
	low := 0
	for k := len(t.levels) - 1; k >= 0; k-- {
		level := &t.levels[k]
		i := y>>k*level.wide + x>>k
		level.value[i] = max(level.value[i], low)
		for !level.fixed[i] && level.value[i] < limit {
			if b.bit() == 1 {
				level.fixed[i] = true
			} else {
				level.value[i]++
			}
		}
		low = level.value[i]
		if !level.fixed[i] && k > 0 {
			// The children are at least limit too, which is all that is asked.
			return false
		}
	}
	return t.levels[0].fixed[y*t.levels[0].wide+x] && low < limit
}

// whole reads a leaf to the end. It is false where the value is above a limit.
func (t *tagTree) whole(b *headerBits, x, y, limit int) (int, bool) {
	for n := 1; n <= limit+1; n++ {
		if t.read(b, x, y, n) {
			return n - 1, true
		}
	}
	return 0, false
}

// headerBits reads bits with a zero stuffed after an octet of ones, B.10.1.
type headerBits struct {
	data []byte
	at   int
	held uint
	left int
	over bool // read past the end
}

func (b *headerBits) bit() int {
	if b.left == 0 {
		b.left = 8
		if b.at > 0 && b.held == 0xff {
			b.left = 7
		}
		if b.at >= len(b.data) {
			b.over = true
			return 0
		}
		b.held = uint(b.data[b.at])
		b.at++
	}
	b.left--
	return int(b.held>>b.left) & 1
}

func (b *headerBits) bits(n int) int {
	v := 0
	for range n {
		v = v<<1 | b.bit()
	}
	return v
}

// align goes to the next octet, over a stuffed one.
func (b *headerBits) align() {
	b.left = 0
	if b.at > 0 && b.held == 0xff {
		b.at++
	}
}

// contribution is what one packet adds to one codeword segment.
type contribution struct {
	block   *block
	segment int
	length  int
}

// readPackets reads all packets of a tile, B.9 and B.10.
func (l *layout) readPackets(c *coding, data []byte) error {
	for _, p := range l.order(c) {
		if len(data) >= 6 && segment(data).u16(0) == markSOP {
			data = data[6:]
		}
		b := &headerBits{data: data}
		var body []contribution
		if b.bit() == 1 {
			parts := l.resolutions[p.resolution].precincts[p.precinct].parts
			for i := range parts {
				var ok bool
				if body, ok = parts[i].header(c, b, p.layer, body); !ok {
					return damaged("a packet header contradicts itself")
				}
			}
		}
		b.align()
		if b.over || b.at > len(data) {
			return damaged("the packets are cut short")
		}
		data = data[b.at:]
		if len(data) >= 2 && segment(data).u16(0) == markEPH {
			data = data[2:]
		}
		for _, add := range body {
			if add.length > len(data) {
				return damaged("the packets are cut short")
			}
			s := &add.block.segments[add.segment]
			s.data = append(s.data, data[:add.length]...)
			data = data[add.length:]
		}
	}
	return nil
}

// header reads what a packet header says about one part of a precinct, B.10.
func (p *part) header(c *coding, b *headerBits, layer int, body []contribution) ([]contribution, bool) {
	for n := range p.blocks {
		blk, x, y := &p.blocks[n], n%p.wide, n/p.wide
		switch {
		case blk.coded:
			if b.bit() == 0 {
				continue
			}
		case !p.included.read(b, x, y, layer+1):
			if b.over {
				return nil, false
			}
			continue
		default:
			var ok bool
			if blk.missing, ok = p.empty.whole(b, x, y, p.band.planes); !ok {
				return nil, false
			}
			blk.coded = true
		}
		passes := passCount(b)
		blk.passes += passes
		if blk.passes > 3*(p.band.planes-blk.missing)-2 {
			return nil, false
		}
		for b.bit() == 1 {
			if blk.lblock++; blk.lblock > 32 {
				return nil, false
			}
		}
		for passes > 0 {
			s := blk.open(c.style)
			k := min(passes, blk.segments[s].most-blk.segments[s].passes)
			length := b.bits(blk.lblock + bits.Len(uint(k)) - 1)
			body = append(body, contribution{blk, s, length})
			blk.segments[s].passes += k
			passes -= k
		}
		if b.over {
			return nil, false
		}
	}
	return body, true
}

// open gives the segment that the next pass belongs to, D.4.2 and table D.9:
// one for all passes, or one for each, or, where late passes are raw bits, ten
// passes, then two raw ones and one coded in turn.
func (blk *block) open(style int) int {
	last := len(blk.segments) - 1
	if last >= 0 && blk.segments[last].passes < blk.segments[last].most {
		return last
	}
	most := 1 << 20
	switch {
	case style&styleTerminate != 0:
		most = 1
	case style&styleBypass != 0 && last < 0:
		most = 10
	case style&styleBypass != 0:
		most = 3 - blk.segments[last].most // 2 after 1, 1 after 2
		if last == 0 {
			most = 2
		}
	}
	blk.segments = append(blk.segments, codeword{most: most})
	return last + 1
}

// passCount reads the number of coding passes, table B.4.
func passCount(b *headerBits) int {
	switch {
	case b.bit() == 0:
		return 1
	case b.bit() == 0:
		return 2
	}
	if n := b.bits(2); n < 3 {
		return 3 + n
	}
	if n := b.bits(5); n < 31 {
		return 6 + n
	}
	return 37 + b.bits(7)
}
