package main

import (
	"bytes"
	"compress/gzip"
	"math"
	"slices"
)

type tileKey struct{ zoom, x, y int }

// tileSet holds the features of each tile by layer.
type tileSet map[tileKey]map[string][]feature

func (t tileSet) add(key tileKey, layer string, f feature) {
	if t[key] == nil {
		t[key] = map[string][]feature{}
	}
	t[key][layer] = append(t[key][layer], f)
}

// draw puts the shapes of a drawing into the tiles of its zooms.
func (t tileSet) draw(d drawing) { t.descend(d, tileKey{}, d.shapes) }

func (t tileSet) descend(d drawing, key tileKey, shapes []shape) {
	size := 1 / float64(int(1)<<key.zoom)
	edge := size * margin / extent
	left, top := float64(key.x)*size, float64(key.y)*size
	b := box{left - edge, top - edge, left + size + edge, top + size + edge}
	var within []shape
	for _, s := range shapes {
		if part, some := b.cut(s); some {
			within = append(within, part)
		}
	}
	if len(within) == 0 {
		return
	}
	if key.zoom >= d.first {
		for _, s := range within {
			if f, some := featureOf(s, left, top, size, key.zoom); some {
				t.add(key, d.layer, f)
			}
		}
	}
	if key.zoom == d.last {
		return
	}
	for quarter := range 4 {
		t.descend(d, tileKey{key.zoom + 1, key.x*2 + quarter%2, key.y*2 + quarter/2}, within)
	}
}

// featureOf brings a shape to the whole units of a tile. The tolerance is half a
// screen pixel (a tile is drawn 512 wide, so 4 units), and less in the last zoom,
// which is drawn enlarged.
func featureOf(s shape, left, top, size float64, zoom int) (feature, bool) {
	tolerance := 4.0
	if zoom == maxZoom {
		tolerance = 1
	}
	f := feature{kind: lineKind}
	if s.area {
		f.kind = areaKind
	}
	for _, path := range s.paths {
		scaled := make([]point, len(path))
		for i, p := range path {
			scaled[i] = point{(p.x - left) / size * extent, (p.y - top) / size * extent}
		}
		var whole [][2]int
		for _, p := range simplified(scaled, tolerance) {
			w := [2]int{int(math.Round(p.x)), int(math.Round(p.y))}
			if len(whole) == 0 || w != whole[len(whole)-1] {
				whole = append(whole, w)
			}
		}
		if !s.area {
			if len(whole) > 1 {
				f.paths = append(f.paths, whole)
			}
			continue
		}
		outer := len(f.paths) == 0
		if doubled := twiceArea(whole); len(whole) < 4 || math.Abs(float64(doubled)) < 2*16 {
			if outer {
				return feature{}, false // under two pixels in all: not seen
			}
			continue
		} else if doubled > 0 != outer {
			slices.Reverse(whole) // outer rings clockwise on the screen, holes against it
		}
		f.paths = append(f.paths, whole[:len(whole)-1])
	}
	return f, len(f.paths) > 0
}

// twiceArea is twice the signed area of a ring, positive when it runs clockwise
// with y downward [MVT, 4.3.4.4].
func twiceArea(ring [][2]int) int {
	sum := 0
	for i := 1; i < len(ring); i++ {
		sum += ring[i-1][0]*ring[i][1] - ring[i][0]*ring[i-1][1]
	}
	return sum
}

// layerOrder is the order of layers in a tile, so that the bytes are the same
// each time.
var layerOrder = []string{"land", "lake", "river", "county", "state", "border", "place"}

func (t tileSet) archive() ([]byte, error) {
	var list []archived
	for key, layers := range t {
		var tile []byte
		for _, name := range layerOrder {
			if features := layers[name]; len(features) > 0 {
				tile = append(tile, encodeLayer(name, features)...)
			}
		}
		list = append(list, archived{tileID(key), zipped(tile)})
	}
	return writeArchive(list)
}

func zipped(data []byte) []byte {
	var b bytes.Buffer
	w, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // the level is a known one
	w.Write(data)                                         // a buffer takes everything
	w.Close()
	return b.Bytes()
}
