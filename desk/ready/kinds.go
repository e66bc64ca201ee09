package ready

import (
	"fmt"
	"slices"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/record"
)

// kind is one ground test: what it is, and for which part of this flight.
type kind struct {
	id       string
	also     []string // other names under which it is known
	part     string
	several  bool // more than one part of the flight has it: a test must name its part
	name     string
	how      []string
	pass     func(f *record.Flight, system unit.System) string
	write    string
	replaces string
	danger   string
	fades    bool
	finding  func(f *record.Flight, p *sizing.Parts, t *record.Test, system unit.System) (string, *Edit)
}

func words(text string) func(*record.Flight, unit.System) string {
	return func(*record.Flight, unit.System) string { return text }
}

// usualLanding is the landing speed that most aim below, m/s; common practice.
const usualLanding = 6.0

// kinds holds all tests, before they are given to parts. How they are done is
// common practice.
func kinds() []kind {
	return []kind{
		{
			id: sizing.DropTest, name: "drop test",
			how: []string{
				"weigh the whole train, or a bag of the same mass under the canopy",
				"in still air drop it from 20 m (65 ft) or more: a bridge, a tower, a crane that you may use; nobody below, one person who says stop",
				"film it beside a tape or a building of known height; time the last 10 m (33 ft), once the speed is steady",
				"do it three times; speed is way over time, and their scatter is the error",
			},
			pass: func(f *record.Flight, system unit.System) string {
				limit := usualLanding
				if f.Limits.LandingSpeed.Given {
					limit = f.Limits.LandingSpeed.Value
				}
				return fmt.Sprintf("opens each time, and falls at %s or slower", unit.FormatSpeed(limit, system))
			},
			write:    `mass, speed, error (of the speed; 2.5 % when left out), temperature of the air when it was far from usual`,
			replaces: "the canopy's drag: typical to 10 %, then to twice the error of the speed, 3 % at best; a fouled canopy stays as likely",
			danger:   "a weight that falls can kill: a clear area, a rope around it, never over people, roads or wires, and ask whose place it is",
			finding:  measuredFinding,
		},
		{
			id: sizing.ScaleCheck, name: "scale check", fades: true,
			how: []string{
				"hang a mass that you know on the scale: bottles of water, a litre to the kilogram, weighed on a shop's or a post's scale",
				"near the lift that is to be weighed, and pulling the way the balloon will pull",
				"in the cold and the warm, if the launch is in the cold",
			},
			pass:     words("within 1 % of the known mass"),
			write:    `mass (shown), reference (known), error (1 % when left out)`,
			replaces: "the doubt of the weighed lift: 5 %, of which a scale nobody checked is 4; then wind and warmth alone, 3 %, with the scale's error",
			finding:  measuredFinding,
		},
		{
			id: sizing.FreezerSoak, name: "freezer soak",
			how: []string{
				"close the box as it will fly, everything off, a thermometer in its middle and one beside it",
				"let it stand in the room, note the inside, then put it into a freezer for one and a half hours; note both again",
				"or: everything on, and wait four hours until the inside stands still: power, inside and freezer",
			},
			pass:     words("nothing inside gets below its rating in the time of the way up, and all still works at the end"),
			write:    `part, start, outside, temperature (inside at the end), time; or power, outside, temperature; error (8 % when left out)`,
			replaces: "the wall's loss, worked out from foam and thickness to 20 %, then to the error; the time constant",
			danger:   "lithium cells: not charged in the cold, and no dry ice in a closed room or box",
			finding:  soakFinding,
		},
		{
			id: sizing.CellRunDown, also: []string{"cell run down in the cold", "run-down"}, name: "cell run-down in the cold", fades: true,
			how: []string{
				"fresh cells of the batch that will fly, cold for two hours in the freezer",
				"run the real device, recording or sending, in the freezer until it stops; a power bank may switch off at a small load: look",
				"note how long, and at what temperature",
			},
			pass:     words("twice the time from switching on to the landing"),
			write:    `part (the cells), time, power, outside`,
			replaces: "the energy of the cells as printed, and what is guessed of them in the cold",
			danger:   "cells that get hot or swell go outdoors, away from everything; never charge them cold",
			finding:  runDownFinding,
		},
		{
			id: "upside down", also: []string{"reporter upside down", "reporter upside down and at range"}, name: "reporter upside down", fades: true,
			how:      []string{"closed box, outdoors, on each of its six sides for three intervals", "someone at home counts what comes in"},
			pass:     words("heard on at least five sides; know which one is deaf"),
			write:    "part",
			replaces: "one chance in six that it lies on a deaf side",
		},
		{
			id: "range", also: []string{"reporter at range", "range test"}, name: "reporter at range", fades: true,
			how:      []string{"the closed box on a hill or a roof, the receiver in the car at 10, 20 and 30 km (6, 12, 19 miles) with a clear view", "a satellite or cellular reporter: where the landing is expected, by a person who is there anyway"},
			pass:     words("heard in the car at half the distance or more that the horizon would allow; a network where it may land"),
			write:    "part, distance",
			replaces: "the horizon formula's best case near the ground",
			danger:   "the driver does not look at the receiver",
		},
		{
			id: "all on", also: []string{"everything on", "self-jamming", "jamming"}, name: "everything on, box closed, outdoors, three hours", fades: true,
			how: []string{
				"all as it will fly, switched on in the order of the day, box closed and taped, in the open, for three hours or more",
				"cameras and converters first off, then on: does the receiver lose its satellites, do positions stop?",
				"at the end: every file there, playing to its end, and the inside not hot",
			},
			pass:     words("no position lost because of a camera or converter, no device stopped, no part too hot to hold"),
			write:    "time",
			replaces: "nothing in the file: cheap cameras, switching converters and foil have deafened receivers in the same box",
			danger:   "look at the inside after half an hour: a closed box with everything on in the sun overheats lithium cells",
		},
		{
			id: "high-altitude mode", also: []string{"receiver mode", "high altitude mode read back"}, name: "high-altitude mode read back", fades: true,
			how:      []string{"switch it off and on as on the day; then ask the receiver for its mode, or let the tracker report it", "a bench cannot show 18 km: what counts is that the mode was acknowledged at this power-up"},
			pass:     words("the airborne mode is read back after a fresh power-up"),
			write:    "part",
			replaces: "nothing in the file: in their usual mode many receivers stop or freeze at 12 or 18 km",
		},
		{
			id: "clocks", also: []string{"clocks set"}, name: "clocks set", fades: true,
			how:      []string{"every camera and logger to UTC by the same clock; note the zone they show", "film that clock with each camera at the start of the test"},
			pass:     words("all within 2 s of each other"),
			write:    "by",
			replaces: "nothing in the file: a clock never set loses the review",
		},
		{
			id: "cards", also: []string{"cards written and closed"}, name: "cards written and closed", fades: true,
			how:      []string{"record for the whole span, past the camera's file limit, then pull the power as a landing would", "open every file on another machine and play its last minute"},
			pass:     words("all but the last minute is there, and the card was not full"),
			write:    "time",
			replaces: "the card's room as printed against the bit rate as printed",
		},
		{
			id: sizing.PullTest, also: []string{"weak link", "pull of the weak link"}, name: "pull test of the weak link",
			how:      []string{"hang it as it will hang, with its knots, from a beam, a scale in line, and pull with bottles of water until it parts", "five pieces of the same cord; write the middle and look at the weakest", "the lines below the canopy: twice that load, and they hold"},
			pass:     words("parts below every line under the canopy, and well above three times the train's weight"),
			write:    "part, load, error",
			replaces: "breaking_load of the line: labels, knots and jerks differ by 30 %",
			danger:   "a cord that parts whips back: glasses, and nobody in line with it",
			finding:  pullFinding,
		},
		{
			id: "dress rehearsal", also: []string{"rehearsal"}, name: "dress rehearsal", fades: true,
			how:      []string{"the whole crew, the whole list, by the clock, without gas: reporters first and outdoors, weigh, rig, cameras last, close, walk out", "the driver drives, the person at home reads positions, and one says things that go wrong"},
			pass:     words("done within the time, and nothing was looked for"),
			write:    "time, by",
			replaces: "the start within ten minutes of the plan (not narrowed by it: wind waits for nobody)",
		},
	}
}

