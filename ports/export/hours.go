package export

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"pappus/desk/hours"
)

// hourColumns of the table of launch hours; units stand last in the names.
var hourColumns = []string{
	"time", "site", "verdict", "rank", "reasons", "landing_lat_deg", "landing_lon_deg", "landing_time", "radius_50_m", "radius_90_m",
	"drift_m", "bearing_deg", "water", "town", "airfield", "border", "dark", "launch_wind_mps", "launch_gust_mps", "launch_cloud",
	"landing_wind_mps", "landing_gust_mps", "daylight_left_s", "forecast_age_s", "cycle",
}

// HoursCSV writes one row for every hour and site. What is not known stays empty.
func HoursCSV(a *hours.Answer) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true // [RFC4180, section 2]
	if err := w.Write(hourColumns); err != nil {
		return nil, err
	}
	for i := range a.Hours {
		if err := w.Write(hourRow(&a.Hours[i])); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func hourRow(h *hours.Hour) []string {
	row := []string{h.Time, h.Site, string(h.Verdict), strconv.Itoa(h.Rank), strings.Join(h.Reasons, "; ")}
	if !h.Answered() {
		return append(row, make([]string, len(hourColumns)-len(row))...)
	}
	l := h.Landing
	row = append(row, digits(roundTo(l.Median.Lat, 1e5)), digits(roundTo(l.Median.Lon, 1e5)), l.Time.P50, digits(roundTo(l.Radius50, 1)), digits(roundTo(l.Radius90, 1)))
	row = append(row, figure(h.Drift, 1), figure(h.Bearing, 10))
	for _, id := range []string{"water", "town", "airfield", "border", "dark"} {
		cell := ""
		for _, c := range h.Chances {
			if c.ID == id {
				cell = digits(roundTo(c.Probability, 1e4))
			}
		}
		row = append(row, cell)
	}
	row = append(row, figure(h.AtLaunch.Wind, 100), figure(h.AtLaunch.Gust, 100), figure(h.AtLaunch.Cloud, 1000),
		figure(h.AtDown.Wind, 100), figure(h.AtDown.Gust, 100), figure(h.Light.Left, 1), figure(h.Age, 1))
	cycle := ""
	if h.Cycle != nil {
		cycle = *h.Cycle
	}
	return append(row, cycle)
}

// figure writes a number that may be unknown.
func figure(v *float64, parts float64) string {
	if v == nil {
		return ""
	}
	return digits(roundTo(*v, parts))
}
