// Package message finds places and times in words: a messenger's text, an e-mail, a
// link, a line of a receiver or a packet, pasted as they are. What had to be assumed is
// said beside each candidate; the person decides.
package message

import (
	"math"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/signal/aprs"
	"pappus/signal/fix"
	"pappus/signal/gpsd"
	"pappus/signal/nmea"
	"pappus/signal/notation"
)

// Candidate is a place found, and in which form.
type Candidate struct {
	fix.Report
	Form string
}

// Terms is what a message leaves out.
type Terms struct {
	Received time.Time      // when the message came; by it a missing date is found
	Zone     *time.Location // of times without one; nil: UTC
	Dates    notation.Order
}

// What is read at most.
const (
	longest        = 64 << 10 // bytes
	longestLine    = 8 << 10
	mostCandidates = 50
)

// Find answers the places in a text, in the order in which they stand. The same place
// in two writings, as messengers send it, is one candidate.
func Find(text, source string, terms Terms) []Candidate {
	text = strings.ToValidUTF8(text[:min(len(text), longest)], " ")
	var all []Candidate
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line[:min(len(line), longestLine)])
		found := ofMachines(line, source, terms)
		if found == nil {
			found = ofWords(line, source, terms)
		}
		all = append(all, found...)
		if len(all) > mostCandidates {
			break
		}
	}
	if len(all) == 0 {
		// Latitude and longitude may stand on lines of their own.
		joined := strings.Join(strings.Fields(text), " ")
		all = ofWords(joined[:min(len(joined), longestLine)], source, terms)
	}
	all = distinct(all[:min(len(all), mostCandidates)])
	for i := range all {
		all[i].fill(text, len(all) == 1, terms)
	}
	return all
}

// ofMachines reads lines that receivers and packet monitors write.
func ofMachines(line, source string, terms Terms) []Candidate {
	var r fix.Report
	form := ""
	switch {
	case strings.Contains(line, "$G"):
		reports, _ := nmea.Read(line, source, fix.Before(terms.Received))
		if len(reports) != 1 {
			return nil
		}
		r, form = reports[0], "receiver's sentence"
	case strings.HasPrefix(line, `{"class"`):
		report, ready, err := gpsd.Line([]byte(line), source, terms.Received)
		if err != nil || !ready {
			return nil
		}
		r, form = report, "gpsd"
	case strings.Contains(line, ">"):
		p, err := aprs.Decoder{Source: source, Zone: terms.Zone}.Line(line, terms.Received)
		if err != nil {
			return nil
		}
		r, form = p.Report, "packet"
	}
	if !r.HasPlace {
		return nil
	}
	r.Received = terms.Received
	return []Candidate{{r, form}}
}

// form is a way of writing a place. The groups lat and lon are angles; latSide and
// lonSide letters that stand apart from them.
type form struct {
	name    string
	pattern *regexp.Regexp
}

const (
	angle   = `(?:[-+−]\s?)?` + notation.AngleBody
	decimal = `[-+−]?\d{1,3}\.\d{1,15}`
	apart   = `[\s,;/|]{1,4}`
	begin   = `(?:^|[^\w.°])`
)

// forms are tried in this order; the first that fits a stretch of text keeps it.
var forms = []form{
	{"geo link", regexp.MustCompile(`(?i)\bgeo:(?P<lat>[-+]?\d{1,2}(?:\.\d{1,15})?),(?P<lon>[-+]?\d{1,3}(?:\.\d{1,15})?)(?:,(?P<alt>[-+]?\d{1,6}(?:\.\d{1,6})?))?`)},
	{"link", regexp.MustCompile(`(?i)[?&#;](?:m?lat|latitude|y)=(?P<lat>` + decimal + `)&(?:amp;)?(?:m?lon|m?lng|long|longitude|x)=(?P<lon>` + decimal + `)`)},
	{"link", regexp.MustCompile(`(?i)[?&#;](?:m?lon|m?lng|long|longitude|x)=(?P<lon>` + decimal + `)&(?:amp;)?(?:m?lat|latitude|y)=(?P<lat>` + decimal + `)`)},
	{"link", regexp.MustCompile(`(?i)[?&#;/](?:q|ll|sll|query|center|daddr|saddr|destination|c|cp|pin|loc|location|place|marker|at|p|point)=(?:loc:|point:)?(?P<lat>` + decimal + `)[,~+ ]{1,2}(?P<lon>` + decimal + `)`)},
	{"link", regexp.MustCompile(`(?i)[/#?&](?:@|map=|place/|search/|dir/|loc/)?(?:\d{1,2}(?:\.\d{1,3})?/)?(?P<lat>` + decimal + `)[,/+]{1,2}(?P<lon>` + decimal + `)`)},
	{"named", regexp.MustCompile(`(?i)\blat(?:itude)?\.?["']?\s?[:=]?\s?["']?(?P<lat>` + angle + `)\s?(?P<latSide>[NS]\b)?["']?[\s,;/|&]{0,4}["']?\blo?ng?(?:itude)?\.?["']?\s?[:=]?\s?["']?(?P<lon>` + angle + `)\s?(?P<lonSide>[EW]\b)?`)},
	{"sides after", regexp.MustCompile(`(?i)` + begin + `(?P<lat>` + notation.AngleBody + `)\s?(?P<latSide>[NS])\b[\s,;/|]{0,4}(?P<lon>` + notation.AngleBody + `)\s?(?P<lonSide>[EW])\b`)},
	{"sides before", regexp.MustCompile(`(?i)(?:^|[^\w.])(?P<latSide>[NS])[\s:]{0,2}(?P<lat>` + notation.AngleBody + `)[\s,;/|]{0,4}(?P<lonSide>[EW])[\s:]{0,2}(?P<lon>` + notation.AngleBody + `)`)},
	{"sides after, longitude first", regexp.MustCompile(`(?i)` + begin + `(?P<lon>` + notation.AngleBody + `)\s?(?P<lonSide>[EW])\b[\s,;/|]{0,4}(?P<lat>` + notation.AngleBody + `)\s?(?P<latSide>[NS])\b`)},
	{"two numbers", regexp.MustCompile(`(?:^|[\s(\[:=@])(?P<lat>[-+−]?\d{1,2}\.\d{3,15})°?` + apart + `(?P<lon>[-+−]?\d{1,3}\.\d{3,15})°?(?:[\s,;)\].!?]|$)`)},
	{"two numbers", regexp.MustCompile(`(?:^|[\s(\[:=@])(?P<lat>[-+−]?\d{1,2},\d{3,15})°?[\s;/|]{1,4}(?P<lon>[-+−]?\d{1,3},\d{3,15})°?(?:[\s;)\].!?]|$)`)},
}

