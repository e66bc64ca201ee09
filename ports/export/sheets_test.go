package export

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"

	"pappus/air/forecast"
	"pappus/demo"
	"pappus/desk/papers"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

var update = flag.Bool("update", false, "write the golden sheets anew: read what changed before they are committed")

// sheetsOf makes the sheets of a starting flight on the day of the demo's sky.
func sheetsOf(t *testing.T, kind string, change func(*record.Flight)) []papers.Sheet {
	t.Helper()
	text, err := record.Template(kind)
	if err != nil {
		t.Fatal(err)
	}
	f, err := record.Parse(kind+".toml", text)
	if err != nil {
		t.Fatal(err)
	}
	f.Launch.Time = time.Date(2027, 4, 17, 8, 0, 0, 0, f.Launch.Time.Location())
	if change != nil {
		change(f)
	}
	name, data := demo.Forecast()
	made, err := flight.PapersOf(context.Background(), f, flight.Sky{Files: []forecast.File{{Name: name, Data: data}}, Workers: 2},
		flight.PapersOptions{Members: 500, Seed: 1, Workers: 2, System: unit.US})
	if err != nil {
		t.Fatal(err)
	}
	return made.Sheets
}

// withCrew names the people of the school's flight.
func withCrew(f *record.Flight) {
	f.Contacts = []record.Contact{
		{Name: "Ida Marsh", Role: "launch lead and operator", Phone: "+00 000 0001"},
		{Name: "Sam Reed", Role: "recovery and driver", Phone: "+00 000 0002", Email: "reed@example.org"},
		{Name: "Ada Sedge", Role: "home", Phone: "+00 000 0003"},
	}
}

