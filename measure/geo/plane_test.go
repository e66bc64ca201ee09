package geo

import (
	"math"
	"testing"
)

func TestPlaneThereAndBack(t *testing.T) {
	for _, centre := range []Point{{40.1, -99.2}, {0, 0}, {-12, 179.99}, {65, -180}, {89.9, 30}, {90, 0}, {90, -75}, {-90, 10}} {
		p := NewPlane(centre)
		if p.Centre() != centre {
			t.Errorf("centre %v became %v", centre, p.Centre())
		}
		for _, r := range []float64{0, 0.01, 1, 3000, 250e3, 5e6} {
			for angle := 0.0; angle < 360; angle += 30 {
				sin, cos := sincosDeg(angle)
				q := p.From(r*sin, r*cos)
				if !(q.LonDeg >= -180 && q.LonDeg < 180) {
					t.Errorf("%v is outside -180 to 180", q)
				}
				east, north := p.To(q)
				// Twice the rounding of a geodesic, see lengthTolerance.
				if off := math.Hypot(east-r*sin, north-r*cos); off > 4e-8 {
					t.Errorf("centre %v, %v m towards %v: comes back %g m off", centre, r, angle, off)
				}
			}
		}
	}
}

// A place a little north and east of the centre, by the radii of curvature: at 1 km the
// next terms are of relative size s/R, 2e-4 of a kilometre times the small angle.
func TestPlaneNearTheCentre(t *testing.T) {
	centre := Point{52, 13}
	meridian, prime := CurvatureRadii(centre.LatDeg)
	dLat, dLon := 0.005, 0.007
	east, north := NewPlane(centre).To(Point{centre.LatDeg + dLat, centre.LonDeg + dLon})
	wantNorth := dLat * math.Pi / 180 * meridian
	wantEast := dLon * math.Pi / 180 * prime * math.Cos(52*math.Pi/180)
	if math.Abs(north-wantNorth) > 0.1 || math.Abs(east-wantEast) > 0.1 {
		t.Errorf("east %.3f, north %.3f m; expected about %.3f and %.3f", east, north, wantEast, wantNorth)
	}
}

func TestPlaneAcrossAPole(t *testing.T) {
	// From the north pole along the centre's longitude turned by 90 degrees to the east.
	p := NewPlane(Point{90, 0})
	east, north := p.To(Point{89, 90})
	// One degree of latitude at the pole is 111.694 km (polar radius times a degree).
	if math.Abs(east-111694) > 1 || math.Abs(north) > 1e-6 {
		t.Errorf("89 N 90 E lies at %.3f east, %.3f north of the pole", east, north)
	}
	_, south := p.To(Point{89, 0})
	if math.Abs(south+111694) > 1 {
		t.Errorf("89 N 0 E lies at %.3f north of the pole, expected the other side", south)
	}
}
