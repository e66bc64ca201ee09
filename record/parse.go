package record

import (
	"slices"
	"strings"

	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/liftgas"
	"pappus/measure/unit"
)

// Parse reads a flight file. The name stands in the faults. A non-nil error is
// Faults: everything the person must change, one line each.
func Parse(name string, data []byte) (*Flight, error) {
	d := readDocument(name, data)
	if d.starts == nil {
		return nil, d.faults
	}
	f := d.flight()
	if len(d.faults) > 0 {
		return nil, d.faults.sorted(d.untold)
	}
	f.settle()
	return f, nil
}

func (d *document) flight() *Flight {
	f := &Flight{Format: Format}
	d.table(d.root, f.fields(), "launch", "envelope", "gas", "cylinder", "train", "reporter", "site", "limits", "contact", "remains", "test", "spare", "cost", "recovery", "flown")
	d.single("launch", true, f.Launch.fields())
	d.envelope(&f.Envelope)
	d.single("gas", true, f.Gas.fields())
	d.single("limits", false, f.Limits.fields())
	d.single("remains", false, f.Remains.fields())
	d.single("cost", false, f.Cost.fields())
	d.single("recovery", false, f.Recovery.fields())
	if _, there := d.root.values["flown"]; there {
		f.Flown = &Flown{}
		d.single("flown", false, f.Flown.fields())
	}
	for _, t := range d.rows(d.root, "cylinder") {
		c := Cylinder{Count: 1, Line: t.line}
		d.table(t, c.fields())
		d.cylinder(t)
		f.Cylinders = append(f.Cylinders, c)
	}
	unsure := false
	for _, t := range d.rows(d.root, "train") {
		p, known := d.part(t)
		f.Train = append(f.Train, p)
		unsure = unsure || !known
	}
	if !unsure {
		d.complete(f)
	}
	d.reporters(f)
	for _, t := range d.rows(d.root, "site") {
		s := Site{Line: t.line}
		d.table(t, s.fields())
		f.Sites = append(f.Sites, s)
	}
	for _, t := range d.rows(d.root, "spare") {
		s := Spare{Count: 1, Line: t.line}
		d.table(t, s.fields())
		f.Spares = append(f.Spares, s)
	}
	for _, t := range d.rows(d.root, "contact") {
		c := Contact{Line: t.line}
		d.table(t, c.fields())
		f.Contacts = append(f.Contacts, c)
	}
	for _, t := range d.rows(d.root, "test") {
		g := Test{Line: t.line}
		d.table(t, g.fields())
		f.Tests = append(f.Tests, g)
	}
	return f
}

// single reads a table that a file has at most once.
func (d *document) single(key string, required bool, fields []field) *table {
	v, there := d.root.values[key]
	switch {
	case !there && required:
		var missing []string
		for _, f := range fields {
			if f.required {
				missing = append(missing, f.key)
			}
		}
		d.fault(d.lastLine(), key, "missing: expected a table [%s] with %s", key, strings.Join(missing, ", "))
	case !there || v.kind == isBroken:
	case v.kind == isRows:
		d.fault(v.line, key, "expected [%s] in single brackets, since a flight has only one", key)
	case v.kind != isTable:
		d.fault(v.line, key, "expected a table [%s], not %s", key, v.what())
	default:
		d.table(v.table, fields)
		return v.table
	}
	return nil
}

// rows answers the tables of an array of tables, written with double brackets or
// as a list of { } tables.
func (d *document) rows(t *table, key string) []*table {
	v, there := t.values[key]
	switch {
	case !there || v.kind == isBroken:
		return nil
	case v.kind == isRows:
		return v.rows
	case v.kind == isList && !slices.ContainsFunc(v.items, func(item *value) bool { return item.kind != isTable }):
		rows := make([]*table, len(v.items))
		for i, item := range v.items {
			rows[i] = item.table
		}
		return rows
	}
	d.fault(v.line, v.path, "expected [[%s]] in double brackets, since there can be several", t.pathTo(key))
	return nil
}

func (d *document) envelope(e *Envelope) {
	t := d.single("envelope", true, e.fields())
	if t == nil || e.Mass == 0 || !e.BurstDiameter.Given {
		return
	}
	if rest := envelope.RestDiameter(e.Mass); e.BurstDiameter.Value <= rest {
		v := t.values["burst_diameter"]
		d.fault(v.line, v.path, "impossible: an envelope of this mass is about %s wide before it stretches; expected more",
			unit.FormatLength(rest, unit.Metric))
	}
}

// has says whether a key stands in a table, be its value good or not.
func (t *table) has(key string) bool {
	_, there := t.values[key]
	return there
}

func (d *document) cylinder(t *table) {
	const expected = `expected either content = "291 ft3", or water_volume = "49 L" with pressure = "2640 psi"`
	content, water, pressure := t.has("content"), t.has("water_volume"), t.has("pressure")
	switch {
	case content && (water || pressure):
		d.fault(t.line, t.path, "content stands beside water_volume or pressure: %s", expected)
	case !content && !water && !pressure:
		d.fault(t.line, t.path, "nothing says what it holds: %s", expected)
	case !content && !water:
		d.fault(t.line, t.pathTo("water_volume"), "missing beside pressure: %s", expected)
	case !content && !pressure:
		d.fault(t.line, t.pathTo("pressure"), "missing beside water_volume: %s", expected)
	case content && t.has("temperature"):
		d.fault(t.values["temperature"].line, t.pathTo("temperature"), "belongs to a pressure: content is stated at 70 F")
	}
}

