// Package gpsd reads what the daemon of that name says of a receiver: one JSON object a
// line [GPSDJSON].
package gpsd

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"pappus/measure/geo"
	"pappus/signal/fix"
)

// Watch is the line to send to be told of every fix.
const Watch = `?WATCH={"enable":true,"json":true}` + "\n"

// Longest is how many bytes a line has at most [GPSDJSON].
const Longest = 10240

// tpv holds the members of a time-position-velocity object that are used here. Only the
// class and the mode are always there.
type tpv struct {
	Class    string   `json:"class"`
	Device   string   `json:"device"`
	Mode     *int     `json:"mode"`
	Status   *int     `json:"status"`
	Time     *string  `json:"time"`
	Lat      *float64 `json:"lat"`
	Lon      *float64 `json:"lon"`
	AltMSL   *float64 `json:"altMSL"`
	AltHAE   *float64 `json:"altHAE"`
	Alt      *float64 `json:"alt"`
	GeoidSep *float64 `json:"geoidSep"`
	Speed    *float64 `json:"speed"`
	Track    *float64 `json:"track"`
	Climb    *float64 `json:"climb"`
	EPH      *float64 `json:"eph"`
	EPV      *float64 `json:"epv"`
	Message  string   `json:"message"` // of an ERROR
}

// Line reads one line. Objects of other classes are no report and no fault.
func Line(line []byte, source string, received time.Time) (report fix.Report, ready bool, err error) {
	if len(line) > Longest {
		return fix.Report{}, false, fmt.Errorf("gpsd: a line of %d bytes, at most %d are allowed", len(line), Longest)
	}
	var v tpv
	if err := json.Unmarshal(line, &v); err != nil {
		return fix.Report{}, false, fmt.Errorf("gpsd: the line is no JSON object as expected: %w", err)
	}
	switch v.Class {
	case "":
		return fix.Report{}, false, errors.New("gpsd: the object names no class")
	case "ERROR":
		return fix.Report{}, false, fmt.Errorf("gpsd answered with an error: %.200q", v.Message)
	case "TPV":
	default:
		return fix.Report{}, false, nil
	}
	if v.Mode == nil {
		return fix.Report{}, false, errors.New("gpsd: a TPV object without mode")
	}
	r := fix.Report{Source: source, Station: v.Device, Raw: string(line), Received: received}
	if v.Time != nil {
		t, err := time.Parse(time.RFC3339Nano, *v.Time)
		if err != nil {
			return fix.Report{}, false, fmt.Errorf("gpsd: time is %.40q, expected 2027-04-17T13:00:00.000Z", *v.Time)
		}
		r.Time, r.TimeKind = t.UTC(), fix.Told
	}
	if v.Lat != nil && v.Lon != nil {
		if r.Place, err = geo.NewPoint(*v.Lat, *v.Lon); err != nil {
			return fix.Report{}, false, fmt.Errorf("gpsd: %w", err)
		}
		r.HasPlace = true
	}
	v.quality(&r)
	v.motion(&r)
	return r, true, nil
}

// quality takes the mode: 0 not seen yet, 1 none, 2 in the plane, 3 in space; and the
// status, by which 6 is dead reckoning and 8 a simulator.
func (v tpv) quality(r *fix.Report) {
	switch *v.Mode {
	case 2:
		r.Quality.Mode = fix.Flat
	case 3:
		r.Quality.Mode = fix.Full
		v.height(r)
	default:
		r.Quality.Mode = fix.NoFix
	}
	if v.Status != nil && r.Quality.Mode != fix.NoFix {
		switch *v.Status {
		case 5, 6:
			r.Quality.Mode = fix.Estimated
		case 8:
			r.Quality.Mode = fix.Simulated
		}
	}
	r.Expected = fix.Expected{Across: fix.AcrossUsual, Up: fix.UpUsual, Time: 0.5}
	// Its errors are meant to hold 95 %: about two standard deviations; across, 2.45 of one
	// of the two directions.
	if v.EPH != nil && *v.EPH > 0 {
		r.Expected.Across = math.Max(1, *v.EPH/2.45)
	}
	if v.EPV != nil && *v.EPV > 0 {
		r.Expected.Up = math.Max(1, *v.EPV/1.96)
	}
}

func (v tpv) height(r *fix.Report) {
	separation := known(v.GeoidSep)
	switch {
	case v.AltMSL != nil:
		if v.AltHAE != nil {
			separation = fix.Known(*v.AltHAE - *v.AltMSL)
		}
		r.Height = fix.Height{Metres: *v.AltMSL, Kind: fix.AboveSea, Separation: separation}
	case v.AltHAE != nil:
		r.Height = fix.Height{Metres: *v.AltHAE, Kind: fix.AboveEllipsoid, Separation: separation}
	case v.Alt != nil:
		r.Height = fix.Height{Metres: *v.Alt, Kind: fix.Unsaid, Separation: separation}
		r.Assumed = append(r.Assumed, "an older daemon does not say from what its height is counted: above sea was taken")
	}
}

func (v tpv) motion(r *fix.Report) {
	r.Speed, r.CourseDeg, r.Climb = known(v.Speed), known(v.Track), known(v.Climb)
}

func known(v *float64) fix.Figure {
	if v == nil {
		return fix.Figure{}
	}
	return fix.Known(*v)
}
