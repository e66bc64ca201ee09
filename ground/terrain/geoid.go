package terrain

import (
	_ "embed"
	"fmt"
	"sync"

	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

//go:embed geoid.bin
var geoidFile []byte

const (
	geoidRows    = 721 // every quarter of a degree, from -90
	geoidColumns = 1440
	geoidStep    = 0.02 // m

	// GeoidErrorM is EGM96's own error (half a metre to a metre on land [EGM96]); the steps and the straight
	// lines between posts add less than that.
	GeoidErrorM = 1.0
)

// Geoid is how high the sea's level, continued under the land, stands above the ellipsoid: EGM96.
type Geoid struct{ steps []int16 }

// LoadGeoid unpacks the embedded geoid, once.
var LoadGeoid = sync.OnceValues(func() (*Geoid, error) {
	file, err := packed.Open(geoidFile)
	if err != nil {
		return nil, fmt.Errorf("geoid: %w", err)
	}
	section, err := file.Section(0)
	if err != nil {
		return nil, fmt.Errorf("geoid: %w", err)
	}
	if len(section) != 2*geoidRows*geoidColumns {
		return nil, fmt.Errorf("geoid: %d bytes, expected %d", len(section), 2*geoidRows*geoidColumns)
	}
	steps := make([]int16, geoidRows*geoidColumns)
	for i, v := range packed.Unplane(section) {
		guess := int16(0)
		switch {
		case i%geoidColumns > 0 && i >= geoidColumns:
			guess = steps[i-1] + steps[i-geoidColumns] - steps[i-geoidColumns-1]
		case i%geoidColumns > 0:
			guess = steps[i-1]
		case i >= geoidColumns:
			guess = steps[i-geoidColumns]
		}
		steps[i] = guess + (int16(v>>1) ^ -int16(v&1))
	}
	return &Geoid{steps}, nil
})

// UndulationM is the sea level's height above the ellipsoid: -107 m south of India to 86 m over New Guinea.
func (g *Geoid) UndulationM(p geo.Point) float64 {
	x := (p.LonDeg + 180) * 4
	y := (p.LatDeg + 90) * 4
	i, j := int(x), min(int(y), geoidRows-2)
	fx, fy := x-float64(i), y-float64(j)
	at := func(i, j int) float64 { return float64(g.steps[j*geoidColumns+i%geoidColumns]) }
	return geoidStep * ((at(i, j)*(1-fx)+at(i+1, j)*fx)*(1-fy) + (at(i, j+1)*(1-fx)+at(i+1, j+1)*fx)*fy)
}

// HAE turns a height above the sea into one above the ellipsoid.
func (g *Geoid) HAE(p geo.Point, z geo.AltMSL) geo.AltHAE {
	return geo.AltHAE(float64(z) + g.UndulationM(p))
}

// MSL turns a height above the ellipsoid, as satellite receivers have it first, into one above the sea.
func (g *Geoid) MSL(p geo.Point, h geo.AltHAE) geo.AltMSL {
	return geo.AltMSL(float64(h) - g.UndulationM(p))
}

// AGL is how high something above the sea is above the ground of a relief.
func AGL(r Relief, p geo.Point, z geo.AltMSL) geo.AltAGL {
	ground, _, _ := r.Elevation(p)
	return geo.AltAGL(float64(z - ground))
}
