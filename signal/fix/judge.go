package fix

import (
	"cmp"
	"math"
	"slices"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
)

// Terms is what is known of a flight before any report: by it reports of another day or
// another place are told from those of this flight. Every part may be left at zero.
type Terms struct {
	From, Until time.Time // reports outside are not of this flight

	Launch     geo.Point // counted as a report of its own where HasLaunch
	LaunchTime time.Time
	HasLaunch  bool

	ClockOff map[string]time.Duration // per source: what to add to the times it tells
}

// Choice is the person's own word on a report.
type Choice int

// What a person can say of a report.
const (
	AsJudged  Choice = iota
	Use              // believe it, place and height, whatever the marks
	LeaveOut         // do not believe it
	ByArrival        // believe it, but for its clock: it was true when it arrived
)

// Judged is a report with its judgement.
type Judged struct {
	Report    Report
	Key       string
	At        time.Time // what time it stands for
	Use       bool      // place and time are believed
	UseHeight bool      // the height is too
	Marks     []Mark
	Choice    Choice
}

// Numbers of the judgement; each is a judgement unless it says more.
const (
	fastestAcross = 150.0 // m/s: strong jet streams blow 100 m/s and more
	fastestUp     = 15.0  // m/s: three times a usual rise
	fastestDown   = 150.0 // m/s: a fall without a canopy from 30 km begins near 100 m/s
	slack         = 50.0  // m, for all that the expected error leaves out
	sigmas        = 6.0   // how many expected errors a jump must exceed beside that
	launchWeight  = 2.0   // the planned launch counts as much as two reports

	lateAfter    = 5 * time.Minute
	clockAhead   = 2 * time.Minute // a report from the future, beyond what our own clock may be off
	oldest       = 12 * time.Hour  // an older one is yesterday's
	echoWithin   = 30 * time.Second
	weekRollover = 1024 * 7 * 24 * time.Hour // the week number of satellite time has ten bits

	farOff = 365 * 24 * time.Hour // clocks that were never set are off by decades

	lowest, highest = -500.0, 60e3 // m: no latex balloon reports from outside of this

	longestLookBack = 1000 // reports
)

// Judge marks every report of one flight, and answers them in the order of their times.
// What is believed depends on what the reports say and when each arrived, never on the
// order in which they are handed over, nor on how often.
func Judge(reports []Report, terms Terms, choices map[string]Choice) []Judged {
	all := make([]Judged, len(reports))
	for i, r := range reports {
		key := r.Key()
		all[i] = Judged{Report: r, Key: key, Choice: choices[key]}
		alone(&all[i], terms)
	}
	slices.SortStableFunc(all, order)
	doubles(all)
	markOrder(all)
	strays(all)
	jumps(all, terms)
	frozen(all)
	heightJumps(all)
	return all
}

// Believed picks the reports whose place is believed.
func Believed(all []Judged) []Judged {
	var used []Judged
	for _, j := range all {
		if j.Use {
			used = append(used, j)
		}
	}
	return used
}

// order sorts by what reports say. Copies that differ in nothing are the same to it.
func order(a, b Judged) int {
	if c := a.At.Compare(b.At); c != 0 {
		return c
	}
	return cmp.Or(
		a.Report.Received.Compare(b.Report.Received),
		cmp.Compare(a.Report.Source, b.Report.Source),
		cmp.Compare(a.Report.Station, b.Report.Station),
		cmp.Compare(a.Key, b.Key),
	)
}

// mark adds a mark, and takes the report out if the mark does and the person has not
// said otherwise.
func (j *Judged) mark(m Mark) {
	j.Marks = append(j.Marks, m)
	empty := m.Reason == Repeated || m.Reason == NoPlace || m.Reason == Timeless // nothing to believe
	overruled := (j.Choice == Use || j.Choice == ByArrival) && !empty
	if m.Reason.leavesOut() && !overruled {
		j.Use, j.UseHeight = false, false
	}
	if m.Reason.leavesHeightOut() && j.Choice != Use {
		j.UseHeight = false
	}
}

// alone judges what a report says by itself.
func alone(j *Judged, terms Terms) {
	r := j.Report
	j.Use = true
	_, _, j.UseHeight = r.Height.MSL()
	at, known := r.At()
	if r.TimeKind != NoTime && known {
		at = at.Add(terms.ClockOff[r.Source])
	}
	if j.Choice == ByArrival && !r.Received.IsZero() {
		at, known = r.Received, true
	}
	j.At = at
	if !r.HasPlace {
		if r.Quality.Mode == NoFix {
			j.mark(Mark{Reason: NothingThere})
		}
		j.mark(Mark{Reason: NoPlace})
	} else {
		switch {
		case r.Quality.Mode == NoFix:
			j.mark(Mark{Reason: NothingThere})
		case r.Quality.Mode == Estimated:
			j.mark(Mark{Reason: Reckoned})
		case r.Quality.Mode == Simulated:
			j.mark(Mark{Reason: Invented})
		case r.Place == geo.Point{}:
			j.mark(Mark{Reason: NullPlace})
		}
	}
	if r.Height.Kind != NoHeight && !(r.Height.Metres >= lowest && r.Height.Metres <= highest) {
		j.mark(Mark{Reason: HeightBeyond, Metres: r.Height.Metres})
	}
	if !known {
		j.mark(Mark{Reason: Timeless})
	} else if j.Choice != ByArrival {
		clock(j, terms)
	}
	if j.Choice == LeaveOut {
		j.Use, j.UseHeight = false, false
		j.Marks = append(j.Marks, Mark{Reason: ByHand})
	}
}

