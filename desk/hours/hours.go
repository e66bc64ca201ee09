// Package hours weighs launch hours and sites against each other: each is flown
// as a distribution and held against the person's own limits. It also shows how
// an answer moved from forecast to forecast, and what a season's past days do.
package hours

import (
	"fmt"
	"time"

	"pappus/air/forecast"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// Site is a place to launch from.
type Site struct {
	Name      string
	Point     geo.Point
	Elevation geo.AltMSL
	Drive     record.Quantity // s to get there
}

// Sites lists the launch place of a flight file and its other sites.
func Sites(f *record.Flight) []Site {
	name := f.Launch.Place
	if name == "" {
		name = "launch place"
	}
	list := []Site{{Name: name, Point: f.Launch.Point, Elevation: f.Launch.Elevation}}
	for _, s := range f.Sites {
		list = append(list, Site{Name: s.Name, Point: s.Point, Elevation: s.Elevation, Drive: s.Drive})
	}
	return list
}

// NoSite says that a name is none of the sites.
type NoSite struct{ Message string }

func (e *NoSite) Error() string { return e.Message }

// Choose keeps the sites named, in the order of the file; all without names.
func Choose(all []Site, names []string) ([]Site, error) {
	if len(names) == 0 {
		return all, nil
	}
	wanted := map[string]bool{}
	for _, n := range names {
		wanted[n] = true
	}
	var list []Site
	var known string
	for _, s := range all {
		known += fmt.Sprintf(" %q", s.Name)
		if wanted[s.Name] {
			list = append(list, s)
			delete(wanted, s.Name)
		}
	}
	for _, n := range names {
		if wanted[n] {
			return nil, &NoSite{fmt.Sprintf("the flight file has no site %q; it has%s", n, known)}
		}
	}
	return list, nil
}

// mostHours bounds a window: a year of hours is more than any forecast covers.
const mostHours = 9000

// BadWindow says why a window holds no hours.
type BadWindow struct{ Message string }

func (e *BadWindow) Error() string { return e.Message }

// Window lists the launch times from one instant to another, both included.
func Window(from, to time.Time, every time.Duration) ([]time.Time, error) {
	switch {
	case every < time.Minute:
		return nil, &BadWindow{fmt.Sprintf("a launch every %v is asked: give a minute or more, such as 1h", every)}
	case to.Before(from):
		return nil, &BadWindow{"the window ends before it begins: give the earlier instant first"}
	case to.Sub(from)/every >= mostHours:
		return nil, &BadWindow{fmt.Sprintf("the window holds more than %d launch times: give a shorter one or fewer launches", mostHours)}
	}
	var list []time.Time
	for t := from; !t.After(to); t = t.Add(every) {
		list = append(list, t)
	}
	return list, nil
}

// Chance is the share of landings on or in something.
type Chance struct {
	ID          string  `json:"id,omitempty"` // the limit it is held against, or "dark"; else none
	What        string  `json:"what"`
	Probability float64 `json:"probability"`
}

// Look is what is known of the ground.
type Look struct {
	// Chances answers what the landings come down on, as shares of a number of
	// flights, of which some may not have come down.
	Chances     func(launch geo.Point, landings []geo.Point, flights int) []Chance
	NotLookedAt []string
}

// Slot is one launch: a site at an instant, and the sky over it.
type Slot struct {
	Site Site
	Time time.Time
	Sky  *forecast.Cube // nil: there is none
	Why  string         // why there is none
}

// Request asks for flights. The same file is flown from each slot.
type Request struct {
	File   *record.Flight
	Limits Limits
	Look   *Look // nil: the ground is not looked at
	// Ground answers the height of the ground about a site; nil takes the
	// forecast's own, else flat ground at the site's elevation. It may be called
	// from several goroutines at a time.
	Ground   func(sky *forecast.Cube, site Site) (trajectory.Ground, error)
	Members  int
	Seed     uint64
	Workers  int
	System   unit.System // units of the reasons
	Regions  bool        // answer the landing regions too
	Progress func(done int)
}

// Landing is where an hour comes down.
type Landing struct {
	Median   ensemble.Middle   `json:"median"`
	Radius50 float64           `json:"radius_50_m"`
	Radius90 float64           `json:"radius_90_m"`
	Time     ensemble.TimeBand `json:"time"`
	Speed    ensemble.Band     `json:"speed_mps"`
	Drift    ensemble.Band     `json:"drift_m"`
	Regions  []ensemble.Region `json:"regions,omitempty"`
}

// Hour is one launch time at one site.
type Hour struct {
	Time    string   `json:"time"`
	Site    string   `json:"site"`
	Verdict Verdict  `json:"verdict"`
	Reasons []string `json:"reasons"`
	Rank    int      `json:"rank"` // 1 is the best of the window
	// The rest is absent or null when the hour could not be flown.
	Landing  *Landing          `json:"landing,omitempty"`
	Chances  []Chance          `json:"chances"`
	Drift    *float64          `json:"drift_m"` // launch to the median landing, in a straight line
	Bearing  *float64          `json:"bearing_deg"`
	BurstAlt *ensemble.Band    `json:"burst_alt_m,omitempty"`
	AtLaunch *Near             `json:"at_launch,omitempty"`
	AtDown   *Near             `json:"at_landing,omitempty"`
	Light    *Light            `json:"light,omitempty"`
	Age      *float64          `json:"forecast_age_s"`
	Cycle    *string           `json:"cycle"`
	Held     []ensemble.HeldAt `json:"held,omitempty"`
	Checks   []Check           `json:"checks,omitempty"`
	Unknown  []string          `json:"not_looked_at,omitempty"` // in this hour, beside what no hour looks at

	launch time.Time
	worst  float64 // the greatest share of a limit that is used up
}

// Answered tells whether the hour could be flown.
func (h *Hour) Answered() bool { return h.Landing != nil }

// Launch is the hour's instant, in the zone in which it was asked.
func (h *Hour) Launch() time.Time { return h.launch }

// SiteRow is a site as the answer lists it.
type SiteRow struct {
	Name      string   `json:"name"`
	Lat       float64  `json:"lat_deg"`
	Lon       float64  `json:"lon_deg"`
	Elevation float64  `json:"elevation_m"`
	Drive     *float64 `json:"drive_s,omitempty"` // as the file says
}

// WeatherRow is one forecast that served.
type WeatherRow struct {
	Source  string   `json:"source"`
	Cycle   *string  `json:"cycle"`
	Members int      `json:"members"`
	First   string   `json:"first_launch"`
	Last    string   `json:"last_launch"`
	Notes   []string `json:"notes,omitempty"`
}

// Answer is every hour of a window at every site.
type Answer struct {
	Name    string       `json:"name,omitempty"`
	Summary string       `json:"summary"`
	From    string       `json:"from"`
	To      string       `json:"to"`
	Every   float64      `json:"every_s"`
	Members int          `json:"members"`
	Seed    uint64       `json:"seed"`
	Sites   []SiteRow    `json:"sites"`
	Limits  []LimitRow   `json:"limits"`
	Hours   []Hour       `json:"hours"` // by time, then in the order of the sites
	Weather []WeatherRow `json:"weather"`
	NotSeen []string     `json:"not_looked_at"`
}

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }
