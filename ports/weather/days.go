package weather

import (
	"context"
	"errors"
	"time"
)

// Day is one past day and the time for which its forecast is needed.
type Day struct {
	Launch   time.Time
	From, To time.Time
}

// Size is how much several fetches are, before the first of them begins.
type Size struct {
	Days    int   // that the archive holds
	Whole   int   // of them fetched already
	Octets  int64 // still to come over the network
	Missing int
}

// DayReport is what became of one day.
type DayReport struct {
	Day
	Report *Report
	Err    error // why there is none: the archive does not hold the day whole
}

// cyclesBack is how far a past day may fall back: on the cycle before the one
// that came last before the launch. An older one would be a forecast of half a
// day and more, and no longer what the day was like (judgement).
const cyclesBack = 2

// dayWork is one day on its way.
type dayWork struct {
	getter *getter
	whole  int64
}

// GetDays fetches past days, each from the cycle just before it, by byte range.
// All indexes are read first, so that the size is known and told. A day that the
// archive does not hold is left out with its reason; the first other error ends
// it. Days are whole one after the other; what came before an error stays.
func (c *Client) GetDays(ctx context.Context, job Job, days []Day, tell func(Size)) ([]DayReport, error) {
	c.begin()
	reports := make([]DayReport, len(days))
	work := make([]dayWork, len(days))
	var size Size
	pace := &dayPace{now: c.Now, tell: job.Tell}
	for i, day := range days {
		reports[i].Day = day
		one := job
		one.From, one.To, one.Back, one.Method, one.Cycle, one.Tell = day.From, day.To, cyclesBack, ByRanges, time.Time{}, pace.add
		g, err := c.survey(ctx, one)
		if err == nil {
			err = g.look()
		}
		if notHeld(err) {
			reports[i].Err = err
			size.Missing++
			continue
		} else if err != nil {
			return reports, err
		}
		whole, partial, files := g.size()
		work[i] = dayWork{g, whole}
		size.Days++
		size.Octets += whole - partial
		if files == 0 {
			size.Whole++
		}
		pace.all.WholeOctets += whole
		pace.all.WholeFiles += files
		pace.before += partial
	}
	if size.Days == 0 {
		return reports, nil
	}
	tell(size)
	pace.start = c.Now()
	for i := range work {
		g := work[i].getter
		if g == nil {
			continue
		}
		var err error
		if reports[i].Report, err = g.bring(ctx); notHeld(err) {
			reports[i].Err = err
		} else if err != nil {
			return reports, err
		}
		pace.next(work[i].whole)
		work[i].getter = nil // its indexes are not needed any more
	}
	return reports, nil
}

// notHeld tells that an archive lacks something, or holds it broken, from
// faults that the next day would meet too.
func notHeld(err error) bool {
	var out *NotOutError
	var there *NotThereError
	var damage *DamageError
	var short *RangeError
	return errors.As(err, &out) || errors.As(err, &there) || errors.As(err, &damage) || errors.As(err, &short) && short.Short
}

// size is how many octets the files that are not whole draw on, and how many of
// them lie there from an earlier try.
func (g *getter) size() (whole, partial int64, files int) {
	for _, s := range g.sheets {
		if s.kept || s.staged {
			continue
		}
		files++
		for _, r := range s.remotes {
			for n := range r.pieces {
				whole += r.pieces[n].octets()
				partial += g.partial(s, r, n)
			}
		}
	}
	return whole, partial, files
}

// dayPace adds up the progress of the days.
type dayPace struct {
	now    func() time.Time
	tell   func(Progress)
	start  time.Time
	before int64    // octets of an earlier try
	all    Progress // of the days that are done, and the whole
	files  int      // of the day at work
}

func (p *dayPace) add(of Progress) {
	if p.tell == nil {
		return
	}
	p.files = of.Files
	sum := p.all
	sum.Octets += of.Octets
	sum.Files += of.Files
	if done := float64(sum.Octets - p.before); done > 0 {
		sum.Left = seconds(p.now().Sub(p.start).Seconds() * float64(sum.WholeOctets-sum.Octets) / done)
	}
	p.tell(sum)
}

func (p *dayPace) next(octets int64) {
	p.all.Octets += octets
	p.all.Files += p.files
	p.files = 0
}
