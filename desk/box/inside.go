package box

import (
	"context"
	"fmt"
	"slices"

	"pappus/desk/sizing"
	"pappus/measure/unit"
	"pappus/odds/ensemble"
	"pappus/record"
)

// box answers one box of the train.
func (j *job) box(ctx context.Context, part *record.Part) (*Box, error) {
	soak, _ := sizing.SoakOf(j.File, part)
	s, walled := shellOf(part, soak)
	v := inventoryOf(part, s, walled)
	b := &Box{Name: part.Name, Missing: missingOf(part, walled)}
	traces := make([]*trace, 0, len(j.flights))
	if walled {
		all := make([]*trace, len(j.flights))
		err := j.each(ctx, len(all), func(i int) {
			d := middleDraw()
			if i > 0 {
				d = drawOf(j.Seed, i, s.error)
			}
			own := v
			all[i] = own.fly(j.flights[i].way, &j.sky, j.clock, d, j.Room)
		})
		if err != nil {
			return nil, err
		}
		traces = all
		b.Wall = j.wall(part, &v)
		b.rows(traces, &j.clock)
		b.items(&v, traces, &j.clock)
		b.packs(&v, traces, j.flights[0].way, j.Room, j.System)
	}
	b.Energy = j.energy(&v, traces)
	b.Cards = j.cards(part)
	return b, nil
}

func missingOf(part *record.Part, walled bool) []string {
	var list []string
	if !walled {
		list = append(list, "size and wall of the box: without them no temperature is worked out")
	}
	if len(part.Items) == 0 {
		return append(list, "[[train.item]] rows: devices, cells, cards and cameras; without them the box is a dead one, without a source of heat")
	}
	for i := range part.Items {
		item := &part.Items[i]
		powered := item.Kind == "camera" || item.Kind == "logger" || item.Kind == "reporter"
		_, own := content(item)
		switch {
		case powered && !item.Power.Given:
			list = append(list, fmt.Sprintf("power of %s: its heat and its hours are not counted", item.Name))
		case item.Power.Given && item.Supply == "" && !own:
			list = append(list, fmt.Sprintf("supply of %s: it is taken to run on, and its hours are not known", item.Name))
		}
		if item.Kind == "cell" && item.Chemistry == "" {
			list = append(list, fmt.Sprintf("chemistry of %s: counted as the worst in the cold", item.Name))
		}
	}
	return list
}

// judgedFilm is the film of the figures that describe a wall alone, W/(m² K): that
// of a box in flight at about 20 km.
const judgedFilm = 4.0

func (j *job) wall(part *record.Part, v *inventory) *Wall {
	s := &v.shell
	whole := Conductance(s.wall, s.area, judgedFilm)
	w := &Wall{
		Foam: part.Wall.Foam, Thickness: s.thickness, Conductivity: s.conductive, Area: s.area, Conductance: s.wall, Error: s.error,
		Measured: s.measured, Capacity: contents(part, s.foamMass), PerWatt: 1 / whole, Absorbs: s.coat.absorbs, Emits: s.coat.emits, Finish: part.Wall.Finish,
	}
	if w.Finish == "" {
		w.Finish = "bare"
	}
	w.TimeConstant = (w.Capacity + s.foamMass*foamHeat/2) / whole
	for i := range part.Items {
		w.Load += part.Items[i].Power.Value * float64(part.Items[i].Count)
	}
	return w
}

// over gathers one figure of every drawn flight; of the middle one when none was drawn.
func over(traces []*trace, figure func(*trace) float64) *ensemble.Band {
	return bandOf(valuesOf(traces, figure))
}

func valuesOf(traces []*trace, figure func(*trace) float64) []float64 {
	if len(traces) > 1 {
		traces = traces[1:]
	}
	var values []float64
	for _, t := range traces {
		values = append(values, figure(t))
	}
	return values
}

// share is how often something holds among the drawn flights; nil when none was drawn.
func share(traces []*trace, holds func(*trace) bool) *float64 {
	if len(traces) < 2 {
		return nil
	}
	n := 0
	for _, t := range traces[1:] {
		if holds(t) {
			n++
		}
	}
	p := float64(n) / float64(len(traces)-1)
	return &p
}

func (b *Box) rows(traces []*trace, c *clock) {
	for k := range traces[0].inside {
		b.Rows = append(b.Rows, Row{
			After: c.begin + float64(k)*c.every, Alt: traces[0].alt[k], Outside: traces[0].outside[k],
			Inside: *over(traces, func(t *trace) float64 { return t.inside[k] }),
		})
	}
}

