package cli

import (
	"context"
	"errors"

	"pappus/desk/box"
	"pappus/flight"
	"pappus/measure/unit"
	"pappus/record"
)

var boxCommand = command{
	name: "box", operands: "FILE",
	summary: "the box along the flight: warm, powered, recording, heard, and what its camera sees",
	text: "From packing to hours after the landing. Size, wall and [[train.item]] rows of the file say what it is; what is missing is named and not invented. " +
		"Radio is heard from the launch place, from a car (--car-near), or by a relay (--relay); smooth ground is assumed.",
	options: []option{weatherOption, membersOption(200), seedOption, nominalOption,
		{"pad", isValue, "TIME", "before the release at which the closed box is set out (default 1 h)"},
		{"on", isValue, "TIME", "before the release at which everything is switched on (default 30 min)"},
		{"after", isValue, "TIME", "after the landing that is looked at (default 4 h, at most 48 h)"},
		{"packed-at", isValue, "TEMPERATURE", "where the box was packed (default 20 degC)"},
		{"mast", isValue, "HEIGHT", "the antenna that listens at the launch place (default 2 m)"},
		{"car-near", isValue, "DISTANCE", "from the landing place to where the chase car waits (default: no car is there)"},
		{"relay", isValue, "DISTANCE", "over the ground to the nearest relay station (default: none)"},
		{"why", isWords, "KEY…", "say where figures come from: keys such as boxes[1].wall.conductance_w_per_k, a group such as views[1], or all"},
	},
	example: "pappus box flight.toml --pad \"90 min\" --car-near \"20 km\"",
	run:     runBox,
}

// mostBoxMembers bounds the memory: the way of each flight is kept, a tenth of a
// megabyte.
const mostBoxMembers = 2000

func runBox(ctx context.Context, d *Desk, a *arguments) error {
	path, err := a.operand("flight file")
	if err != nil {
		return err
	}
	f, err := readFlight(path)
	if err != nil {
		return err
	}
	system, err := a.system(unitsOf(f))
	if err != nil {
		return err
	}
	o := flight.UsualBoxOptions()
	if o.Members, o.Seed, err = a.draw(o.Members); err != nil {
		return err
	}
	if o.Members > mostBoxMembers {
		return usage("--members: %d ways of a box are more than are kept in memory: at most %d", o.Members, mostBoxMembers)
	}
	if a.has("nominal-only") {
		o.Members = 0
	}
	o.Workers, o.System, o.Why = d.Workers, system, a.flags["why"]
	if err := a.boxDay(&o); err != nil {
		return err
	}
	files, err := readWeather(a.flags["weather"])
	if err != nil {
		return err
	}
	answer, err := flight.AlongBox(ctx, f, flight.Sky{Files: files, Workers: d.Workers}, o)
	var unknown *box.UnknownReason
	if errors.As(err, &unknown) {
		return usage("--why: %v", err)
	}
	if err != nil {
		return err
	}
	if a.has("json") {
		return d.printJSON(answer)
	}
	return d.print(boxPage(answer, system))
}

// boxDay reads the launch day and who listens.
func (a *arguments) boxDay(o *flight.BoxOptions) error {
	var mast, room record.Quantity
	pad, on, after := record.Quantity{Value: o.Pad}, record.Quantity{Value: o.On}, record.Quantity{Value: o.After}
	for _, q := range []struct {
		name      string
		kind      unit.Kind
		into      *record.Quantity
		low, high float64
	}{
		{"pad", unit.Time, &pad, 0, unit.Day}, {"on", unit.Time, &on, 0, unit.Day}, {"after", unit.Time, &after, 0, box.MostAfter},
		{"packed-at", unit.Temperature, &room, 200, 340}, {"mast", unit.Length, &mast, 0, 1000},
		{"car-near", unit.Length, &o.Listen.Near, 0, 2e6}, {"relay", unit.Length, &o.Listen.Relay, 0, 2e6},
	} {
		if err := a.quantity(q.name, q.kind, q.into); err != nil {
			return err
		}
		if q.into.Given && (q.into.Value < q.low || q.into.Value > q.high) {
			return usage("--%s: %q is beyond what can be: expected %g to %g in SI units", q.name, a.last(q.name, ""), q.low, q.high)
		}
	}
	if on.Value > pad.Value && !on.Given { // a pad shorter than the usual switching on
		on.Value = pad.Value
	}
	if on.Value > pad.Value {
		return usage("--on %s is before --pad: the box is looked at from when it is set out", a.last("on", ""))
	}
	o.Pad, o.On, o.After = pad.Value, on.Value, after.Value
	if room.Given {
		o.Room = room.Value
	}
	if mast.Given {
		o.Listen.Mast = mast.Value
	}
	return nil
}
