package sizing

import (
	"context"
	"fmt"
	"math"

	"pappus/craft/envelope"
	"pappus/measure/unit"
	"pappus/record"
)

// Sketch is the answer to a goal: flights that meet it, best first, or by how
// much it is missed and what would help.
type Sketch struct {
	Goal       string      `json:"goal"`
	Possible   bool        `json:"possible"`
	Text       string      `json:"text"`
	Options    []Option    `json:"options"`
	Refused    []Refusal   `json:"refused"`
	Shortfalls []Shortfall `json:"shortfalls,omitempty"`
	Helps      []Help      `json:"helps,omitempty"` // each alone would make it possible; the first is the smallest step
	Left       *Left       `json:"left,omitempty"`
	Notes      []string    `json:"notes"`
}

// Option is one flight that meets the goal, as plan flies it.
type Option struct {
	Rank     int      `json:"rank"`
	Envelope float64  `json:"envelope_kg"`
	BurstAt  float64  `json:"burst_diameter_m"`
	Canopy   float64  `json:"canopy_diameter_m"`
	Train    float64  `json:"train_kg"`
	Flight   Outlook  `json:"flight"`
	GasUsed  *float64 `json:"gas_used_share,omitempty"` // of what is at hand
	Chance   *float64 `json:"height_chance,omitempty"`  // of reaching the height wished
	Binds    string   `json:"binds"`
	Trades   []string `json:"trades"`
	Cost     Cost     `json:"cost"`

	file *record.Flight
}

// File answers the option as a flight file.
func (o *Option) File() *record.Flight { return o.file }

// Refusal is one envelope that does not do, and why.
type Refusal struct {
	Envelope float64 `json:"envelope_kg"`
	Binds    string  `json:"binds"`
	Text     string  `json:"text"`
}

// most is how many options are answered.
const most = 5

// Work looks for flights that meet the goal.
func (g *Goal) Work(ctx context.Context, system unit.System) (*Sketch, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	answer := &Sketch{Goal: g.wishes(system), Options: []Option{}, Refused: []Refusal{}, Notes: g.notes(system)}
	found := g.search()
	for i := range found {
		c := &found[i]
		if !c.workable {
			answer.Refused = append(answer.Refused, Refusal{c.parts.Craft.EnvelopeMass, string(c.binds), g.refusal(c, system)})
			continue
		}
		if len(answer.Options) == most {
			continue
		}
		option, err := g.option(ctx, c, len(answer.Options)+1, system)
		if err != nil {
			return nil, err
		}
		answer.Options = append(answer.Options, option)
	}
	answer.Possible = len(answer.Options) > 0
	if !answer.Possible {
		g.explain(ctx, answer, found, system)
		return answer, ctx.Err()
	}
	for i := range answer.Options {
		answer.Options[i].Trades = g.trades(answer.Options, i, system)
	}
	first := answer.Options[0]
	answer.Text = fmt.Sprintf("Yes: %d of %d usual envelopes do it; first an envelope of %s with %s of free lift under a canopy of %s.",
		len(found)-len(answer.Refused), len(found), grams(first.Envelope), unit.FormatMass(first.Flight.Free, system), unit.FormatLength(first.Canopy, system))
	return answer, nil
}

// check refuses goals that no search makes sense of.
func (g *Goal) check() error {
	switch {
	case !(g.Box > 0 && g.Box <= 50):
		return fmt.Errorf("box: expected the mass of the box with everything in it, above 0 and at most 50 kg")
	case !(g.Gas.Purity > 0 && g.Gas.Purity <= 1):
		return fmt.Errorf("purity: expected a share above 0 %%, at most 100 %%")
	case g.landing() < 1 || g.landing() > 30:
		return fmt.Errorf("landing: expected a speed from 1 to 30 m/s")
	case g.Above.Given && (g.Above.Value <= float64(g.Elevation) || g.Above.Value > 60e3):
		return fmt.Errorf("above: expected a height above the launch, at most 60 km")
	case g.Aloft.Given && !(g.Aloft.Value > 0 && g.Aloft.Value <= mostAloft):
		return fmt.Errorf("aloft: expected a time above 0, at most %s", unit.FormatDuration(mostAloft))
	case g.Money.Given && g.Money.Value < 0:
		return fmt.Errorf("money: expected 0 or more")
	}
	return nil
}

func (g *Goal) notes(system unit.System) []string {
	notes := []string{
		"burst sizes are typical for an envelope's mass (WMO-No. 8, from memory); makes differ by 15 %: put the data sheet's into the file",
		fmt.Sprintf("beside box and canopy %.0f g are counted for cord, link and reflector, and %.0f g of cloth and line for each square metre of canopy (judgement): weigh yours", rigMass()/unit.Gram, canopyCloth/unit.Gram),
		fmt.Sprintf("rises from %s to %s are looked at: slower ones may float away, faster ones waste gas and height", unit.FormatRate(soundRise, system), unit.FormatRate(usualRise, system)),
		"where it comes down, and whether it may fly, are other questions: pappus odds, pappus rules",
	}
	switch {
	case g.Money.Given && !g.Prices.any():
		notes = append(notes, "no price was given, so money cannot bind: add --price for what you know")
	case g.Money.Given:
		notes = append(notes, "money is counted from your own prices alone; what has none is named and not counted")
	}
	if len(g.Cylinders) == 0 {
		notes = append(notes, "no cylinder was named, so gas does not bind")
	}
	return notes
}

