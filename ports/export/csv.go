package export

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"pappus/air/forecast"
	"pappus/flight"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

// columns of the CSV file; units stand last in the names.
var columns = []string{
	"member", "status", "start_time",
	"burst_lat_deg", "burst_lon_deg", "burst_alt_m", "burst_time",
	"landing_lat_deg", "landing_lon_deg", "landing_alt_m", "landing_time", "landing_speed_mps",
	"mean_rise_mps", "early_burst", "fouled", "held",
}

// CSV writes one row for every member, numbered from 1. Where no members were
// drawn there is one row alone, numbered 0: the central flight.
func CSV(o *flight.Odds, name string) ([]byte, error) {
	if _, err := prepare(o, name); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true // [RFC4180, section 2]
	if err := w.Write(columns); err != nil {
		return nil, err
	}
	first, members := 0, []ensemble.Landing{central(o)}
	if o.Result != nil {
		first, members = 1, o.Result.Landings
	}
	for i := range members {
		row, err := memberRow(o, first+i, &members[i])
		if err == nil {
			err = w.Write(row)
		}
		if err != nil {
			return nil, fmt.Errorf("member %d: %w", first+i, err)
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// memberRow leaves empty what did not happen: a burst, a landing.
func memberRow(o *flight.Odds, number int, l *ensemble.Landing) ([]string, error) {
	status, err := statusWord(l.Status)
	if err != nil {
		return nil, err
	}
	row := []string{strconv.Itoa(number), status, stamp(instant(o, l.StartSeconds))}
	burst, err := placeCells(o, burstOf(l), l.BurstLat, l.BurstLon, l.BurstAlt, l.BurstSeconds)
	if err != nil {
		return nil, err
	}
	landed, err := placeCells(o, l.Came(), l.Lat, l.Lon, l.Alt, l.Seconds)
	if err != nil {
		return nil, err
	}
	speed, rise := "", ""
	if l.Came() {
		speed = digits(roundTo(float64(l.Speed), 100))
	}
	if burstOf(l) {
		rise = digits(roundTo(float64(l.Rise), 100))
	}
	row = append(append(append(row, burst...), landed...), speed, rise)
	return append(row, strconv.FormatBool(l.Early), strconv.FormatBool(l.Fouled), heldWords(l.Edges)), nil
}

// burstOf tells whether the member burst: one that ran out of time on its way up
// ends where its way up ends.
func burstOf(l *ensemble.Landing) bool {
	return l.Came() || l.Status == trajectory.Aloft && l.Seconds > l.BurstSeconds
}

func placeCells(o *flight.Odds, happened bool, latDeg, lonDeg, alt, seconds float64) ([]string, error) {
	if !happened {
		return make([]string, 4), nil
	}
	if err := checkPlace(latDeg, lonDeg, alt); err != nil {
		return nil, err
	}
	return []string{digits(roundTo(latDeg, 1e7)), digits(roundTo(lonDeg, 1e7)), digits(roundTo(alt, 10)), stamp(instant(o, seconds))}, nil
}

func statusWord(s trajectory.Status) (string, error) {
	switch s {
	case trajectory.Landed:
		return "landed", nil
	case trajectory.NoLift:
		return "no_lift", nil
	case trajectory.Aloft:
		return "aloft", nil
	}
	return "", fmt.Errorf("status %d has no word", s)
}

// heldWords names the edges of the sky at which a value was held, joined by +.
func heldWords(edges forecast.Held) string {
	var words []string
	for _, e := range []struct {
		edge forecast.Held
		word string
	}{
		{forecast.AboveTop, "above_top"}, {forecast.BelowBottom, "below_bottom"}, {forecast.BeforeFirst, "before_first"},
		{forecast.AfterLast, "after_last"}, {forecast.OutsideArea, "outside_area"},
	} {
		if edges&e.edge != 0 {
			words = append(words, e.word)
		}
	}
	return strings.Join(words, "+")
}

// central is the central flight as a member.
func central(o *flight.Odds) ensemble.Landing {
	up, down := o.Nominal.Up, o.Nominal.Down
	start, burst := up[0], up[len(up)-1]
	end := burst
	if len(down) > 0 {
		end = down[len(down)-1]
	}
	l := ensemble.Landing{
		BurstLat: burst.LatDeg, BurstLon: burst.LonDeg, BurstAlt: burst.Alt, BurstSeconds: burst.Seconds,
		Lat: end.LatDeg, Lon: end.LonDeg, Alt: end.Alt, Seconds: end.Seconds,
		StartSeconds: start.Seconds, Speed: float32(o.Answer.Nominal.Speed),
	}
	if aloft := burst.Seconds - start.Seconds; aloft > 0 {
		l.Rise = float32((burst.Alt - start.Alt) / aloft)
	}
	for _, edge := range forecast.HeldEdges() {
		for _, held := range o.Answer.Weather.Held {
			if held.What == edge.String() {
				l.Edges |= edge
			}
		}
	}
	return l
}
