package flight

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"pappus/desk/papers"
	"pappus/desk/sizing"
	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
	"pappus/record"
)

// PapersOptions shape the papers.
type PapersOptions struct {
	Members  int
	Seed     uint64
	Workers  int
	System   unit.System
	Land     Land
	Beside   [][]byte // files read beside the flight and the weather: they count for the stamp
	Only     []string // names of sheets; none is all
	Progress func(done int)
}

// Papers are the sheets of a flight as data.
type Papers struct {
	Flight string           `json:"flight"`
	Stamp  papers.Stamp     `json:"stamp"`
	Sheets []papers.Sheet   `json:"sheets"`
	Seat   []papers.SeatRow `json:"seat,omitempty"`
}

// PapersOf makes the sheets. Without weather files it makes those that need none.
func PapersOf(ctx context.Context, f *record.Flight, sky Sky, o PapersOptions) (*Papers, error) {
	if err := papers.Known(o.Only...); err != nil {
		return nil, err
	}
	planned := *f
	planned.Flown = nil // what was measured on the day is for the day
	stamp, read, err := stampOf(&planned, f.Revision(), sky, o.Beside)
	if err != nil {
		return nil, err
	}
	facts := &papers.Facts{File: &planned, System: o.System, Stamp: stamp}
	if err := factsOf(ctx, facts, read, o); err != nil {
		return nil, err
	}
	sheets, err := facts.Sheets(o.Only...)
	if err != nil {
		return nil, err
	}
	return &Papers{f.Name, facts.Stamp, sheets, facts.Seat}, nil
}

// StampOf answers what sheets made now would carry, without making them.
func StampOf(f *record.Flight, sky Sky, beside [][]byte) (papers.Stamp, error) {
	stamp, _, err := stampOf(f, f.Revision(), sky, beside)
	return stamp, err
}

// stampOf reads the sky and says what the papers stand on.
func stampOf(f *record.Flight, revision record.Revision, sky Sky, beside [][]byte) (papers.Stamp, Sky, error) {
	stamp := papers.Stamp{Flight: f.Name, Revision: revision, Weather: "no forecast, standard atmosphere without wind", Inputs: "none"}
	for _, file := range sky.Files {
		beside = append(slices.Clip(beside), file.Data)
	}
	if len(beside) > 0 {
		stamp.Inputs = digest(beside)
	}
	if len(sky.Files) == 0 {
		return stamp, sky, nil
	}
	read, err := sky.Decoded(f)
	if err != nil {
		return stamp, sky, err
	}
	info := read.cube.Info()
	stamp.Weather = info.Source
	if !info.Cycle.IsZero() {
		stamp.Cycle = info.Cycle.UTC().Format("2006-01-02T15:04:05Z07:00")
		stamp.Weather = "forecast cycle " + info.Cycle.UTC().Format("2006-01-02 15:04 MST")
	}
	return stamp, read, nil
}

// digest tells sets of files apart, whatever their order and names.
func digest(files [][]byte) string {
	var sums [][]byte
	for _, data := range files {
		sum := sha256.Sum256(data)
		sums = append(sums, sum[:])
	}
	slices.SortFunc(sums, bytes.Compare)
	sum := sha256.Sum256(bytes.Join(sums, nil))
	return hex.EncodeToString(sum[:6])
}

// factsOf works out what the sheets are made from.
func factsOf(ctx context.Context, facts *papers.Facts, sky Sky, o PapersOptions) error {
	f := facts.File
	var err error
	plan := PlanOptions{Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System}
	if facts.Plan, err = Plan(ctx, f, sky, plan); err != nil {
		return err
	}
	plan.Nominal = true
	if facts.Fill, err = FillDay(ctx, f, sky, sizing.FillDay{}, plan); err != nil {
		return err
	}
	if f.Rules != "" {
		if facts.Rules, err = Rules(f, f.Rules); err != nil {
			return err
		}
	}
	if facts.Around, err = Around(f.Launch.Point, f.Launch.Time, o.Land); err != nil {
		return err
	}
	if facts.Ready, err = Ready(ctx, f, sky, ReadyOptions{System: o.System}); err != nil {
		return err
	}
	parts, setting, err := o.Land.setting(f, sky, o.System)
	if err != nil {
		return err
	}
	_, track := ensemble.Nominal(ensemble.Request{Craft: parts.Craft, Sky: setting.Sky, Ground: setting.Ground, Start: setting.Start})
	start := setting.Start.Seconds
	facts.Up, facts.Down = spots(f, track.Up, start), spots(f, track.Down, start)
	if sky.cube == nil {
		return nil
	}
	odds, err := Where(ctx, f, sky, OddsOptions{Members: o.Members, Seed: o.Seed, Workers: o.Workers, System: o.System, Land: o.Land, Progress: o.Progress})
	if err != nil {
		return err
	}
	facts.Odds = odds.Answer
	middle := geo.Point{LatDeg: odds.Answer.Landing.Median.Lat, LonDeg: odds.Answer.Landing.Median.Lon}
	if facts.Land, err = Around(middle, f.Launch.Time, o.Land); err != nil {
		return err
	}
	if facts.Plan.Burst.Alt == nil || facts.Plan.Ascent.RateBand == nil {
		return fmt.Errorf("too few flights come down for a table: more free lift makes them rise and burst")
	}
	facts.Seat = papers.Seat(parts, setting, *facts.Plan.Burst.Alt, *facts.Plan.Ascent.RateBand)
	return nil
}

// setting is the filled parts in their sky over the person's ground.
func (l Land) setting(f *record.Flight, sky Sky, system unit.System) (*sizing.Parts, sizing.Setting, error) {
	parts, err := sizing.FromFile(f)
	if err != nil {
		return nil, sizing.Setting{}, err
	}
	setting, err := settingOf(f, sky)
	if err != nil {
		return nil, setting, err
	}
	if setting.Ground, err = l.relief(setting.Ground, f.Launch.Point); err != nil {
		return nil, setting, err
	}
	return parts, setting, parts.Fill(setting, system)
}

// spots gives the rows of a way their instants.
func spots(f *record.Flight, rows []trajectory.Row, start float64) []papers.Spot {
	var way []papers.Spot
	for _, r := range rows {
		way = append(way, papers.Spot{Time: papers.Since(f.Launch.Time, r.Seconds-start), Point: r.Point(), Alt: r.Alt, Pressure: r.Pressure})
	}
	return way
}
