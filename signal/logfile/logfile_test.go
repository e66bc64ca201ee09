package logfile

import (
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"pappus/signal/fix"
)

var day = time.Date(2027, 4, 17, 13, 0, 0, 0, time.UTC)

// The same three rows as different loggers would write them: 40.0961 N 99.2094 W at
// 13:00:00 UTC and 1200.5 m, then a minute and 300 m later each.
func TestWritings(t *testing.T) {
	for name, text := range map[string]string{
		"plain":                            "time,lat,lon,alt_m\n2027-04-17T13:00:00Z,40.0961,-99.2094,1200.5\n2027-04-17T13:01:00Z,40.0961,-99.1994,1500.5\n2027-04-17T13:02:00Z,40.0961,-99.1894,1800.5\n",
		"decimal comma, preamble, mark":    "\xEF\xBB\xBFLogger 7\r\nSerial;12\r\n\r\nDatum;Uhrzeit;Breite;Länge;Höhe [m]\r\n17.04.2027;13:00:00;40,0961;-99,2094;1200,5\r\n17.04.2027;13:01:00;40,0961;-99,1994;1500,5\r\n17.04.2027;13:02:00;40,0961;-99,1894;1800,5\r\n",
		"tabs, feet, line of units":        "UTC\tLatitude\tLongitude\tAltitude\n\tdeg\tdeg\tft\n13:00:00\t40.0961\t-99.2094\t3938.648\n13:01:00\t40.0961\t-99.1994\t4922.900\n13:02:00\t40.0961\t-99.1894\t5907.152\n",
		"no header":                        "2027-04-17 13:00:00,40.09610,-99.20940,7\n2027-04-17 13:01:00,40.09610,-99.19940,8\n2027-04-17 13:02:00,40.09610,-99.18940,9\n",
		"scaled":                           "unixTime,latE7,lonE7,gpsAltMsl_mm\n1807966800,400961000,-992094000,1200500\n1807966860,400961000,-991994000,1500500\n1807966920,400961000,-991894000,1800500\n",
		"degrees and minutes with letters": "date,time,lat,n/s,lon,e/w,height(m)\n04/17/2027,13:00:00,4005.766,N,09912.564,W,1200.5\n04/17/2027,13:01:00,4005.766,N,09911.964,W,1500.5\n04/17/2027,13:02:00,4005.766,N,09911.364,W,1800.5\n",
		"quoted, marks":                    "\"when\",\"lat\",\"lon\",\"alt m\"\n\"2027-04-17 13:00:00 UTC\",\"40°05.766'N\",\"99°12.564'W\",\"1200.5\"\n\"2027-04-17 13:01:00 UTC\",\"40°05.766'N\",\"99°11.964'W\",\"1500.5\"\n\"2027-04-17 13:02:00 UTC\",\"40°05.766'N\",\"99°11.364'W\",\"1800.5\"\n",
		"blanks":                           "# t lat lon alt\n1807966800 40.0961 -99.2094 1200.5\n1807966860 40.0961 -99.1994 1500.5\n1807966920 40.0961 -99.1894 1800.5\n",
		"one cell":                         "time;position;alt_m\n2027-04-17T08:00:00-05:00;40.0961, -99.2094;1200.5\n2027-04-17T08:01:00-05:00;40.0961, -99.1994;1500.5\n2027-04-17T08:02:00-05:00;40.0961, -99.1894;1800.5\n",
	} {
		for _, wide := range []bool{false, true} {
			input := []byte(text)
			if wide {
				input = []byte{0xFF, 0xFE}
				for _, u := range utf16.Encode([]rune(strings.TrimPrefix(text, "\uFEFF"))) {
					input = append(input, byte(u), byte(u>>8))
				}
			}
			l, err := Guess(input)
			if err != nil {
				t.Errorf("%s: %v (%+v)", name, err, l)
				continue
			}
			reports, faults, err := l.Read(input, "log", Terms{Day: day})
			if err != nil || len(faults) != 0 || len(reports) != 3 {
				t.Errorf("%s: %d reports, %v %v\n%+v", name, len(reports), faults, err, l)
				continue
			}
			for i, r := range reports {
				at := day.Add(time.Duration(i) * time.Minute)
				high := 1200.5 + 300*float64(i)
				if !r.Time.Equal(at) || math.Abs(r.Place.LatDeg-40.0961) > 1e-7 || math.Abs(r.Place.LonDeg-(-99.2094+0.01*float64(i))) > 1e-7 {
					t.Errorf("%s, row %d: %v at %v\n%+v", name, i, r.Place, r.Time, l)
				}
				if name != "no header" && math.Abs(r.Height.Metres-high) > 0.001 {
					t.Errorf("%s, row %d: height %v, expected %v\n%+v", name, i, r.Height, high, l)
				}
			}
		}
	}
}

