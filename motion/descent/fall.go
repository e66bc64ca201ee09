// Package descent is the way down: what falls after the burst, under its
// canopy, through thin air into thick.
package descent

import (
	"pappus/air/forecast"
	"pappus/motion/ascent"
)

// Fall is what comes down: one draw of every quantity that is in doubt.
type Fall struct {
	Mass       float64 // train and the remains of the envelope
	CanopyArea float64 // drag area of the open canopy, Cd times nominal area, m2
	BodyArea   float64 // drag area of boxes and the rest, m2
	// FillingWay is how far the canopy falls while it opens; its drag area
	// grows with the square of the way made. Zero: open from the instant of burst.
	FillingWay float64
}

// dragArea answers the drag area after a way fallen since the burst.
func (f *Fall) dragArea(fallen float64) float64 {
	if f.FillingWay <= 0 || fallen >= f.FillingWay {
		return f.CanopyArea + f.BodyArea
	}
	share := max(fallen, 0) / f.FillingWay
	return f.CanopyArea*share*share + f.BodyArea
}

// Step moves the train through one step. speed and way are positive downwards.
//
//	m dw/dt = m g - rho/2 (CdA) w |w|
func (f *Fall) Step(air forecast.Air, gravity, fallen, speed, dt float64) (newSpeed, way float64) {
	return ascent.Relax(gravity, air.Density*f.dragArea(fallen)/(2*f.Mass), speed, dt)
}
