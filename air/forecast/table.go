package forecast

import (
	"fmt"
	"time"

	"pappus/air/sounding"
	"pappus/measure/geo"
)

// widestGap is the distance of rows from which the air between them is named as
// made up, m: the standard levels of soundings up to 10 hPa lie at most 7.2 km apart.
const widestGap = 8000.0

// loadTable makes a cube of one column from a profile table: each row a level,
// the same at every place and time. A table has no date; the launch stands in.
func loadTable(f File, want Request) (*Cube, error) {
	profile, err := sounding.Read(f.Name, f.Data)
	if err != nil {
		return nil, err
	}
	at := want.Launch
	if at.IsZero() {
		at = time.Unix(0, 0)
	}
	r := raw{
		axes: axes{lat0: want.Place.LatDeg, rows: 1, cols: 1}, times: []time.Time{at.UTC()}, members: 1,
		info: Info{Source: "profile " + f.Name, Kind: Profile, Files: []string{f.Name}},
	}
	levels := profile.Levels(want.Place.LatDeg)
	for i, level := range levels {
		if i > 0 && float64(level.Height-levels[i-1].Height) > widestGap {
			low, high := geo.Geometric(levels[i-1].Height, want.Place.LatDeg), geo.Geometric(level.Height, want.Place.LatDeg)
			r.info.Notes = append(r.info.Notes, fmt.Sprintf("the table has no row between %.0f m and %.0f m: wind and temperature are a straight line there", float64(low), float64(high)))
		}
		r.pressures = append(r.pressures, level.Pressure)
		r.geopotential = append(r.geopotential, float32(level.Height))
		r.temperature = append(r.temperature, float32(level.Temperature))
		r.east = append(r.east, float32(level.WindEast))
		r.north = append(r.north, float32(level.WindNorth))
	}
	if !profile.HasTemp {
		r.info.Notes = append(r.info.Notes, "the table gives no temperature: the standard atmosphere's stands in")
	}
	return build(r), nil
}
