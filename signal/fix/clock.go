package fix

import "time"

// Before is the moment to give for near when a report's arrival is known: a report comes
// after what it tells, by up to a day, and its clock may be an hour ahead. An arrival of
// zero gives zero.
func Before(arrival time.Time) time.Time {
	if arrival.IsZero() {
		return time.Time{}
	}
	return arrival.Add(-11 * time.Hour)
}

// NearestDay puts a time of day on the date that brings it nearest to a moment: what a
// report means that tells the hour and leaves out the day. The time of day is in the
// moment's own zone and may hold a leap second. A moment of zero gives zero.
func NearestDay(hour, minute int, second float64, near time.Time) time.Time {
	if near.IsZero() {
		return time.Time{}
	}
	within := time.Duration(second * float64(time.Second)).Round(time.Millisecond)
	best := time.Time{}
	for day := -1; day <= 1; day++ {
		t := time.Date(near.Year(), near.Month(), near.Day()+day, hour, minute, 0, 0, near.Location()).Add(within)
		if best.IsZero() || t.Sub(near).Abs() < best.Sub(near).Abs() {
			best = t
		}
	}
	return best
}

// NearestMonth puts a day of the month and a time of day on the month that brings it
// nearest to a moment. Where no near month has such a day the answer is zero.
func NearestMonth(day, hour, minute int, second float64, near time.Time) time.Time {
	if near.IsZero() {
		return time.Time{}
	}
	within := time.Duration(second * float64(time.Second)).Round(time.Millisecond)
	best := time.Time{}
	for month := -2; month <= 2; month++ {
		t := time.Date(near.Year(), near.Month()+time.Month(month), day, hour, minute, 0, 0, near.Location())
		if t.Day() != day {
			continue // that month is shorter
		}
		t = t.Add(within)
		if best.IsZero() || t.Sub(near).Abs() < best.Sub(near).Abs() {
			best = t
		}
	}
	return best
}
