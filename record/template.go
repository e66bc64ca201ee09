package record

import (
	"fmt"
	"strings"
	"time"

	"pappus/craft/liftgas"
	"pappus/measure/geo"
	"pappus/measure/unit"
)

// TemplateKinds lists the starting files there are.
func TemplateKinds() []string { return []string{"first", "heavy", "school"} }

// Template writes a commented starting file: "first" is a first small flight,
// "heavy" one heavy single box of 7.5 lb, "school" a school flight with two
// boxes. Places and parts are invented.
func Template(kind string) ([]byte, error) {
	var f *Flight
	var opening string
	switch kind {
	case "first":
		f, opening = firstFlight(), "A first small flight: one light box with a camera."
	case "heavy":
		f, opening = heavyFlight(), "One heavy single box of 7.5 lb."
	case "school":
		f, opening = schoolFlight(), "A school flight with two boxes."
	default:
		return nil, fmt.Errorf("no starting file is named %q: expected one of %s", kind, strings.Join(TemplateKinds(), ", "))
	}
	return []byte("# " + opening + templateOpening + string(f.Encode()) + templateClosing), nil
}

const templateOpening = `
# Everything here is invented: put your own numbers in place of these, above all
# the launch and the masses from your own scale.
#
# A quantity stands in quotes with its unit: "1200 g", "4 lb", "8.3 m", "291 ft3".
# A bare number is in SI units (kg, m, s, N, Pa, K). Places are in degrees, east
# and north positive. Zero is a value; a key left out takes its default.
# A line that begins with # is a comment. A key named note may stand in any table
# and is kept when the program rewrites the file; comments are not.
# Check local rules before you fly, and ask the authority: this file is no permit.

`

const templateClosing = `
# More tables, when you need them: take the # away.
#
# [[site]]                          # another place to launch from, as often as needed
# name = "North pasture"
# latitude = 40.2
# longitude = -99.4
# elevation = "640 m"
#
# [limits]                          # your own thresholds for going
# launch_wind = "5 m/s"
# water = "5 %"
# daylight = "3 h"                  # left after the landing
#
# [[contact]]                       # whom to call
# name = "Chase car"
# role = "recovery"
# phone = "000 000"
#
# [remains]                         # what stays of the envelope on the cord after the burst
# share = "10 % to 90 %"
#
# [[test]]                          # a ground test that was done
# what = "drop"
# date = "2027-03-02"
# result = "pass"
# speed = "5.1 m/s"                 # measured
#
# [[spare]]                         # what is bought twice
# name = "envelope"
# price = 120
#
# [cost]                            # what is paid beside the parts
# travel = 80
#
# [recovery]                        # your own judgement of getting the box back
# label = "20 %"
#
# [flown]                           # after the flight: as flown
# time = 2027-04-17T08:12:00-05:00
# neck_lift = "1500 g"
`

func launchAt(place string, latDeg, lonDeg float64, elevation geo.AltMSL, year int, month time.Month, day int) Launch {
	return Launch{
		Place:     place,
		Point:     geo.Point{LatDeg: latDeg, LonDeg: lonDeg},
		Elevation: elevation,
		Time:      time.Date(year, month, day, 8, 0, 0, 0, time.FixedZone("", -5*unit.Hour)),
	}
}

func line(name string, length, mass, breakingLoad float64) Part {
	return Part{Kind: Line, Name: name, Length: Given(length), Mass: Given(mass), BreakingLoad: Given(breakingLoad)}
}

func parachute(diameter, mass float64) Part {
	return Part{Kind: Parachute, Mass: Given(mass), Canopy: Canopy{Kind: "flat circular", KindGiven: true, Diameter: Given(diameter)}}
}

func satelliteMessenger() Reporter {
	return Reporter{Name: "messenger", Kind: "satellite", Every: Given(10 * unit.Minute), Delay: Given(3 * unit.Minute),
		HeightReported: Flag{false, true}, Ceiling: Ceiling{Given: true}}
}

// weakLink is the line that is to part first. It stands above the parachute.
func weakLink(length, mass, breakingLoad float64) Part {
	link := line("weak link", length, mass, breakingLoad)
	link.Note = "parts before any other line; it stands above the parachute, never below"
	return link
}

// stated reads an invented quantity as a person writes it, so that it is written
// back in the same words.
func stated(text string, kind unit.Kind) Quantity {
	value, err := unit.Parse(text, kind)
	if err != nil {
		panic("record: a starting file says " + err.Error())
	}
	return Given(value)
}

