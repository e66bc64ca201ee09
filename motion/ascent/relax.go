package ascent

import (
	"math"

	"pappus/measure/logtable"
)

// Relax moves a body through one step under a constant push and a drag that
// grows with the square of its speed:
//
//	dw/dt = push - drag w |w|
//
// It answers the speed after the step and the way made in it. Both are the
// exact solution (tanh for speeds with the push, tan for speeds against it),
// so that the update is stable for any step. The push is in m/s2, the drag in
// 1/m and not negative; speeds and way are positive in the push's frame.
func Relax(push, drag, speed, dt float64) (newSpeed, way float64) {
	if push < 0 {
		w, z := Relax(-push, drag, -speed, dt)
		return -w, -z
	}
	if drag <= 0 {
		return speed + push*dt, speed*dt + push*dt*dt/2
	}
	if speed < 0 {
		return relaxAgainst(push, drag, speed, dt)
	}
	if push == 0 {
		growth := 1 + drag*speed*dt
		return speed / growth, logtable.Log(growth) / drag
	}
	terminal, rate := math.Sqrt(push/drag), math.Sqrt(push*drag)
	r, x := speed/terminal, rate*dt
	// ln cosh x = x - ln 2 + ln(1 + exp(-2x)), without overflow.
	const settled = 18 // tanh differs from 1 by less than the last bit
	if x > settled {
		return terminal, terminal*dt + logtable.Log((1+r)/2)/drag
	}
	e := logtable.Exp(-2 * x)
	t := (1 - e) / (1 + e)
	return terminal * (r + t) / (1 + r*t), terminal*dt + logtable.Log((1+e)/2*(1+r*t))/drag
}

// relaxAgainst is the part of Relax before the body has turned round.
func relaxAgainst(push, drag, speed, dt float64) (newSpeed, way float64) {
	if push == 0 {
		w, z := Relax(0, drag, -speed, dt)
		return -w, -z
	}
	terminal, rate := math.Sqrt(push/drag), math.Sqrt(push*drag)
	phase := math.Atan(-speed / terminal)
	turn := phase / rate
	if dt < turn {
		left := phase - rate*dt
		return -terminal * math.Tan(left), -logtable.Log(math.Cos(left)/math.Cos(phase)) / drag
	}
	back := logtable.Log(math.Cos(phase)) / drag // negative: way made against the push
	w, z := Relax(push, drag, 0, dt-turn)
	return w, z + back
}
