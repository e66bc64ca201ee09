package papers

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"pappus/desk/ready"
	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// timeline is what to do from ten weeks out to the week after.
func (f *Facts) timeline() Sheet {
	events := f.events()
	table := &Table{Columns: []string{"when", "to go", "what"}}
	for _, e := range events {
		when, day := "", time.Time{}
		if e.Date != "" {
			day, _ = time.Parse(time.DateOnly, e.Date)
			when = day.Format("Mon 2 Jan 2006")
		} else {
			t := instant(e.From).In(f.zone())
			when = t.Format("Mon 2 Jan 15:04")
			day = midnight(t)
		}
		what := e.What
		if e.Why != "" {
			what += ": " + e.Why
		}
		table.Rows = append(table.Rows, []string{when, f.toGo(day), what})
	}
	return Sheet{Title: "Timeline", For: "whoever keeps the calendar", Events: events, Parts: []Part{
		{Heading: "From ten weeks out", Table: table},
		{Heading: "How to use it", Text: []string{"How each ground test is done: pappus ready FILE --how.", "timeline.ics holds the same for a calendar: opened again after the launch time has moved, it moves its own entries. Lead times are judgement; orders of gas above all take as long as they take."}},
	}}
}

// midnight is a local day as a date.
func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

func (f *Facts) toGo(day time.Time) string {
	days := int(midnight(f.File.Launch.Time).Sub(day).Hours() / 24)
	switch {
	case days == 0:
		return "the day"
	case days < 0:
		return few(-days, "day after", "days after")
	case days >= 14:
		return fmt.Sprintf("%d weeks", days/7)
	}
	return few(days, "day", "days")
}

// calendar gathers events.
type calendar struct {
	launch time.Time
	name   string
	events []Event
}

// days adds an all-day entry a number of days before the launch day.
func (c *calendar) days(before int, id, what, why string) *Event {
	return c.put(Event{ID: id, Date: midnight(c.launch).AddDate(0, 0, -before).Format(time.DateOnly), What: what, Why: why})
}

// at adds an entry from one instant to another.
func (c *calendar) at(from, to time.Time, id, what, why string) {
	c.put(Event{ID: id, From: minute(from).UTC().Format(time.RFC3339), To: minute(to).UTC().Format(time.RFC3339), What: what, Why: why})
}

// put gives an entry its identity: the same whatever the launch time, so that a
// calendar moves the entry it has.
func (c *calendar) put(e Event) *Event {
	for n := 2; slices.ContainsFunc(c.events, func(other Event) bool { return other.ID == e.ID }); n++ {
		base, _, _ := strings.Cut(e.ID, "~")
		e.ID = fmt.Sprintf("%s~%d", base, n)
	}
	e.UID = uid(c.name, e.ID)
	c.events = append(c.events, e)
	return &c.events[len(c.events)-1]
}