func TestGoldenSheets(t *testing.T) {
	for _, kind := range record.TemplateKinds() {
		var change func(*record.Flight)
		if kind == "school" {
			change = withCrew
		}
		var all bytes.Buffer
		for _, s := range sheetsOf(t, kind, change) {
			text, err := SheetText(&s)
			if err != nil {
				t.Fatal(err)
			}
			all.Write(text)
			all.WriteString("\n\n")
		}
		path := filepath.Join("testdata", "sheets", kind+".txt")
		if *update {
			if err := os.WriteFile(path, all.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		golden, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		got, want := strings.Split(all.String(), "\n"), strings.Split(string(golden), "\n")
		for i := range max(len(got), len(want)) {
			if i >= len(got) || i >= len(want) || got[i] != want[i] {
				t.Errorf("%s, line %d:\n got %q\nwant %q", path, i+1, at(got, i), at(want, i))
				break
			}
		}
		for i, line := range got {
			if n := len([]rune(line)); n > sheetWidth && !strings.HasPrefix(line, "pappus-stamp") {
				t.Errorf("%s, line %d is %d characters wide: %q", kind, i+1, n, line)
			}
		}
	}
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(no line)"
}

// The calendar is read back by a parser that is not ours.
func TestOutsideCalendar(t *testing.T) {
	sheets := sheetsOf(t, "heavy", func(f *record.Flight) {
		f.Name = `Heron, "1"; a\b — the long name of a flight that must be folded, with ő in it`
	})
	timeline := sheets[0]
	data, err := Calendar(&timeline)
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(strings.TrimSuffix(string(data), "\r\n"), "\r\n") {
		if len(line) > 75 {
			t.Errorf("line %d has %d octets, RFC 5545 section 3.1 allows 75", i+1, len(line))
		}
	}
	read, err := ics.ParseCalendar(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	events := read.Events()
	if len(events) != len(timeline.Events) {
		t.Fatalf("%d entries were read, %d written", len(events), len(timeline.Events))
	}
	for i, e := range events {
		want := timeline.Events[i]
		if e.Id() != want.UID {
			t.Errorf("%s: identity %s, want %s", want.ID, e.Id(), want.UID)
		}
		if got := ics.FromText(e.GetProperty(ics.ComponentPropertySummary).Value); got != timeline.Stamp.Flight+": "+want.What {
			t.Errorf("%s: summary %q", want.ID, got)
		}
		if want.Date != "" {
			start, err := e.GetAllDayStartAt()
			if err != nil || start.Format(time.DateOnly) != want.Date {
				t.Errorf("%s: day %v, %v, want %s", want.ID, start, err, want.Date)
			}
			continue
		}
		start, err := e.GetStartAt()
		end, err2 := e.GetEndAt()
		if err != nil || err2 != nil || start.UTC().Format(time.RFC3339) != want.From || end.UTC().Format(time.RFC3339) != want.To {
			t.Errorf("%s: %v to %v, want %s to %s", want.ID, start, end, want.From, want.To)
		}
		if _, err := e.GetDtStampTime(); err != nil {
			t.Errorf("%s: time stamp: %v", want.ID, err)
		}
	}
}

// Every format carries the stamp, and the same sheet gives the same octets.
func TestStampInEveryFormat(t *testing.T) {
	sheets := sheetsOf(t, "first", func(f *record.Flight) { f.Name = "Wren & <Owl> 100 % (1)" })
	formats := map[string]func(*papers.Sheet) ([]byte, error){
		"text": SheetText,
		"html": func(s *papers.Sheet) ([]byte, error) { return SheetHTML(s, A4) },
		"pdf":  func(s *papers.Sheet) ([]byte, error) { return SheetPDF(s, Letter) },
	}
	for name, print := range formats {
		for i := range sheets {
			data, err := print(&sheets[i])
			if err != nil {
				t.Fatalf("%s as %s: %v", sheets[i].Name, name, err)
			}
			stamp, ok := papers.FindStamp(data)
			if !ok || len(stamp.Against(sheets[i].Stamp)) > 0 {
				t.Errorf("%s as %s: the stamp is not there, or is another: %+v", sheets[i].Name, name, stamp)
			}
			again, err := print(&sheets[i])
			if err != nil || !bytes.Equal(data, again) {
				t.Errorf("%s as %s differs from print to print (%v)", sheets[i].Name, name, err)
			}
		}
	}
	data, err := Calendar(&sheets[0])
	if err != nil {
		t.Fatal(err)
	}
	if stamp, ok := papers.FindStamp(data); !ok || len(stamp.Against(sheets[0].Stamp)) > 0 {
		t.Errorf("the calendar's stamp: %+v", stamp)
	}
}

// A sheet in HTML runs nothing, fetches nothing, and shows words as words.
func TestHTMLStandsAlone(t *testing.T) {
	sheets := sheetsOf(t, "school", func(f *record.Flight) {
		f.Name = `<script>alert(1)</script>`
		f.Launch.Place = `"><img src=x>`
	})
	foreign := regexp.MustCompile(`(?i)<script|<img|<link|<iframe|src=|href=|url\(|@import|https?:|\son\w+=`)
	for i := range sheets {
		data, err := SheetHTML(&sheets[i], A4)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.NewReplacer("&#34;&gt;&lt;img src=x&gt;", "").Replace(string(data)) // the place's name, shown as it is
		if found := foreign.FindString(text); found != "" {
			t.Errorf("%s holds %q", sheets[i].Name, found)
		}
		if n := strings.Count(text, `type="checkbox"`); sheets[i].Name == "packing" && n < 20 {
			t.Errorf("packing has %d boxes to tick", n)
		}
	}
}

func TestPDFRefusesWhatItCannotShow(t *testing.T) {
	sheets := sheetsOf(t, "first", func(f *record.Flight) { f.Name = "Птица" })
	_, err := SheetPDF(&sheets[0], A4)
	var glyph *NoGlyph
	if !errors.As(err, &glyph) || glyph.Rune != 'П' {
		t.Errorf("%v", err)
	}
	if _, err := SheetText(&sheets[0]); err != nil {
		t.Error(err)
	}
}

// What the font covers was read with fontconfig's fc-query: a0-107 and 10a-113
// are there, 108 and 0416 are not.
func TestGlyphs(t *testing.T) {
	for _, font := range [][]byte{regularFont, boldFont} {
		g, err := glyphsOf(font)
		if err != nil {
			t.Fatal(err)
		}
		for r, want := range map[rune]bool{'A': true, '°': true, '³': true, 0x107: true, 0x108: false, 0x10a: true, 'Ж': false} {
			if g.has(r) != want {
				t.Errorf("U+%04X: %v", r, !want)
			}
		}
	}
	for cut := range 200 {
		if _, err := glyphsOf(regularFont[:cut]); err == nil {
			t.Fatalf("%d octets were taken for a font", cut)
		}
	}
}

func TestColumnWidths(t *testing.T) {
	// Room for all; then a long column that gives way, short ones that do not.
	if w := columnWidths([]float64{2, 3}, []float64{5, 9}, 20); w[0] != 5 || w[1] != 9 {
		t.Errorf("%v", w)
	}
	if w := columnWidths([]float64{2, 3, 4}, []float64{5, 6, 100}, 41); w[0] != 5 || w[1] != 6 || w[2] != 30 {
		t.Errorf("%v", w)
	}
	if w := columnWidths([]float64{30, 30}, []float64{60, 60}, 30); w[0]+w[1] > 30.001 {
		t.Errorf("%v", w)
	}
}
