package terrain

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path"
	"regexp"
	"strconv"
	"strings"

	"pappus/measure/geo"
)

// Tile is one square degree of the Shuttle Radar Topography Mission: posts every 3 or every 1 second of arc,
// rows from north to south, heights in metres above the EGM96 geoid [SRTM].
type Tile struct {
	south, west int
	posts       int // in a row, and rows: 1201 or 3601
	heights     []int16
	source      string
}

const (
	hgtVoid = -32768

	// hgtErrorM is one standard deviation: the mission's own requirement is 16 m for 90 % of posts [SRTM].
	hgtErrorM = 9.7

	// maxZipEntries bounds the search for the tile in an archive.
	maxZipEntries = 64
)

var hgtName = regexp.MustCompile(`(?i)^([NS])(\d{1,2})([EW])(\d{1,3})`)

// ParseHGT reads a tile. Its name says where it lies: N44W072.hgt has its south-west corner at 44 N 72 W. A zip archive
// with one tile inside will do; then the inner name counts.
func ParseHGT(name string, data []byte) (*Tile, error) {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		inner, body, err := unzipHGT(data)
		if err != nil {
			return nil, fmt.Errorf("terrain tile %s: %w", name, err)
		}
		name, data = inner, body
	}
	t := &Tile{}
	switch len(data) {
	case 2 * 1201 * 1201:
		t.posts = 1201
	case 2 * 3601 * 3601:
		t.posts = 3601
	default:
		return nil, fmt.Errorf("terrain tile %s: %d bytes, expected %d (3 seconds) or %d (1 second)", name, len(data), 2*1201*1201, 2*3601*3601)
	}
	m := hgtName.FindStringSubmatch(name)
	if m == nil {
		return nil, fmt.Errorf("terrain tile %s: the name must begin with its south-west corner, such as N44W072", name)
	}
	t.south, _ = strconv.Atoi(m[2]) // the pattern holds digits only
	t.west, _ = strconv.Atoi(m[4])
	if strings.EqualFold(m[1], "S") {
		t.south = -t.south
	}
	if strings.EqualFold(m[3], "W") {
		t.west = -t.west
	}
	if t.south < -90 || t.south > 89 || t.west < -180 || t.west > 179 {
		return nil, fmt.Errorf("terrain tile %s: no square degree has its corner there", name)
	}
	t.heights = make([]int16, t.posts*t.posts)
	for i := range t.heights {
		t.heights[i] = int16(uint16(data[2*i])<<8 | uint16(data[2*i+1]))
	}
	t.source = fmt.Sprintf("SRTM tile %s (%d m)", strings.ToUpper(m[0]), 30*3600/(t.posts-1))
	return t, nil
}

// unzipHGT takes the one tile out of an archive, and never more of it than a tile can hold.
func unzipHGT(data []byte) (name string, body []byte, err error) {
	const largest = 2 * 3601 * 3601
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return "", nil, err
	}
	if len(archive.File) > maxZipEntries {
		return "", nil, fmt.Errorf("the archive holds %d files, expected one tile", len(archive.File))
	}
	for _, f := range archive.File {
		if !strings.EqualFold(path.Ext(f.Name), ".hgt") {
			continue
		}
		if f.UncompressedSize64 > largest {
			return "", nil, fmt.Errorf("%s says it holds %d bytes, expected at most %d", f.Name, f.UncompressedSize64, largest)
		}
		r, err := f.Open()
		if err != nil {
			return "", nil, err
		}
		defer r.Close()
		body, err := io.ReadAll(io.LimitReader(r, largest+1))
		if err != nil {
			return "", nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		return path.Base(f.Name), body, nil
	}
	return "", nil, fmt.Errorf("the archive holds no .hgt file")
}

// Corner is the tile's south-west corner.
func (t *Tile) Corner() geo.Point {
	return geo.Point{LatDeg: float64(t.south), LonDeg: float64(t.west)}
}

// Source names the tile.
func (t *Tile) Source() string { return t.source }

// At is the height between the four posts around a place. It is not known outside the tile, nor where one of the posts
// it rests on is void.
func (t *Tile) At(p geo.Point) (height geo.AltMSL, known bool) {
	x := (p.LonDeg - float64(t.west)) * float64(t.posts-1)
	y := (float64(t.south+1) - p.LatDeg) * float64(t.posts-1) // down from the north
	last := float64(t.posts - 1)
	if !(x >= 0 && x <= last && y >= 0 && y <= last) {
		return 0, false
	}
	i, j := min(int(x), t.posts-2), min(int(y), t.posts-2)
	fx, fy := x-float64(i), y-float64(j)
	sum := 0.0
	for k, weight := range [4]float64{(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy} {
		if weight == 0 {
			continue
		}
		v := t.heights[(j+k/2)*t.posts+i+k%2]
		if v == hgtVoid {
			return 0, false
		}
		sum += weight * float64(v)
	}
	return geo.AltMSL(sum), true
}

// Layers is a person's tiles over a coarser relief.
type Layers struct {
	base  Relief
	tiles map[int32]*Tile
}

// NewLayers lays tiles over a relief. Of two tiles for one square degree the finer counts, of equals the later.
func NewLayers(base Relief, tiles ...*Tile) *Layers {
	l := &Layers{base: base, tiles: make(map[int32]*Tile, len(tiles))}
	for _, t := range tiles {
		k := square(t.south, t.west)
		if old := l.tiles[k]; old == nil || t.posts >= old.posts {
			l.tiles[k] = t
		}
	}
	return l
}

func square(south, west int) int32 { return int32((south+90)*360 + west + 180) }

// Elevation asks the tile there, and the relief below where there is none or the tile is void.
func (l *Layers) Elevation(p geo.Point) (geo.AltMSL, float64, string) {
	south := min(int(p.LatDeg+90), 179) - 90
	west := min(int(p.LonDeg+180), 359) - 180
	if t := l.tiles[square(south, west)]; t != nil {
		if h, known := t.At(p); known {
			return h, hgtErrorM, t.source
		}
	}
	return l.base.Elevation(p)
}