// uid makes an identity of the form of a UUID, version 8, out of what stays the
// same about an entry [RFC9562, section 5.8].
func uid(flight, id string) string {
	hash := sha256.Sum256([]byte("pappus timeline\x00" + flight + "\x00" + id))
	hash[6] = hash[6]&0x0f | 0x80
	hash[8] = hash[8]&0x3f | 0x80
	h := hex.EncodeToString(hash[:16])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// events are all entries in the order of time.
func (f *Facts) events() []Event {
	c := &calendar{launch: f.File.Launch.Time, name: f.File.Name}
	f.orders(c)
	f.tests(c)
	f.notices(c)
	f.lastDays(c)
	f.launchDay(c)
	c.days(-1, "after.copies", "cards copied twice, pictures of all parts, notes written while they are fresh", "")
	c.days(-2, "after.review", "review: what happened, what to change", "pappus review FILE LOG")
	if f.deposit() {
		c.days(-3, "after.cylinder", "empty cylinder back, deposit fetched", "")
	}
	c.days(-7, "after.thanks", "owner, crew and authority thanked; lost boxes asked for again", "")
	order := func(e Event) string {
		if e.Date != "" {
			return e.Date
		}
		return instant(e.From).In(f.zone()).Format("2006-01-02T15:04")
	}
	slices.SortStableFunc(c.events, func(a, b Event) int { return strings.Compare(order(a), order(b)) })
	return c.events
}

func (f *Facts) deposit() bool {
	return slices.ContainsFunc(f.File.Cylinders, func(c record.Cylinder) bool { return c.Deposit.Given && c.Deposit.Value > 0 })
}

func (f *Facts) orders(c *calendar) {
	gas := f.File.Gas.Kind.String()
	c.days(70, "order.gas", fmt.Sprintf("ask for %s: %.0f ft³ (70 F, 1 atm) for the fill, and who sells it to you", gas, f.Plan.Gas.Cubic), "supply and price vary widely, and a private buyer may be refused")
	c.days(70, "order.team", "crew, place and two spare days agreed; owner of the launch place asked", "")
	c.days(63, "order.parts", fmt.Sprintf("envelope of %s, parachute, line and reflector ordered; a second envelope if money allows", f.mass(f.File.Envelope.Mass)), "old or badly kept latex bursts early")
	for _, chosen := range sizing.ReportersOf(f.File).Chosen {
		r := chosen
		start, err := time.Parse(time.DateOnly, r.StartBy)
		if err != nil {
			continue
		}
		before := int(midnight(c.launch).Sub(start).Hours() / 24)
		what := r.Name + ": buy, subscribe, read its manual"
		if r.Kind == "radio" {
			before = max(before, 70)
			what = r.Name + ": licence examination and call sign first; who holds one?"
		}
		c.days(before, "order.reporter."+slug(r.Name), what, "")
	}
	c.days(21, "order.confirm-gas", "gas confirmed: day, cylinder, regulator that fits, deposit", "")
	c.days(3, "order.fetch-gas", "cylinder fetched or delivered: gauge read, chained, cap on", "never in a closed car with people")
}

// testDays is how many days before the launch each ground test has its day:
// what may send one back to the shop comes first. Judgement.
var testDays = map[string]int{
	"scale check": 49, "drop": 42, "pull": 42, "freezer soak": 35, "cell run-down": 35, "upside down": 28, "range": 28,
	"high-altitude mode": 28, "all on": 21, "clocks": 21, "cards": 21, "dress rehearsal": 10,
}

// testDay is the day of a test that the list does not know yet.
const testDay = 28

// tests are the ground tests of the ledger, with those that are passed marked.
func (f *Facts) tests(c *calendar) {
	for _, t := range f.Ready.Tests {
		before, known := testDays[t.ID]
		if !known {
			before = testDay
		}
		name, why := t.Name, "passes: "+t.Pass
		if t.Part != "" {
			name += " (" + t.Part + ")"
		}
		if t.Date != "" {
			why = "done " + t.Date + ": " + string(t.State)
		}
		c.days(before, "test."+slug(t.ID+" "+t.Part), name, why).Done = t.State == ready.Passed
	}
}

// notices are the calls: those of the rule text with its window, where it
// reaches the flight; else the customary one.
func (f *Facts) notices(c *calendar) {
	if f.Rules == nil {
		c.days(28, "notice.ask", "authority asked what it wants to hear of the flight, and when", "the file names no rule text")
		return
	}
	for _, call := range f.ruleCalls() {
		id := "notice." + slug(call.paragraph)
		switch {
		case !call.from.IsZero():
			c.at(call.from, call.to, id, "rule text's window for the notice ("+call.paragraph+")", "notice sheet at hand; the number given is a notice, not a permit")
		case !call.to.IsZero():
			c.days(14, id, "notice by "+call.to.In(f.zone()).Format("Mon 2 Jan 15:04")+" at the latest ("+call.paragraph+")", "notice sheet at hand; send it early")
		}
	}
	if f.Rules.Text == "ICAO" {
		c.days(56, "notice.authorisation", "authorisation of the launching State asked for (2.1), and of any State it may drift into (2.2)", "")
	}
	if f.Rules.Customary != nil {
		c.days(1, "notice.customary", "customary call, which no text asks for: notice sheet read out, number written down", "a day or two ahead is usual")
	}
	c.days(28, "notice.read", "current rule text read, and the authority asked where anything is unclear", "")
}

func (f *Facts) lastDays(c *calendar) {
	c.days(7, "weather.first", "first forecast that reaches the day: where would it land, which day is better", "a week ahead it is a hint, no more")
	c.days(4, "weather.second", "odds again; landowners and roads near the landing looked at", "")
	c.days(2, "weather.third", "odds again; go, or name the spare day; crew told", "")
	c.days(1, "prepare.charge", "all charged or new cells; cards empty; clocks set; labels on; sheets printed from the newest forecast", "")
	c.days(1, "prepare.pack", "packing list done, car packed, early to bed", "")
}

// launchDay are the hours around the launch; how long things take is common
// practice, no source.
func (f *Facts) launchDay(c *calendar) {
	t := c.launch
	step := func(from, to float64, id, what, why string) {
		c.at(t.Add(secondsOf(from*unit.Minute)), t.Add(secondsOf(to*unit.Minute)), "day."+id, what, why)
	}
	step(-240, -225, "forecast", "newest forecast, go or wait", "launch list, first part")
	step(-180, -120, "site", "at the site: sheet, shelter, onlookers", "")
	step(-120, -90, "reporters", "reporters on, outdoors, a position received by the person at home", "")
	step(-90, -60, "rig", "whole train weighed, rigged and looked over", "")
	step(-75, -60, "chase", "chase car leaves for the waiting place", "the passenger reads, the driver drives")
	step(-60, -20, "fill", "fill slowly, settle, weigh in a lull, tie", "filling list")
	step(-20, -5, "record", "cameras and loggers on, film a clock, close, tape", "")
	step(0, 5, "launch", "let go; write down the minute; tell whoever asked", "")
	up := f.Plan.Ascent.Duration / unit.Minute
	step(up, up+5, "burst", "expected burst at "+f.height(f.Plan.Burst.Nominal), "")
	down := f.Down[len(f.Down)-1].Time.Sub(t).Minutes()
	step(down, down+60, "landing", "expected landing", "ask the owner before setting foot on the land")
}