// kindsFor gives the tests to the parts of a flight: one for each box, each cell
// pack, each reporter and each weak link that it has; none where there is none.
func kindsFor(f *record.Flight) []kind {
	var list []kind
	give := func(k kind, parts []string) {
		for _, part := range parts {
			k.part, k.several = part, len(parts) > 1
			list = append(list, k)
		}
	}
	boxes, cells, reporters, receivers, links := partsOf(f)
	for _, k := range kinds() {
		switch k.id {
		case sizing.FreezerSoak:
			give(k, boxes)
		case sizing.CellRunDown:
			give(k, cells)
		case "upside down", "range":
			give(k, reporters)
		case "high-altitude mode":
			give(k, receivers)
		case sizing.PullTest:
			give(k, links)
		default:
			list = append(list, k)
		}
	}
	return list
}

func partsOf(f *record.Flight) (boxes, cells, reporters, receivers, links []string) {
	canopy := slices.IndexFunc(f.Train, func(p record.Part) bool { return p.Kind == record.Parachute })
	for i := range f.Train {
		p := &f.Train[i]
		if (p.Kind == record.Line || p.Kind == record.Other) && i < canopy && p.BreakingLoad.Given {
			links = append(links, p.Name)
		}
		if p.Kind != record.Box {
			continue
		}
		boxes = append(boxes, p.Name)
		for k := range p.Items {
			if item := &p.Items[k]; item.Kind == "cell" {
				cells = append(cells, item.Name)
			}
		}
	}
	for i := range f.Reporters {
		r := &f.Reporters[i]
		reporters = append(reporters, r.Name)
		if r.Kind != "cellular" {
			receivers = append(receivers, r.Name)
		}
	}
	if len(links) == 0 { // the test is wanted all the more
		links = []string{""}
	}
	return boxes, cells, reporters, receivers, links
}