func (b *Box) items(v *inventory, traces []*trace, c *clock) {
	for i := range traces[0].bodies {
		item := Item{Name: "the rest of the box", Kind: "other"}
		var stated record.Item
		if len(v.items) == 0 {
			item.Name = "the contents"
		}
		if i < len(v.items) {
			stated = v.items[i]
			item.Name, item.Kind = stated.Name, stated.Kind
			if item.Name == "" {
				item.Name = stated.Kind
			}
		}
		item.fill(traces, i+1)
		if stated.Coldest.Given {
			item.Coldest = &stated.Coldest.Value
			item.TooCold = share(traces, func(t *trace) bool { return t.extremes[i+1].coldest < stated.Coldest.Value })
		}
		if stated.Warmest.Given {
			item.Warmest = &stated.Warmest.Value
			item.TooWarm = share(traces, func(t *trace) bool { return t.extremes[i+1].before > stated.Warmest.Value })
			item.TooWarmUp = share(traces, func(t *trace) bool { return t.extremes[i+1].warmed > stated.Warmest.Value })
		}
		for k := range traces[0].inside {
			item.Rows = append(item.Rows, ItemRow{c.begin + float64(k)*c.every, *over(traces, func(t *trace) float64 { return t.bodies[i][k] })})
		}
		b.Items = append(b.Items, item)
	}
}

// fill reads the extremes of one body off the traces.
func (t *Item) fill(traces []*trace, at int) {
	middle := traces[0].extremes[at]
	t.Before = over(traces, func(x *trace) float64 { return x.extremes[at].before })
	t.Cold, t.ColdAt = over(traces, func(x *trace) float64 { return x.extremes[at].coldest }), middle.coldestAt
	t.Warm, t.WarmAt = over(traces, func(x *trace) float64 { return x.extremes[at].warmed }), middle.warmedAt
	t.Late = over(traces, func(x *trace) float64 { return x.extremes[at].late })
}

func (b *Box) packs(v *inventory, traces []*trace, w way, room float64, system unit.System) {
	if v.pack.heat == 0 {
		return
	}
	p := w[0].pressure
	b.Packs = &Packs{
		Heat: v.pack.heat, Limit: PackLimit(v.shell.room, p, room), Oxygen: OxygenIn(v.shell.room, p, room),
		Given: over(traces, func(t *trace) float64 { return t.packHeat }),
	}
	b.Packs.Text = fmt.Sprintf("Packs of iron burn the oxygen of the box: what is in it at launch gives %s at most, what leaks in more. Above %s they give nearly nothing. They get hot in your hand and hotter in much oxygen: never against a lithium cell.",
		unit.FormatEnergy(b.Packs.Limit, unit.Metric), unit.FormatHeight(packTop, system))
}

// cards answers the room on the cards of a box.
func (j *job) cards(part *record.Part) *Cards {
	c := &Cards{}
	for i := range part.Items {
		item := &part.Items[i]
		if item.Storage.Given {
			c.Storage += item.Storage.Value * float64(item.Count)
		}
		rate := item.BitRate.Value
		if item.Every.Given && item.PictureSize.Given {
			rate += item.PictureSize.Value / item.Every.Value
		}
		if rate > 0 {
			c.Rate += rate * float64(item.Count)
			c.Cameras = append(c.Cameras, item.Name)
		}
	}
	if c.Storage == 0 || c.Rate == 0 {
		return nil
	}
	var ends []float64
	for _, f := range j.flights {
		ends = append(ends, f.way.landing())
	}
	slices.Sort(ends)
	c.Lasts = c.Storage / c.Rate
	c.Needed = j.On + ends[(len(ends)-1)*9/10]
	c.Fits = c.Lasts >= c.Needed
	word := "enough"
	if !c.Fits {
		word = "too little: the landing is not recorded"
	}
	c.Text = fmt.Sprintf("Room for %s, and %s from switching on to the landing are needed: %s. Cameras stop at limits of a file, of heat and of their own menus: record the whole span once at home.",
		unit.FormatDuration(c.Lasts), unit.FormatDuration(c.Needed), word)
	if len(c.Cameras) > 1 {
		c.Text += " All cards of the box are counted together."
	}
	return c
}

// WallMeasured is a wall's loss as worked out and as measured, W/K.
type WallMeasured struct{ Before, After float64 }

// Measured answers what a freezer soak makes of a box's wall; false where the
// file does not say the wall.
func Measured(part *record.Part, soak *sizing.Soak) (WallMeasured, bool) {
	before, ok := shellOf(part, nil)
	after, _ := shellOf(part, soak)
	return WallMeasured{before.wall, after.wall}, ok
}
