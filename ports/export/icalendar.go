package export

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"pappus/desk/papers"
)

// Calendar writes the entries of a timeline as iCalendar [RFC5545]. UIDs stay
// the same while an entry does; the time stamp that the format asks for is the
// forecast's cycle, or without one the day of the first entry, so that the same
// flight gives the same octets.
func Calendar(s *papers.Sheet) ([]byte, error) {
	if len(s.Events) == 0 {
		return nil, fmt.Errorf("the sheet %q has no entries for a calendar", s.Name)
	}
	made, err := calendarStamp(s)
	if err != nil {
		return nil, err
	}
	c := &calendarLines{}
	c.line("BEGIN:VCALENDAR")
	c.line("VERSION:2.0")
	c.line("PRODID:-//pappus//papers//EN")
	c.line("CALSCALE:GREGORIAN")
	c.text("X-PAPPUS-STAMP", s.Stamp.String())
	for i := range s.Events {
		if err := c.event(&s.Events[i], s.Stamp.Flight, made); err != nil {
			return nil, err
		}
	}
	c.line("END:VCALENDAR")
	return []byte(c.String()), nil
}

// utc is an instant as the format writes it.
const utc = "20060102T150405Z"

func calendarStamp(s *papers.Sheet) (string, error) {
	if s.Stamp.Cycle != "" {
		t, err := time.Parse(time.RFC3339, s.Stamp.Cycle)
		return t.UTC().Format(utc), err
	}
	first := s.Events[0]
	if first.Date != "" {
		t, err := time.Parse(time.DateOnly, first.Date)
		return t.Format(utc), err
	}
	t, err := time.Parse(time.RFC3339, first.From)
	return t.UTC().Format(utc), err
}

type calendarLines struct{ strings.Builder }

func (c *calendarLines) event(e *papers.Event, flight, made string) error {
	c.line("BEGIN:VEVENT")
	c.line("UID:" + e.UID)
	c.line("DTSTAMP:" + made)
	if e.Date != "" {
		day, err := time.Parse(time.DateOnly, e.Date)
		if err != nil {
			return fmt.Errorf("the entry %q: %w", e.ID, err)
		}
		c.line("DTSTART;VALUE=DATE:" + day.Format("20060102"))
		c.line("DTEND;VALUE=DATE:" + day.AddDate(0, 0, 1).Format("20060102"))
		c.line("TRANSP:TRANSPARENT")
	} else {
		for _, end := range []struct{ name, text string }{{"DTSTART:", e.From}, {"DTEND:", e.To}} {
			t, err := time.Parse(time.RFC3339, end.text)
			if err != nil {
				return fmt.Errorf("the entry %q: %w", e.ID, err)
			}
			c.line(end.name + t.UTC().Format(utc))
		}
	}
	summary := e.What
	if e.Done {
		summary = "done: " + summary
	}
	if name := tidy(flight); name != "" {
		summary = name + ": " + summary
	}
	c.text("SUMMARY", summary)
	if e.Why != "" {
		c.text("DESCRIPTION", e.Why)
	}
	c.line("END:VEVENT")
	return nil
}

var calendarEscapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

// text writes a property of free text [RFC5545, section 3.3.11].
func (c *calendarLines) text(name, value string) {
	c.line(name + ":" + calendarEscapes.Replace(tidyLong(value)))
}

// longestLine is how many octets a line may have, its end not counted [RFC5545,
// section 3.1].
const longestLine = 75

// line folds a content line without cutting a character.
func (c *calendarLines) line(text string) {
	room := longestLine
	for len(text) > room {
		cut := room
		for !utf8.RuneStart(text[cut]) {
			cut--
		}
		c.WriteString(text[:cut] + "\r\n ")
		text, room = text[cut:], longestLine-1
	}
	c.WriteString(text + "\r\n")
}
