package gazetteer

import (
	"fmt"

	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

const maxPoints = 1 << 20

// decodePoints reads where the points are. A section holds, for each cell of the grid that has points, how many cells
// were skipped and how many points follow; then, as planes of bytes, the points' parts of the cell's height and
// of its width, in 65536ths.
func decodePoints(section []byte, grid *nearby.Grid) ([]geo.Point, error) {
	r := packed.NewReader(section)
	n := r.Count(maxPoints)
	cells := r.Count(maxPoints)
	points := make([]geo.Point, 0, n)
	type run struct{ cell, count int }
	runs := make([]run, cells)
	cell, total := -1, 0
	for i := range runs {
		cell += 1 + r.Count(grid.Cells())
		count := r.Count(n - total)
		runs[i], total = run{cell, count}, total+count
	}
	lat, lon := packed.Unplane(r.Bytes(2*n)), packed.Unplane(r.Bytes(2*n))
	if r.Err() != nil {
		return nil, r.Err()
	}
	if total != n || cell >= grid.Cells() {
		return nil, fmt.Errorf("%d points in cells to %d, expected %d in cells below %d", total, cell, n, grid.Cells())
	}
	for _, c := range runs {
		box := grid.Box(int32(c.cell))
		for range c.count {
			i := len(points)
			points = append(points, geo.Point{
				LatDeg: box.SouthDeg + box.HeightDeg*(float64(lat[i])+0.5)/65536,
				LonDeg: box.WestDeg + box.WidthDeg*(float64(lon[i])+0.5)/65536,
			})
		}
	}
	return points, nil
}

// decodeColumn reads n integers. Where neighbours are alike each is stated as the difference to the one before.
func decodeColumn[T int16 | uint16 | int32](section []byte, n int, differences bool) ([]T, error) {
	r := packed.NewReader(section)
	out := make([]T, n)
	last := int64(0)
	for i := range out {
		v := r.Varint()
		if differences {
			v += last
		}
		last, out[i] = v, T(v)
		if int64(out[i]) != v {
			return nil, fmt.Errorf("row %d holds %d, which is out of range", i, v)
		}
	}
	if r.Left() != 0 {
		return nil, fmt.Errorf("%d bytes too many", r.Left())
	}
	return out, r.Err()
}

// words is a column of text, one string after the other.
type words struct {
	text   string
	starts []uint32
}

// decodeWords reads n strings that end with a line feed each.
func decodeWords(section []byte, n int) (words, error) {
	w := words{text: string(section), starts: make([]uint32, 1, n+1)}
	for i := range section {
		if section[i] == '\n' {
			w.starts = append(w.starts, uint32(i+1))
		}
	}
	if len(w.starts) != n+1 || int(w.starts[n]) != len(section) {
		return words{}, fmt.Errorf("%d names, expected %d", len(w.starts)-1, n)
	}
	return w, nil
}

func (w *words) at(i int) string { return w.text[w.starts[i] : w.starts[i+1]-1] }
