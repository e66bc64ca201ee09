package flight

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pappus/air/forecast"
	"pappus/desk/hours"
	"pappus/measure/geo"
)

// The real observed sky, three-hourly from 18 to 06 UTC, through hours: what
// lies before it has no forecast, what comes down after it none for the whole
// flight, and the hour of the real launch answers as odds does. The two skies
// are read for other stretches of time, so they differ by rounding: 1 m.
func TestOutsideHoursThroughTheObservedSky(t *testing.T) {
	name := filepath.Join(sharedData(t), "obsgrib", "obs_giles_20160403T2315.grib2")
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	sky := Sky{Files: []forecast.File{{Name: name, Data: data}}, Workers: 2}
	f := giles(t)
	from := f.Launch.Time.Add(-7 * time.Hour)
	o := HoursOptions{From: from, To: from.Add(15 * time.Hour), Every: time.Hour, Members: 100, Seed: 3, Workers: 2}
	last := 0
	o.Progress = func(done, all int) {
		if all != 16 || done > all {
			t.Errorf("%d of %d done", done, all)
		}
		last = max(last, done)
	}
	answer, err := Hours(context.Background(), f, sky, o)
	if err != nil {
		t.Fatal(err)
	}
	if len(answer.Hours) != 16 || last != 16 {
		t.Fatalf("%d hours, progress to %d", len(answer.Hours), last)
	}
	cycle := time.Date(2016, 4, 3, 18, 0, 0, 0, time.UTC)
	for i := range answer.Hours {
		h := &answer.Hours[i]
		launch := h.Launch()
		before, after := launch.Before(cycle), launch.After(cycle.Add(12*time.Hour))
		switch {
		case before || after:
			if h.Answered() || h.Verdict != hours.Wait || !strings.Contains(h.Reasons[0], "no forecast for this hour") {
				t.Errorf("%s: %s, %v", h.Time, h.Verdict, h.Reasons)
			}
		case launch.Before(cycle.Add(9 * time.Hour)): // three hours are enough for any flight of these parts
			if !h.Answered() || *h.Age != launch.Sub(cycle).Seconds() {
				t.Errorf("%s: %v", h.Time, h.Reasons)
			}
		}
	}
	h := answer.Hours[7]
	if !h.Launch().Equal(f.Launch.Time) {
		t.Fatalf("the eighth hour is %s", h.Time)
	}
	odds, err := Where(context.Background(), f, sky, OddsOptions{Members: 100, Seed: 3, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	a, b := h.Landing, odds.Answer.Landing
	way, _, _ := geo.Inverse(geo.Point{LatDeg: a.Median.Lat, LonDeg: a.Median.Lon}, geo.Point{LatDeg: b.Median.Lat, LonDeg: b.Median.Lon})
	if way > 1 || a.Radius50-b.Radius50 > 1 || b.Radius50-a.Radius50 > 1 {
		t.Errorf("hours and odds lie %.2f m apart, radii %v and %v", way, a.Radius50, b.Radius50)
	}
}

// Through one observed sky there is one cycle, and one day.
func TestOutsideTrendAndSeasonOfTheObservedSky(t *testing.T) {
	name := filepath.Join(sharedData(t), "obsgrib", "obs_giles_20160403T2315.grib2")
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	sky := Sky{Files: []forecast.File{{Name: name, Data: data}}, Workers: 2}
	f := giles(t)
	trend, err := Trend(context.Background(), f, sky, TrendOptions{Members: 60, Seed: 1, Workers: 2})
	if err != nil || len(trend.Cycles) != 1 || trend.Agreement.Verdict != "cannot tell" {
		t.Errorf("trend: %v, %+v", err, trend)
	}
	f.Launch.Time = f.Launch.Time.AddDate(1, 0, 0)
	season, err := Season(context.Background(), f, sky, TrendOptions{Members: 60, Seed: 1, Workers: 2})
	if err != nil || season.Days != 1 || season.Flown[0].Launch != "2016-04-03T23:15:38Z" {
		t.Errorf("season: %v, %+v", err, season)
	}
	f.Launch.Time = time.Date(2017, 4, 3, 12, 0, 0, 0, time.UTC) // an hour that the file does not cover
	var none *hours.NoCycle
	if _, err = Season(context.Background(), f, sky, TrendOptions{Members: 60, Seed: 1, Workers: 2}); !errors.As(err, &none) {
		t.Errorf("a season without days: %v", err)
	}
	table := Sky{Files: []forecast.File{{Name: "own.csv", Data: []byte("alt_m,wind_from_deg,wind_speed_mps\n0,90,3\n30000,90,20\n")}}}
	if _, err := Trend(context.Background(), f, table, TrendOptions{Members: 20, Workers: 1}); err == nil || !strings.Contains(err.Error(), "no cycle") {
		t.Errorf("a trend through a table: %v", err)
	}
}
