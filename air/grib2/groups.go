package grib2

// chunk is how many integers are unpacked before they are summed and scaled.
// They then still lie in the nearest cache.
const chunk = 512

// batch is how many groups are read from the lists at a time.
const batch = 64

// groups walks through the groups of templates 7.2 and 7.3. References, widths
// and lengths lie in three lists, each packed on its own.
type groups struct {
	Packing
	data                 []byte
	first, second, least int64 // extra descriptors of the differencing

	referenceBit, widthBit, lengthBit int // where the lists begin
	valueBit                          int // where the values of all groups begin

	group   int // groups read from the lists so far
	loaded  int // how many of them are in the arrays below
	current int // the one of these that is being unpacked
	left    int // how many of its values are still packed
	bit     int // where they begin

	references, widths, lengths [batch + spare]int64
	integers                    [chunk + spare]int64
}

// rewind goes back to the first group.
func (g *groups) rewind() {
	g.group, g.loaded, g.current, g.left, g.bit = 0, 0, 0, 0, g.valueBit
}

// nextBatch reads the descriptors of the groups that follow.
func (g *groups) nextBatch() (n int, ok bool) {
	n = min(batch, g.Groups-g.group)
	if n == 0 {
		return 0, false
	}
	unpack(g.references[:], n, g.data, g.referenceBit+g.group*g.Bits, g.Bits, 0)
	unpack(g.widths[:], n, g.data, g.widthBit+g.group*g.WidthBits, g.WidthBits, int64(g.WidthReference))
	unpack(g.lengths[:], n, g.data, g.lengthBit+g.group*g.LengthBits, g.LengthBits, 0)
	for i := range g.lengths[:n] {
		g.lengths[i] = int64(g.LengthReference) + int64(g.LengthIncrement)*g.lengths[i]
	}
	g.group += n
	if g.group == g.Groups {
		g.lengths[n-1] = int64(g.LastLength)
	}
	g.loaded, g.current = n, -1
	return n, true
}

// next unpacks the integers of the groups that follow, up to a chunk of them.
// References and the least difference are added already.
func (g *groups) next() []int64 {
	filled := 0
	for filled < chunk {
		if g.left == 0 {
			if g.current++; g.current >= g.loaded {
				if _, ok := g.nextBatch(); !ok {
					break
				}
				g.current = 0
			}
			g.left = int(g.lengths[g.current])
		}
		n := min(g.left, chunk-filled)
		width := int(g.widths[g.current])
		unpack(g.integers[filled:], n, g.data, g.bit, width, g.references[g.current]+g.least)
		g.bit += n * width
		g.left -= n
		filled += n
	}
	return g.integers[:filled]
}