// part reads one part of the train: first its kind, then the keys of that kind.
// It reports false where the kind could not be read, so that no other key can be
// judged.
func (d *document) part(t *table) (Part, bool) {
	p := Part{Line: t.line}
	kind, there := t.values["part"]
	if !there || kind.kind == isBroken || partField(&p.Kind).read(kind) != nil {
		d.table(&table{path: t.path, line: t.line, values: t.values}, []field{partField(&p.Kind)})
		return p, false
	}
	if p.Kind == Box {
		d.table(t, p.fields(), "item")
		for _, row := range d.rows(t, "item") {
			i := Item{Count: 1, Line: row.line}
			d.table(row, i.fields())
			p.Items = append(p.Items, i)
		}
		d.supplies(p.Items, t)
	} else {
		if item, there := t.values["item"]; there {
			d.fault(item.line, t.pathTo("item"), "items go into a box: expected [[train.item]] below a part that is a box, not a %s", p.Kind)
		}
		d.table(t.without("item"), p.fields())
	}
	switch p.Kind {
	case Box:
		if !t.has("mass") && !t.has("item") {
			d.fault(t.line, t.pathTo("mass"), `missing: expected the mass of the box with everything in it, such as "1350 g", or [[train.item]] rows below it`)
		}
	case Parachute:
		d.canopy(t)
	}
	return p, true
}

// without is the table less one key that was told already.
func (t *table) without(key string) *table {
	if !t.has(key) {
		return t
	}
	rest := &table{path: t.path, line: t.line, values: t.values}
	for _, k := range t.keys {
		if k != key {
			rest.keys = append(rest.keys, k)
		}
	}
	return rest
}

func (d *document) canopy(t *table) {
	const expected = `expected either diameter = "1.5 m", laid flat, or rated = { mass = "2 kg", speed = "5 m/s" }`
	diameter, rated := t.has("diameter"), t.has("rated")
	switch {
	case diameter && rated:
		d.fault(t.line, t.path, "diameter stands beside rated: %s", expected)
	case !diameter && !rated:
		d.fault(t.line, t.pathTo("diameter"), "missing: %s", expected)
	case rated && t.has("drag"):
		d.fault(t.values["drag"].line, t.pathTo("drag"), "belongs to a diameter: a rating holds the drag already")
	}
}

// supplies checks that what feeds an item is in the same box.
func (d *document) supplies(items []Item, t *table) {
	rows := d.rows(t, "item")
	names := map[string]bool{}
	for _, item := range items {
		names[item.Name] = true
	}
	for i, item := range items {
		v, there := rows[i].values["supply"]
		if there && item.Supply != "" && !names[item.Supply] {
			d.fault(v.line, v.path, "no item in this box is named %q: expected the name of the cells that feed it", excerpt(item.Supply))
		}
	}
}

// complete tells what no flight can do without.
func (d *document) complete(f *Flight) {
	v, there := d.root.values["train"]
	if there && v.kind != isRows && v.kind != isList {
		return // told already, or broken
	}
	for _, need := range []PartKind{Parachute, Box} {
		if !slices.ContainsFunc(f.Train, func(p Part) bool { return p.Kind == need }) {
			d.fault(d.lastLine(), "train", `missing: expected a [[train]] with part = "%s"`, need)
		}
	}
}

// reporters reads them and keeps their names apart, since positions are told by name.
func (d *document) reporters(f *Flight) {
	first := map[string]int{}
	for _, t := range d.rows(d.root, "reporter") {
		r := Reporter{Line: t.line}
		d.table(t, r.fields())
		if line, taken := first[r.Name]; taken && r.Name != "" {
			d.fault(t.values["name"].line, t.pathTo("name"), "the reporter of line %d has the same name: expected one of its own", line)
		} else {
			first[r.Name] = t.line
		}
		f.Reporters = append(f.Reporters, r)
	}
}

// Defaults of a flight file.
const (
	defaultBurstSpread = 0.06 // judgement: common practice is 5 to 8 %
	defaultRemainsLow  = 0.10 // judgement
	defaultRemains     = 0.30 // judgement
	defaultRemainsHigh = 0.90 // judgement
)

// settle fills in the defaults of what was not given.
func (f *Flight) settle() {
	e := &f.Envelope
	e.BurstDiameter.settle(envelope.TypicalBurstDiameter(e.Mass))
	e.BurstSpread.settle(defaultBurstSpread)
	if !e.Drag.Given {
		e.Drag.Varying = true
	}
	f.Gas.Purity.settle(1)
	for i := range f.Cylinders {
		if c := &f.Cylinders[i]; !c.Content.Given {
			c.Temperature.settle(liftgas.StandardTemperature)
		}
	}
	for i := range f.Train {
		if f.Train[i].Kind == Parachute {
			f.Train[i].Canopy.settle()
		}
	}
	for i := range f.Reporters {
		if r := &f.Reporters[i]; !r.HeightReported.Given {
			r.HeightReported.Value = r.Kind == "radio"
		}
	}
	if !f.Remains.Given {
		f.Remains.Low, f.Remains.Centre, f.Remains.High = defaultRemainsLow, defaultRemains, defaultRemainsHigh
	}
}

func (c *Canopy) settle() {
	kind := canopy.FlatCircular()
	if c.KindGiven {
		// Parse took only names that are known.
		if known, err := canopy.ByName(c.Kind); err == nil {
			kind = known
		}
	}
	c.Kind = kind.Name
	if !c.Rated.Given {
		c.Drag.settle(kind.Drag())
	}
}