var sideWords = regexp.MustCompile(`(?i)\b(north|south|east|west)(?:ern)?\b`)

// ofWords looks for each form in turn.
func ofWords(line, source string, terms Terms) []Candidate {
	plain := line
	if strings.Contains(line, "%") {
		if u, err := url.QueryUnescape(strings.ReplaceAll(line, "+", "%2B")); err == nil {
			plain = u
		}
	}
	plain = sideWords.ReplaceAllStringFunc(plain, func(w string) string { return strings.ToUpper(w[:1]) })
	type found struct {
		at int
		c  Candidate
	}
	var all []found
	for _, f := range forms {
		for _, m := range f.pattern.FindAllStringSubmatchIndex(plain, mostCandidates) {
			c, ok := f.read(plain, m)
			if !ok {
				continue
			}
			c.Source, c.Raw, c.Received = source, line, terms.Received
			all = append(all, found{m[0], c})
			// What was read is blanked, so that no other form reads it again.
			plain = plain[:m[0]] + strings.Repeat(" ", m[1]-m[0]) + plain[m[1]:]
		}
	}
	slices.SortStableFunc(all, func(a, b found) int { return a.at - b.at })
	var out []Candidate
	for _, f := range all {
		out = append(out, f.c)
	}
	return out
}

// read makes a candidate of what a form found.
func (f form) read(text string, m []int) (Candidate, bool) {
	group := func(name string) string {
		i := f.pattern.SubexpIndex(name)
		if i < 0 || m[2*i] < 0 {
			return ""
		}
		return text[m[2*i]:m[2*i+1]]
	}
	lat, err := notation.ParseAngle(strings.TrimSpace(group("lat") + " " + group("latSide")))
	if err != nil {
		return Candidate{}, false
	}
	lon, err := notation.ParseAngle(strings.TrimSpace(group("lon") + " " + group("lonSide")))
	if err != nil {
		return Candidate{}, false
	}
	place, err := geo.NewPoint(lat.Deg, lon.Deg)
	if err != nil {
		return Candidate{}, false
	}
	c := Candidate{Form: f.name}
	c.Place, c.HasPlace = place, true
	// The last digit written leaves a box; its width over √12 is the error.
	step := math.Max(lat.Step, lon.Step) * 60 * unit.NauticalMile / math.Sqrt(12)
	c.Expected = fix.Expected{Across: math.Hypot(fix.AcrossUsual, step), Up: fix.UpUsual, Time: fix.ArrivalDelay}
	if f.name == "two numbers" {
		c.Assumed = append(c.Assumed, "two numbers stand side by side: the first was taken for the latitude")
	}
	if alt := group("alt"); alt != "" {
		// A geo link counts heights from the ellipsoid [RFC5870, section 3.4.2].
		if v, err := strconv.ParseFloat(alt, 64); err == nil {
			c.Height = fix.Height{Metres: v, Kind: fix.AboveEllipsoid}
		}
	}
	return c, true
}

// distinct drops places that stand there twice: the finer writing is kept, and what the
// first said of height and time.
func distinct(all []Candidate) []Candidate {
	var out []Candidate
	for _, c := range all {
		twin := slices.IndexFunc(out, func(o Candidate) bool {
			d, _, _ := geo.Inverse(o.Place, c.Place)
			sameTime := o.TimeKind == fix.NoTime || c.TimeKind == fix.NoTime || o.Time.Equal(c.Time)
			return sameTime && d <= 2*(o.Expected.Across+c.Expected.Across)
		})
		if twin < 0 {
			out = append(out, c)
			continue
		}
		if o := &out[twin]; c.Expected.Across < o.Expected.Across {
			o.Place, o.Expected.Across = c.Place, c.Expected.Across
		}
	}
	return out
}