// clock holds a report's time against its arrival and the flight's window.
func clock(j *Judged, terms Terms) {
	r := j.Report
	if r.TimeKind != NoTime && !r.Received.IsZero() {
		age := r.Received.Sub(j.At)
		rolled := (age - weekRollover).Abs() < oldest
		switch {
		case rolled:
			j.mark(Mark{Reason: WrongClock, Seconds: -age.Seconds()})
			return
		case age < -clockAhead:
			j.mark(Mark{Reason: WrongClock, Seconds: -age.Seconds()})
			return
		case age > oldest:
			j.mark(Mark{Reason: OldDay, Seconds: age.Seconds()})
			return
		case age > lateAfter:
			j.mark(Mark{Reason: Late, Seconds: age.Seconds()})
		}
	}
	if !terms.From.IsZero() && j.At.Before(terms.From) {
		j.mark(Mark{Reason: OldDay, Seconds: terms.From.Sub(j.At).Seconds(), BeforeWindow: true})
	}
	if !terms.Until.IsZero() && j.At.After(terms.Until) {
		j.mark(Mark{Reason: AfterWindow, Seconds: j.At.Sub(terms.Until).Seconds()})
	}
}

// markOrder marks reports that came after a later one of the same source.
func markOrder(all []Judged) {
	byArrival := make([]int, 0, len(all))
	for i := range all {
		if r := all[i].Report; r.TimeKind != NoTime && !r.Received.IsZero() && all[i].Choice != ByArrival && all[i].Use {
			byArrival = append(byArrival, i)
		}
	}
	slices.SortStableFunc(byArrival, func(a, b int) int { return all[a].Report.Received.Compare(all[b].Report.Received) })
	latest := map[string]time.Time{}
	for _, i := range byArrival {
		source := all[i].Report.Source
		if ahead := latest[source].Sub(all[i].At); !latest[source].IsZero() && ahead >= time.Second {
			all[i].mark(Mark{Reason: OutOfOrder, Seconds: ahead.Seconds()})
		}
		if all[i].At.After(latest[source]) {
			latest[source] = all[i].At
		}
	}
}

// strays marks reports whose clock is a year and more from that of most others: where no
// arrival is known, as in a log, a clock that was never set shows in nothing else.
func strays(all []Judged) {
	var used []int
	for i := range all {
		if all[i].Use {
			used = append(used, i)
		}
	}
	if len(used) < 3 {
		return
	}
	middle := all[used[len(used)/2]].At // they are in the order of time
	for _, i := range used {
		if off := all[i].At.Sub(middle); off.Abs() > farOff {
			all[i].mark(Mark{Reason: WrongClock, Seconds: off.Seconds(), FromOthers: true})
		}
	}
}

// spot is a report in the frame of the Earth's centre, where distances are cheap.
type spot struct {
	x, y, z float64
	at      float64 // s since the first
	across  float64
	clock   float64 // s of doubt
}

// earthRadius is the mean of the ellipsoid's radii, m. A sphere of it is good to 0.6 % of
// a distance, far inside what the fastest flight leaves.
const earthRadius = 6371008.8

func spotOf(p geo.Point, at, across, clock float64) spot {
	sinLat, cosLat := math.Sincos(p.LatDeg * unit.Degree)
	sinLon, cosLon := math.Sincos(p.LonDeg * unit.Degree)
	return spot{earthRadius * cosLat * cosLon, earthRadius * cosLat * sinLon, earthRadius * sinLat, at, across, clock}
}

func (a spot) distance(b spot) float64 {
	chord := math.Sqrt((a.x-b.x)*(a.x-b.x) + (a.y-b.y)*(a.y-b.y) + (a.z-b.z)*(a.z-b.z))
	return 2 * earthRadius * math.Asin(math.Min(1, chord/(2*earthRadius)))
}

// reaches tells whether something that flies can be at both.
func (a spot) reaches(b spot) bool {
	dt := math.Abs(b.at-a.at) + a.clock + b.clock + 1
	return a.distance(b) <= fastestAcross*dt+sigmas*(a.across+b.across)+slack
}
