package nmea

import (
	"fmt"
	"math"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/signal/fix"
)

// clock is a time of day in UTC.
type clock struct {
	known        bool
	hour, minute int
	second       float64
}

func (c clock) ofDay() float64 {
	return float64(c.hour)*unit.Hour + float64(c.minute)*unit.Minute + c.second
}

// clock reads hhmmss.sss. Second 60 is a leap second.
func (s Sentence) clock(i int) (clock, error) {
	text := s.field(i)
	if text == "" {
		return clock{}, nil
	}
	v, ok := decimal(text)
	if len(text) < 6 || len(text) > 6 && text[6] != '.' || !ok || v < 0 {
		return clock{}, fmt.Errorf("%s: time is %q, expected hhmmss", s.Kind, text)
	}
	c := clock{true, int(v) / 10000, int(v) / 100 % 100, math.Mod(v, 100)}
	if c.hour > 23 || c.minute > 59 || c.second >= 61 {
		return clock{}, fmt.Errorf("%s: time is %q, there is no such time of day", s.Kind, text)
	}
	return c, nil
}

// date is a day; year 0 is none.
type date struct{ year, month, day int }

func checkedDate(s Sentence, year, month, day int) (date, error) {
	if t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC); t.Day() != day || int(t.Month()) != month || day < 1 || month < 1 {
		return date{}, fmt.Errorf("%s: %d-%02d-%02d is no date", s.Kind, year, month, day)
	}
	return date{year, month, day}, nil
}

// position is what one sentence tells of a place.
type position struct {
	known          bool
	place          geo.Point
	stepLat, stepL float64 // degrees
}

func (s Sentence) position(i int) (position, error) {
	lat, stepLat, known, err := s.angle(i, 2, "N", "S")
	if err != nil {
		return position{}, err
	}
	lon, stepLon, known2, err := s.angle(i+2, 3, "E", "W")
	if err != nil || !known || !known2 {
		return position{}, err
	}
	place, err := geo.NewPoint(lat, lon)
	if err != nil {
		return position{}, fmt.Errorf("%s: %w", s.Kind, err)
	}
	return position{true, place, stepLat, stepLon}, nil
}

// moment gathers what the sentences of one time of day say.
type moment struct {
	at       clock
	date     date
	received time.Time
	raw      []string
	kinds    map[string]bool
	places   bool // a sentence that tells of a place was among them

	position position
	rank     int // of the sentence the position is from
	height   fix.Height
	speed    fix.Figure
	course   fix.Figure
	quality  fix.Quality
	gsaMode  int
	useless  bool // a sentence said there is no fix
	special  fix.Mode
	checked  bool
}

// stand takes a position if it is from a better sentence than the one before.
func (m *moment) stand(p position, rank int) {
	m.places = true
	if p.known && rank > m.rank {
		m.position, m.rank = p, rank
	}
}

// mode notes a mode letter: autonomous, differential and so on, or one that says the
// place is not measured [NMEA0183].
func (m *moment) mode(letter string) {
	switch letter {
	case "N":
		m.useless = true
	case "E":
		m.special = fix.Estimated
	case "M", "S":
		m.special = fix.Simulated
	}
}

func (m *moment) gga(s Sentence) error {
	p, err := s.position(1)
	if err != nil {
		return err
	}
	switch s.field(5) {
	case "", "0":
		m.useless = true
	case "6":
		m.special = fix.Estimated
	case "7", "8":
		m.special = fix.Simulated
	}
	for _, f := range []struct {
		at   int
		what string
		to   *fix.Figure
	}{{6, "satellites", &m.quality.Satellites}, {7, "dilution", &m.quality.HDOP}} {
		v, known, err := s.number(f.at, f.what)
		if err != nil {
			return err
		}
		*f.to = fix.Figure{Value: v, Known: known}
	}
	m.stand(p, 3)
	return m.altitude(s, 8, 10, true)
}

