package ensemble

import (
	"slices"

	"pappus/air/forecast"
	"pappus/motion/trajectory"
)

// Band is the middle of a spread and the tenths at its ends.
type Band struct {
	P10 float64 `json:"p10"`
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

// Came tells whether the member came down by itself within the time allowed.
func (l *Landing) Came() bool { return l.Status == trajectory.Landed }

// BandOf answers the spread of one figure over the members that came down.
// With none it answers zeros and false.
func (r *Result) BandOf(figure func(*Landing) float64) (Band, bool) {
	values := make([]float64, 0, len(r.Landings))
	for i := range r.Landings {
		if r.Landings[i].Came() {
			values = append(values, figure(&r.Landings[i]))
		}
	}
	if len(values) == 0 {
		return Band{}, false
	}
	return *BandOf(values), true
}

// BandOf answers the spread of values, of which there is at least one; the slice
// is sorted.
func BandOf(values []float64) *Band {
	slices.Sort(values)
	return &Band{quantile(values, 0.1), quantile(values, 0.5), quantile(values, 0.9)}
}

// quantile interpolates between the sorted values.
func quantile(sorted []float64, p float64) float64 {
	x := p * float64(len(sorted)-1)
	i := min(int(x), len(sorted)-2)
	if i < 0 {
		return sorted[0]
	}
	return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
}

// Share answers the share of all members for which something holds.
func (r *Result) Share(holds func(*Landing) bool) float64 {
	n := 0
	for i := range r.Landings {
		if holds(&r.Landings[i]) {
			n++
		}
	}
	return float64(n) / float64(len(r.Landings))
}

// HeldShare answers the share of members that met an edge of the sky.
func (r *Result) HeldShare(edge forecast.Held) float64 {
	return r.Share(func(l *Landing) bool { return l.Edges&edge != 0 })
}

// Places answers where the members that came down did so, in the order of the members.
func (r *Result) Places() (latDeg, lonDeg []float64) {
	latDeg, lonDeg = make([]float64, 0, len(r.Landings)), make([]float64, 0, len(r.Landings))
	for i := range r.Landings {
		if l := &r.Landings[i]; l.Came() {
			latDeg = append(latDeg, l.Lat)
			lonDeg = append(lonDeg, l.Lon)
		}
	}
	return latDeg, lonDeg
}

// Bursts answers where the members that burst did so.
func (r *Result) Bursts() (latDeg, lonDeg []float64) {
	latDeg, lonDeg = make([]float64, 0, len(r.Landings)), make([]float64, 0, len(r.Landings))
	for i := range r.Landings {
		if l := &r.Landings[i]; l.Came() {
			latDeg = append(latDeg, l.BurstLat)
			lonDeg = append(lonDeg, l.BurstLon)
		}
	}
	return latDeg, lonDeg
}
