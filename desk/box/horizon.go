package box

import (
	"math"

	"pappus/measure/unit"
)

// SlantHorizon is the way to the horizon in a straight line, sqrt(2 R h + h²), for
// an eye at a height over a smooth sphere of 6371 km, without refraction.
func SlantHorizon(height float64) float64 {
	return math.Sqrt(2*earthRadius*height + height*height)
}

// Dip is how far the horizon stands under the level, acos(R / (R + h)), in radians.
func Dip(height float64) float64 { return math.Acos(earthRadius / (earthRadius + height)) }

// GroundArc is the way to the horizon along the ground.
func GroundArc(height float64) float64 { return earthRadius * Dip(height) }

// RadioReach is how far two antennas of these heights over smooth ground hear each
// other at the most: each to its horizon on an Earth of four thirds the radius, by
// which the usual bending of radio in air is counted. At 30 km it is up to a sixth
// too far, for the bending fades with the air; hills shorten it.
func RadioReach(one, other float64) float64 {
	const bent = 4.0 / 3 * earthRadius
	return math.Sqrt(2*bent*max(one, 0)) + math.Sqrt(2*bent*max(other, 0))
}

// heightFor is how high one antenna must stand to be heard over a distance.
func heightFor(distance, other float64) float64 {
	const bent = 4.0 / 3 * earthRadius
	rest := distance - RadioReach(0, other)
	if rest <= 0 {
		return 0
	}
	return rest * rest / (2 * bent)
}

// ray is a direction from a camera that looks level with the horizon's middle: to
// the right, up, and ahead.
type ray struct{ right, up, ahead float64 }

// horizonRay is the horizon at an azimuth from the middle, for a camera tilted down
// by the dip, so that its axis points at the horizon.
func horizonRay(azimuth, dip float64) ray {
	sinD, cosD := math.Sincos(dip)
	sinP, cosP := math.Sincos(azimuth)
	return ray{
		right: cosD * sinP,
		up:    -sinD*cosD + cosD*sinD*cosP,
		ahead: cosD*cosD*cosP + sinD*sinD,
	}
}

// picture is where a ray falls on the picture, in units of the focal length.
type picture func(r ray) (x, y float64)

// straight keeps straight lines straight: x = right / ahead.
func straight(r ray) (x, y float64) { return r.right / r.ahead, r.up / r.ahead }

// wide is the equidistant lens, which most wide lenses come near: the distance from
// the middle is the angle from the axis.
func wide(r ray) (x, y float64) {
	across := math.Hypot(r.right, r.up)
	if across == 0 {
		return 0, 0
	}
	angle := math.Atan2(across, r.ahead)
	return angle * r.right / across, angle * r.up / across
}

func lensOf(name string) picture {
	if name == "fisheye" {
		return wide
	}
	return straight
}

// HorizonSag is the true curve of the horizon in a picture: the distance from the
// middle of the chord between its ends at the picture's sides to the horizon's
// middle, as a share of the picture's width. The lens looks at the horizon.
func HorizonSag(height, fieldOfView float64, lens string) float64 {
	dip := Dip(height)
	look := lensOf(lens)
	edge, _ := look(ray{math.Sin(fieldOfView / 2), 0, math.Cos(fieldOfView / 2)})
	low, high := 0.0, math.Pi/2
	const halvings = 60
	for range halvings {
		middle := (low + high) / 2
		r := horizonRay(middle, dip)
		if x, _ := look(r); x < edge && r.ahead > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	_, y := look(horizonRay(low, dip))
	return -y / (2 * edge)
}

// BarrelBow is the curve that a wide lens gives to a straight line which runs a
// quarter of a 4:3 picture's height away from its middle, as a share of the width:
// what a flat horizon would show there. A lens that keeps lines straight gives none.
func BarrelBow(fieldOfView float64, lens string) float64 {
	if lens != "fisheye" {
		return 0
	}
	edge := fieldOfView / 2
	offset := fieldOfView * 3 / 4 / 4
	low, high := 0.0, math.Pi/2-1e-9
	var y float64
	const halvings = 60
	for range halvings {
		middle := (low + high) / 2
		var x float64
		// A straight line in the world: level to the right, offset above the axis.
		x, y = wide(ray{math.Sin(middle), math.Cos(middle) * math.Sin(offset), math.Cos(middle) * math.Cos(offset)})
		if x < edge {
			low = middle
		} else {
			high = middle
		}
	}
	return (offset - y) / (2 * edge)
}

// GroundPixel is the ground under one pixel straight down, m.
func GroundPixel(height, fieldOfView float64, width int, lens string) float64 {
	if lens == "fisheye" {
		return height * fieldOfView / float64(width)
	}
	return height * 2 * math.Tan(fieldOfView/2) / float64(width)
}

// Space is a line that some call the beginning of space.
type Space struct {
	Name  string  `json:"name"`
	Alt   float64 `json:"alt_m"`
	Above float64 `json:"above_the_top_m"`
	Share float64 `json:"share_of_the_way"`
}

// spaceFrom says how far the lines of space are from a height.
func spaceFrom(top float64) []Space {
	lines := []Space{
		{Name: "100 km, the line most records use", Alt: 100 * unit.Kilometre},
		{Name: "50 statute miles, used by others", Alt: 50 * unit.StatuteMile},
	}
	for i := range lines {
		lines[i].Above = lines[i].Alt - top
		lines[i].Share = top / lines[i].Alt
	}
	return lines
}