// altitude reads the height above sea and the separation, each with its unit where the
// sentence names one.
func (m *moment) altitude(s Sentence, height, separation int, named bool) error {
	alt, known, err := s.number(height, "height")
	if err != nil || !known {
		return err
	}
	if named && s.field(height+1) != "M" {
		return fmt.Errorf("%s: the unit of height is %q, expected M", s.Kind, s.field(height+1))
	}
	over, overKnown, err := s.number(separation, "separation")
	if err != nil {
		return err
	}
	m.height = fix.Height{Metres: alt, Kind: fix.AboveSea, Separation: fix.Figure{Value: over, Known: overKnown}}
	return nil
}

func (m *moment) gns(s Sentence) error {
	p, err := s.position(1)
	if err != nil {
		return err
	}
	letters := s.field(5) // one a constellation: no fix only if all say so
	none := letters != ""
	for i := range len(letters) {
		none = none && letters[i] == 'N'
	}
	if none || letters == "" {
		m.useless = true
	} else if len(letters) == 1 {
		m.mode(letters)
	}
	if v, known, err := s.number(7, "dilution"); err != nil {
		return err
	} else if known {
		m.quality.HDOP = fix.Known(v)
	}
	m.stand(p, 3)
	return m.altitude(s, 8, 9, false)
}

func (m *moment) rmc(s Sentence) error {
	p, err := s.position(2)
	if err != nil {
		return err
	}
	speed, speedKnown, err := s.number(6, "speed")
	if err != nil {
		return err
	}
	course, courseKnown, err := s.number(7, "course")
	if err != nil {
		return err
	}
	if text := s.field(8); text != "" {
		v, ok := decimal(text)
		if !ok || len(text) != 6 || v < 0 {
			return fmt.Errorf("RMC: date is %q, expected ddmmyy", text)
		}
		n := int(v)
		year := 2000 + n%100
		if n%100 >= 80 {
			year -= 100 // satellite navigation began in 1980
		}
		if m.date, err = checkedDate(s, year, n/100%100, n/10000); err != nil {
			return err
		}
	}
	if s.field(1) != "A" {
		m.useless = true
	}
	m.mode(s.field(11))
	if speedKnown {
		m.speed = fix.Known(speed * unit.Knot)
	}
	if courseKnown {
		m.course = fix.Known(course)
	}
	m.stand(p, 2)
	return nil
}

func (m *moment) gll(s Sentence) error {
	p, err := s.position(0)
	if err != nil {
		return err
	}
	if s.field(5) != "A" && s.field(5) != "" {
		m.useless = true
	}
	m.mode(s.field(6))
	m.stand(p, 1)
	return nil
}

func (m *moment) vtg(s Sentence) error {
	course, courseKnown, err := s.number(0, "course")
	if err != nil {
		return err
	}
	knots, knotsKnown, err := s.number(4, "speed")
	if err != nil {
		return err
	}
	if courseKnown && !m.course.Known {
		m.course = fix.Known(course)
	}
	if knotsKnown && !m.speed.Known {
		m.speed = fix.Known(knots * unit.Knot)
	}
	return nil
}

func (m *moment) gsa(s Sentence) error {
	mode, known, err := s.number(1, "mode")
	if err != nil || !known {
		return err
	}
	if mode >= 1 && mode <= 3 {
		m.gsaMode = int(mode)
	}
	if v, known, err := s.number(15, "dilution"); err != nil {
		return err
	} else if known && !m.quality.HDOP.Known {
		m.quality.HDOP = fix.Known(v)
	}
	return nil
}

func (m *moment) zda(s Sentence) (err error) {
	day, known, err := s.number(1, "day")
	if err != nil || !known {
		return err
	}
	month, known, err := s.number(2, "month")
	if err != nil || !known {
		return err
	}
	year, known, err := s.number(3, "year")
	if err != nil || !known || year < 1980 || year > 2200 || !m.at.known {
		return err
	}
	m.date, err = checkedDate(s, int(year), int(month), int(day))
	return err
}
