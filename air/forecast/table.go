package forecast

import (
	"time"

	"pappus/air/sounding"
)

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
	for _, level := range profile.Levels(want.Place.LatDeg) {
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