func TestWhatIsAssumedIsSaid(t *testing.T) {
	text := []byte("time,lat,lon,alt\n13:00:00,40.0961,-99.2094,61000\n13:01:00,40.0961,-99.1994,62000\n")
	l, err := Guess(text)
	if err != nil || l.Columns[3].Unit != "ft" || l.Columns[3].Sure {
		t.Fatalf("%+v %v", l, err)
	}
	reports, _, _ := l.Read(text, "log", Terms{Day: day})
	if len(reports) != 2 || reports[0].TimeKind != fix.DateAssumed || len(reports[0].Assumed) != 2 || reports[0].Raw != "13:00:00,40.0961,-99.2094,61000" {
		t.Errorf("%+v", reports)
	}
	// Without a day such times cannot be placed.
	if reports, _, _ := l.Read(text, "log", Terms{}); reports[0].TimeKind != fix.NoTime {
		t.Errorf("%v", reports[0].Time)
	}
	// A local zone is the person's to say.
	if reports, _, _ := l.Read(text, "log", Terms{Day: day, Zone: time.FixedZone("five west", -5*3600)}); reports[0].Time.Hour() != 18 {
		t.Errorf("%v", reports[0].Time)
	}
}

// The person puts a guess right: columns exchanged, another unit.
func TestColumnMap(t *testing.T) {
	text := []byte("a,b,c,d\n1,-9.20940,40.09610,500\n2,-9.19940,40.09610,600\n")
	l, err := Guess(text)
	if err != nil {
		t.Fatal(err)
	}
	if l.Columns[1].Meaning != Latitude || len(l.Notes) == 0 {
		t.Fatalf("%+v", l)
	}
	l.Columns[0] = Column{Meaning: Elapsed, Unit: "s"}
	l.Columns[1].Meaning, l.Columns[2].Meaning = Longitude, Latitude
	l.Columns[3] = Column{Meaning: HeightPressure, Unit: "ft"}
	reports, faults, err := l.Read(text, "log", Terms{Start: day})
	if err != nil || len(faults) != 0 || len(reports) != 2 {
		t.Fatal(reports, faults, err)
	}
	if r := reports[1]; r.Place.LatDeg != 40.0961 || r.Place.LonDeg != -9.1994 || !r.Time.Equal(day.Add(2*time.Second)) || r.Height.Kind != fix.ByPressure || math.Abs(r.Height.Metres-182.88) > 1e-9 {
		t.Errorf("%+v", r)
	}
	l.Columns[3].Unit = "furlong"
	if _, _, err := l.Read(text, "log", Terms{}); err == nil {
		t.Error("a foreign unit was taken")
	}
	l.Columns[3] = l.Columns[2]
	if _, _, err := l.Read(text, "log", Terms{}); err == nil {
		t.Error("two latitudes were taken")
	}
}

func TestBadRowsAreNamed(t *testing.T) {
	text := []byte("time,lat,lon,alt_m\n2027-04-17T13:00:00Z,40.1,-99.2,100\n2027-04-17T13:01:00Z,95.1,-99.2,100\n2027-04-17T13:02:00Z,,,\nnonsense\n2027-04-17T13:03:00Z,40.1,-99.2,x\n2027-04-17T13:04:00Z,40.1,-99.2,400\n")
	l, err := Guess(text)
	if err != nil {
		t.Fatal(err)
	}
	reports, faults, err := l.Read(text, "log", Terms{})
	if err != nil || len(reports) != 4 || len(faults) != 2 || faults[0].Line != 3 || faults[1].Line != 6 {
		t.Errorf("%d reports, %v, %v", len(reports), faults, err)
	}
	for _, r := range reports[1:3] {
		if r.HasPlace || r.Quality.Mode != fix.NoFix {
			t.Errorf("a row without place: %+v", r)
		}
	}
	for _, text := range []string{"", "words only\nand more", "a,b\n1,2\n3,4\n", "\x00\x01\x02", "lat,lat,lon\n1.5,2.5,3.5\n"} {
		if l, err := Guess([]byte(text)); err == nil && !strings.HasPrefix(text, "lat") {
			t.Errorf("%q: %+v", text, l)
		}
	}
}

// However odd the text, the guess ends; a usual log takes milliseconds. Ten seconds leave
// room for a slow and busy machine.
func TestOddTextsEnd(t *testing.T) {
	began := time.Now()
	for _, unit := range []string{"1 ", "1,", "1;1,", "\"", "12:00 ", "1\n", "40 05.7 N,", "2027-04-17 "} {
		l, err := Guess([]byte(strings.Repeat(unit, 1<<20/len(unit))))
		if err == nil && len(l.Columns) > mostColumns {
			t.Errorf("%q: %d columns", unit, len(l.Columns))
		}
	}
	if took := time.Since(began); took > 10*time.Second {
		t.Errorf("took %v", took)
	}
}

func FuzzGuessAndRead(f *testing.F) {
	f.Add([]byte("time,lat,lon,alt_m\n2027-04-17T13:00:00Z,40.0961,-99.2094,1200.5\n2027-04-17T13:01:00Z,40.0961,-99.1994,1500.5\n"))
	f.Add([]byte("Datum;Uhrzeit;Breite;Länge\n17.04.2027;13:00:00;40,0961;-99,2094\n"))
	f.Add([]byte("unixTime latE7 lonE7\n1807966800 400961000 -992094000\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := Guess(text)
		if err != nil {
			return
		}
		reports, _, err := l.Read(text, "fuzz", Terms{Day: day, Start: day})
		if err != nil {
			t.Errorf("a guessed layout was refused: %v", err)
		}
		for _, r := range reports {
			if r.HasPlace && !(r.Place.LatDeg >= -90 && r.Place.LatDeg <= 90) {
				t.Errorf("%+v", r)
			}
		}
	})
}
