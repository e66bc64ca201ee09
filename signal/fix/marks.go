package fix

import (
	"fmt"
	"math"

	"pappus/measure/unit"
)

// Reason is why a report is marked.
type Reason int

// The reasons. Each leaves out the whole report, its height alone, or nothing.
const (
	NothingThere Reason = iota // the receiver says it has no fix
	NoPlace
	Timeless     // neither told a time nor was its arrival noted
	NullPlace    // 0 N 0 E
	Reckoned     // dead reckoning
	Invented     // set by hand or simulated
	WrongClock   // from the future, or 1024 weeks off
	OldDay       // yesterday's, or from before the flight
	AfterWindow  // from after the flight
	Repeated     // the same report again
	Jump         // not to be reached from the others
	HeightJump   // its height is not
	FrozenHeight // the height stands still while the place moves
	HeightBeyond // no height a balloon can have
	Late         // arrived long after it was true; believed
	OutOfOrder   // arrived after a later one; believed
	ByHand       // the person left it out
)

func (r Reason) leavesOut() bool {
	switch r {
	case HeightJump, FrozenHeight, HeightBeyond, Late, OutOfOrder:
		return false
	}
	return true
}

func (r Reason) leavesHeightOut() bool {
	return r == HeightJump || r == FrozenHeight || r == HeightBeyond
}

// ID is the short name of a reason, for files and answers.
func (r Reason) ID() string {
	return [...]string{"no_fix", "no_place", "no_time", "null_place", "dead_reckoning", "simulated", "wrong_clock", "old",
		"after_flight", "duplicate", "jump", "height_jump", "frozen_height", "impossible_height", "late", "out_of_order", "by_hand"}[r]
}

// Mark is a reason with the numbers that belong to it.
type Mark struct {
	Reason       Reason
	Seconds      float64
	Metres       float64
	Count        int
	BeforeWindow bool // held against the flight's window, not the arrival
	FromOthers   bool // held against the other reports, not the arrival
}

// LeavesOut tells whether the mark takes the whole report out of the answer.
func (m Mark) LeavesOut() bool { return m.Reason.leavesOut() }

// Text says the mark in words.
func (m Mark) Text(system unit.System) string {
	span := unit.FormatDuration(math.Abs(m.Seconds))
	switch m.Reason {
	case NothingThere:
		return "The receiver says it has no fix."
	case NoPlace:
		return "It tells no place."
	case Timeless:
		return "It tells no time, and when it arrived was not noted."
	case NullPlace:
		return "0 north 0 east is what receivers write before they know where they are."
	case Reckoned:
		return "The receiver carried an older place on by dead reckoning."
	case Invented:
		return "The receiver says this place was set by hand or simulated."
	case WrongClock:
		if m.FromOthers {
			return fmt.Sprintf("Its clock is %s from that of the other reports: it was not set yet.", span)
		}
		if math.Abs(m.Seconds+weekRollover.Seconds()) < oldest.Seconds() {
			return "Its clock is 1024 weeks behind: the receiver's week number has rolled over. It can be believed by its arrival."
		}
		return fmt.Sprintf("Its clock is %s ahead of its arrival: it may tell local time for UTC. It can be believed by its arrival.", span)
	case OldDay:
		if m.BeforeWindow {
			return fmt.Sprintf("It is from %s before this flight's reports begin.", span)
		}
		return fmt.Sprintf("It was already %s old when it arrived: an older place sent again.", span)
	case AfterWindow:
		return fmt.Sprintf("It is from %s after this flight's reports end.", span)
	case Repeated:
		return "The same report was heard already."
	case Jump:
		if m.Metres == 0 {
			return "It agrees with fewer of the other reports than those that were kept."
		}
		return fmt.Sprintf("It lies %s from a report %s away in time: no balloon, car or fall gets there.", unit.FormatDistance(m.Metres, system), span)
	case HeightJump:
		return fmt.Sprintf("Its height is %s from that of a report %s away in time. The place is kept.", unit.FormatHeight(m.Metres, system), span)
	case FrozenHeight:
		return fmt.Sprintf("The same height %d times over %s while the place moved on: the receiver has stopped telling it. The place is kept.", m.Count, span)
	case HeightBeyond:
		return fmt.Sprintf("No latex balloon is at %s. The place is kept.", unit.FormatHeight(m.Metres, system))
	case Late:
		return fmt.Sprintf("It arrived %s after it was true.", span)
	case OutOfOrder:
		return fmt.Sprintf("It arrived after one that is %s newer.", span)
	}
	return "Left out by hand."
}