func firstFlight() *Flight {
	return &Flight{
		Format: Format, Name: "Little Wren 1", Rules: "US", Currency: "USD",
		Launch: launchAt("Harlan field", 40.0961, -99.2094, 610, 2027, time.April, 17),
		Envelope: Envelope{Mass: 600 * unit.Gram, BurstSpread: Given(0.06),
			Drag: Drag{Varying: true, Given: true}, Made: YearMonth{2026, time.September}},
		Gas:       Gas{Kind: liftgas.Helium, Purity: Given(0.97), Fill: Fill{FreeLift, 1000 * unit.Gram}},
		Cylinders: []Cylinder{{Content: stated("137 ft3", unit.Volume), Count: 1, Price: Given(190)}},
		Train: []Part{
			weakLink(1.5, 0.004, 100),
			parachute(1.1, 0.085),
			line("", 2, 0.006, 350),
			{Kind: Reflector, Mass: Given(0.050)},
			line("", 4, 0.010, 350),
			{Kind: Box, Name: "camera box", Mass: Given(0.700), Size: Size{[3]float64{0.20, 0.15, 0.15}, true},
				Wall: Wall{Foam: "XPS", Thickness: Given(20 * unit.Millimetre)}},
		},
		Reporters: []Reporter{satelliteMessenger()},
	}
}

func heavyFlight() *Flight {
	return &Flight{
		Format: Format, Name: "Broad Heron 1", Rules: "US", Currency: "USD",
		Launch: launchAt("Tillman quarry", 41.5125, -98.3750, 580, 2027, time.May, 8),
		Envelope: Envelope{Mass: 1500 * unit.Gram, BurstSpread: Given(0.06),
			Drag: Drag{Varying: true, Given: true}, Made: YearMonth{2026, time.November}},
		Gas:       Gas{Kind: liftgas.Helium, Purity: Given(0.98), Fill: Fill{FreeLift, 1900 * unit.Gram}},
		Cylinders: []Cylinder{{WaterVolume: stated("49 L", unit.Volume), Pressure: stated("2640 psi", unit.Pressure), Count: 1, Price: Given(340)}},
		Train: []Part{
			weakLink(2, 0.006, 150),
			parachute(2.1, 0.320),
			line("", 3, 0.012, 900),
			{Kind: Reflector, Mass: Given(0.070)},
			line("", 6, 0.024, 900),
			{Kind: Box, Name: "instrument box", Mass: stated("7.5 lb", unit.Mass), Size: Size{[3]float64{0.30, 0.30, 0.30}, true},
				Wall: Wall{Foam: "XPS", Thickness: Given(30 * unit.Millimetre)}},
		},
		Reporters: []Reporter{
			satelliteMessenger(),
			{Name: "beacon", Kind: "radio", Every: Given(1 * unit.Minute), Delay: Given(0), HeightReported: Flag{true, true}, Ceiling: Ceiling{Given: true}},
		},
	}
}

func schoolFlight() *Flight {
	cells := Item{Name: "camera cells", Kind: "cell", Mass: 0.015, Count: 4, Capacity: Given(3 * unit.AmpereHour), Voltage: Given(1.5), Chemistry: "lithium iron disulfide"}
	return &Flight{
		Format: Format, Name: "Marsh Finch 3", Rules: "US", Currency: "USD",
		Launch: launchAt("Corley school yard", 39.4500, -97.1200, 430, 2027, time.May, 22),
		Envelope: Envelope{Mass: 1000 * unit.Gram, BurstSpread: Given(0.06),
			Drag: Drag{Varying: true, Given: true}, Made: YearMonth{2027, time.January}},
		Gas:       Gas{Kind: liftgas.Helium, Purity: Given(0.97), Fill: Fill{AscentRate, 5}},
		Cylinders: []Cylinder{{Content: stated("219 ft3", unit.Volume), Count: 1, Price: Given(260)}},
		Train: []Part{
			weakLink(1.5, 0.004, 120),
			parachute(1.3, 0.130),
			line("", 2, 0.008, 450),
			{Kind: Reflector, Mass: Given(0.060)},
			line("", 4, 0.012, 450),
			{Kind: Box, Name: "camera box", Mass: Given(0.210), Size: Size{[3]float64{0.20, 0.20, 0.20}, true},
				Wall: Wall{Foam: "XPS", Thickness: Given(25 * unit.Millimetre)},
				Items: []Item{
					{Name: "camera", Kind: "camera", Mass: 0.120, Count: 1, Price: Given(90), Power: Given(2.5), Supply: "camera cells",
						FieldOfView: stated("90 deg", unit.Angle), Lens: "rectilinear", BitRate: Given(30e6 / 8)},
					cells,
					{Name: "card", Kind: "card", Mass: 0.001, Count: 1, Storage: Given(64e9)},
					{Name: "messenger", Kind: "reporter", Mass: 0.110, Count: 1, Price: Given(150)},
				}},
			line("", 3, 0.010, 450),
			{Kind: Box, Name: "class box", Mass: Given(0.450), Size: Size{[3]float64{0.18, 0.18, 0.15}, true},
				Wall: Wall{Foam: "EPS", Thickness: Given(25 * unit.Millimetre)}},
		},
		Reporters: []Reporter{satelliteMessenger()},
	}
}
