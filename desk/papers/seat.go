package papers

import (
	"math"

	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

// SeatRow is one flight of the table for the passenger: burst at a height after
// a slow, planned or fast rise.
type SeatRow struct {
	Burst    float64 `json:"burst_alt_m"`
	Mark     string  `json:"mark"` // which burst this is, in words
	Rise     string  `json:"rise"` // "slow", "plan", "fast"
	Rate     float64 `json:"mean_rate_mps"`
	Up       float64 `json:"burst_after_s"`
	Aloft    float64 `json:"landing_after_s"`
	Lat      float64 `json:"lat_deg"`
	Lon      float64 `json:"lon_deg"`
	Distance float64 `json:"from_launch_m"`
	Bearing  float64 `json:"from_launch_true_deg"`
	Off      float64 `json:"from_planned_landing_m"`
	OffTrue  float64 `json:"from_planned_landing_true_deg"`
}

// seatStep is how far apart the lower heights of the table are. Between two of
// them a jet may carry a flight many miles.
const seatStep = 10000 * unit.Foot

// seatLowest is the first of them: a balloon that bursts below it never left.
const seatLowest = 20000 * unit.Foot

// seatCloser keeps a round height out that lies nearer than this to the spread.
const seatCloser = 5000 * unit.Foot

// seatEarly marks a burst below what is likely.
const seatEarly = "early"

// seatHeight is a height of the table and why it is there.
type seatHeight struct {
	alt  float64
	mark string
}

// Seat flies the table for the passenger through the sky of the setting: every
// spread at its centre but the rise and the burst height. The parts hold their
// gas already.
func Seat(parts *sizing.Parts, s sizing.Setting, burst, rise ensemble.Band) []SeatRow {
	plan := parts.Craft.Nominal(s.Start)
	sampler := s.Sky.Sampler(0)
	planned := plan.Fly(&sampler, s.Ground, nil)
	if planned.Status != trajectory.Landed {
		return nil
	}
	heights := []seatHeight{}
	for alt := float64(seatLowest); alt < burst.P10-seatCloser; alt += seatStep {
		if alt > s.Start.Alt+seatCloser {
			heights = append(heights, seatHeight{alt, seatEarly})
		}
	}
	heights = append(heights, seatHeight{burst.P10, "1 in 10 lower"}, seatHeight{planned.Burst.Alt, "as planned"})
	if burst.P90 > planned.Burst.Alt {
		heights = append(heights, seatHeight{burst.P90, "1 in 10 higher"})
	}
	var rows []SeatRow
	for _, h := range heights {
		for _, pace := range []struct {
			name string
			rate float64
		}{{"slow", rise.P10}, {"plan", 0}, {"fast", rise.P90}} {
			flight := plan
			if pace.rate > 0 {
				paced(&flight, s, pace.rate)
			}
			if row, ok := seatRow(&flight, s, h.alt, planned.Landing.Point()); ok {
				row.Mark, row.Rise = h.mark, pace.name
				rows = append(rows, row)
			}
		}
	}
	return rows
}

// paced changes the drag of a flight until its mean rise to the planned burst
// is the one asked: the rate goes as one over the root of the drag, and what
// the Reynolds number adds is made up for by asking again.
func paced(flight *trajectory.Flight, s sizing.Setting, rate float64) {
	sampler := s.Sky.Sampler(0)
	for range 8 {
		out := flight.Rise(&sampler)
		took := out.Burst.Seconds - s.Start.Seconds
		if out.Status != trajectory.Landed || took <= 0 {
			return
		}
		is := (out.Burst.Alt - s.Start.Alt) / took
		if math.Abs(is/rate-1) < 1e-3 {
			return
		}
		flight.Balloon.DragFactor *= (is / rate) * (is / rate)
	}
}

// seatRow flies to a burst at a height: the burst diameter is halved in on.
func seatRow(flight *trajectory.Flight, s sizing.Setting, alt float64, planned geo.Point) (SeatRow, bool) {
	sampler := s.Sky.Sampler(0)
	low, high := 0.05*flight.Balloon.BurstDiameter, 1.5*flight.Balloon.BurstDiameter
	for range 40 {
		flight.Balloon.BurstDiameter = (low + high) / 2
		out := flight.Rise(&sampler)
		if out.Status != trajectory.Landed || out.Burst.Alt > alt {
			high = flight.Balloon.BurstDiameter
		} else {
			low = flight.Balloon.BurstDiameter
		}
	}
	out := flight.Fly(&sampler, s.Ground, nil)
	up := out.Burst.Seconds - s.Start.Seconds
	// A height under which it has grown to its size already, or that it does
	// not reach, has no row.
	if out.Status != trajectory.Landed || math.Abs(out.Burst.Alt-alt) > 50 || up <= 0 {
		return SeatRow{}, false
	}
	row := SeatRow{
		Burst: alt, Rate: (out.Burst.Alt - s.Start.Alt) / up, Up: up, Aloft: out.Landing.Seconds - s.Start.Seconds,
		Lat: out.Landing.LatDeg, Lon: out.Landing.LonDeg,
	}
	row.Distance, row.Bearing, _ = geo.Inverse(s.Start.Point(), out.Landing.Point())
	row.Off, row.OffTrue, _ = geo.Inverse(planned, out.Landing.Point())
	return row, true
}