// option writes the candidate as a flight file and flies that, so that what is
// answered is what plan will say.
func (g *Goal) option(ctx context.Context, c *candidate, rank int, system unit.System) (Option, error) {
	file, err := g.file(c)
	if err != nil {
		return Option{}, err
	}
	p, err := FromFile(file)
	if err != nil {
		return Option{}, fmt.Errorf("a flight of our own making cannot be read: %w", err)
	}
	s := StandardSetting(file)
	if err := p.Fill(s, system); err != nil {
		return Option{}, fmt.Errorf("a flight of our own making cannot be filled: %w", err)
	}
	flight, ok := p.outlook(&s, p.Craft.GasMoles)
	if !ok {
		return Option{}, fmt.Errorf("a flight of our own making does not come down: envelope %s", grams(c.parts.Craft.EnvelopeMass))
	}
	o := Option{
		Rank: rank, Envelope: c.parts.Craft.EnvelopeMass, BurstAt: p.Craft.Burst.Median, Canopy: c.parts.canopyDiameter(),
		Train: p.Craft.TrainMass, Flight: flight, Binds: string(c.binds), Cost: c.cost, file: file,
	}
	if have := g.atHand(); !math.IsInf(have, 1) {
		used := p.Craft.GasMoles / have
		o.GasUsed = &used
	}
	if g.Above.Given {
		o.Chance = &c.chance
	}
	return o, ctx.Err()
}

// refusal says why an envelope does not do, and by how much.
func (g *Goal) refusal(c *candidate, system unit.System) string {
	o := c.slowest
	switch c.binds {
	case bindsHeight:
		return fmt.Sprintf("bursts at %s at the highest, %s short", unit.FormatHeight(o.BurstAlt, system), unit.FormatHeight(g.Above.Value-o.BurstAlt, system))
	case bindsAloft:
		return fmt.Sprintf("is aloft for %s at the longest, %s short", unit.FormatDuration(o.Aloft), unit.FormatDuration(g.Aloft.Value-o.Aloft))
	case bindsGas:
		have := cubicFeetOf(c.parts, g.atHand())
		return fmt.Sprintf("takes at least %s of gas, %s more than is at hand", cubicFeet(o.Cubic, system), cubicFeet(o.Cubic-have, system))
	case bindsMoney:
		return fmt.Sprintf("costs at least %.0f %s, %.0f too much", c.cost.Known, g.Currency, c.cost.Known-g.Money.Value)
	}
	return fmt.Sprintf("no fill makes it rise at %s: it is too small for what hangs below", unit.FormatRate(soundRise, system))
}

// trades says what the option costs and gives beside the others.
func (g *Goal) trades(all []Option, i int, system unit.System) []string {
	o := all[i]
	list := []string{map[bind]string{
		bindsNothing: fmt.Sprintf("nothing holds it back: it rises at the usual %s", unit.FormatRate(usualRise, system)),
		bindsHeight:  fmt.Sprintf("the height binds: more gas than this would burst it lower, so it rises at %s only", unit.FormatRate(o.Flight.MeanRate, system)),
		bindsAloft:   fmt.Sprintf("the time aloft binds: a faster rise would be down too early, so it rises at %s", unit.FormatRate(o.Flight.MeanRate, system)),
		bindsGas:     fmt.Sprintf("the gas at hand binds: it takes all of it and rises at %s", unit.FormatRate(o.Flight.MeanRate, system)),
	}[bind(o.Binds)]}
	if o.Chance != nil {
		list = append(list, fmt.Sprintf("reaches the height in %s of flights, by the scatter of burst sizes alone", unit.FormatShare(*o.Chance)))
	}
	if o.GasUsed != nil && *o.GasUsed > 1-gasReserve/2 && bind(o.Binds) != bindsGas {
		list = append(list, fmt.Sprintf("takes %s of the gas at hand: nothing is left for a second try", unit.FormatShare(*o.GasUsed)))
	}
	if i > 0 {
		first := all[0]
		list = append(list, fmt.Sprintf("beside the first: %s of gas, burst %s, aloft %s", signedCubic(o.Flight.Cubic-first.Flight.Cubic, system),
			signedWords(o.Flight.BurstAlt-first.Flight.BurstAlt, "higher", "lower", func(v float64) string { return unit.FormatHeight(v, system) }),
			signedWords(o.Flight.Aloft-first.Flight.Aloft, "longer", "shorter", unit.FormatDuration)))
	}
	if o.Envelope > 1.5 {
		list = append(list, fmt.Sprintf("an envelope %s wide at the burst: dear, and harder to fill in any wind", unit.FormatLength(envelope.TypicalBurstDiameter(o.Envelope), system)))
	}
	return list
}

func signedCubic(feet float64, system unit.System) string {
	return signedWords(feet, "more", "less", func(v float64) string { return cubicFeet(v, system) })
}

func signedWords(value float64, more, less string, format func(float64) string) string {
	if value < 0 {
		return format(-value) + " " + less
	}
	return format(value) + " " + more
}
