package sizing

import (
	"context"
	"fmt"

	"pappus/air/forecast"
	"pappus/craft/canopy"
	"pappus/craft/envelope"
	"pappus/craft/inflation"
	"pappus/craft/liftgas"
	"pappus/measure/unit"
	"pappus/motion/trajectory"
	"pappus/odds/ensemble"
)

// Answer is what the parts make of a flight. Units are SI and stand last in
// every key.
type Answer struct {
	Name     string     `json:"name,omitempty"`
	Air      string     `json:"air"`
	Textbook bool       `json:"textbook"`
	Members  int        `json:"members"`
	Seed     uint64     `json:"seed"`
	Lift     Lift       `json:"lift"`
	Gas      GasNeeded  `json:"gas"`
	Ascent   Ascent     `json:"ascent"`
	Burst    Burst      `json:"burst"`
	Descent  Descent    `json:"descent"`
	Budget   Budget     `json:"budget"`
	Cautions []Caution  `json:"cautions"`
	Film     FilmEffect `json:"film_pressure"`

	Weather *ensemble.WeatherUsed `json:"weather,omitempty"` // the forecast's; the standard atmosphere has no edges

	Box      *BoxBrief         `json:"box,omitempty"` // filled by the use case; desk/box works it out
	Suits    *Suits            `json:"suits,omitempty"`
	Changes  []Sensitivity     `json:"changes,omitempty"`
	Short    *ShortGas         `json:"short_gas,omitempty"`
	GasToBuy *GasToBuy         `json:"gas_to_buy,omitempty"`
	Why      map[string]Reason `json:"why,omitempty"`
}

// Lift is what the gas lifts at launch.
type Lift struct {
	Gross float64 `json:"gross_kg"`
	Neck  float64 `json:"neck_kg"`
	Free  float64 `json:"free_kg"`
}

// GasNeeded is how much gas that is.
type GasNeeded struct {
	Kind      string         `json:"kind"`
	Purity    float64        `json:"purity"`
	Volume    float64        `json:"volume_m3"`
	Diameter  float64        `json:"diameter_m"`
	Mass      float64        `json:"mass_kg"`
	Moles     float64        `json:"amount_mol"`
	Cubic     float64        `json:"standard_ft3"`
	Cylinders []CylinderUsed `json:"cylinders,omitempty"`
}

// CylinderUsed is one cylinder and the share of it that the fill takes; over 1
// on the last one means that the gas does not suffice.
type CylinderUsed struct {
	Content float64 `json:"content_m3"`
	Used    float64 `json:"used_share"`
}

// Ascent is the way up.
type Ascent struct {
	LaunchRate float64        `json:"launch_rate_mps"`
	MeanRate   float64        `json:"mean_rate_mps"`
	RateBand   *ensemble.Band `json:"mean_rate_band_mps,omitempty"`
	Duration   float64        `json:"duration_s"`
	TimeBand   *ensemble.Band `json:"duration_band_s,omitempty"`
	Profile    []ProfileRow   `json:"profile"`
}

// ProfileRow is one height of the way up.
type ProfileRow struct {
	Alt         float64 `json:"alt_m"`
	Rate        float64 `json:"rate_mps"`
	Diameter    float64 `json:"diameter_m"`
	Seconds     float64 `json:"after_s"`
	Temperature float64 `json:"temperature_k"`
	Pressure    float64 `json:"pressure_pa"`
}

// Burst is the end of the way up.
type Burst struct {
	Nominal     float64        `json:"nominal_alt_m"`
	Diameter    float64        `json:"diameter_m"`
	Alt         *ensemble.Band `json:"alt_m,omitempty"`
	EarlyShare  float64        `json:"early_share"`
	Temperature float64        `json:"temperature_k"`
}

// Descent is the way down.
type Descent struct {
	Peak          float64        `json:"peak_speed_mps"`
	PeakAlt       float64        `json:"peak_speed_alt_m"`
	Landing       float64        `json:"landing_speed_mps"`
	LandingBand   *ensemble.Band `json:"landing_speed_band_mps,omitempty"`
	FallingEnergy float64        `json:"falling_energy_j"`
	LandingEnergy float64        `json:"landing_energy_j"`
	FallingMass   float64        `json:"falling_mass_kg"`
	Duration      float64        `json:"duration_s"`
	TimeBand      *ensemble.Band `json:"duration_band_s,omitempty"`
}

// Budget adds up what hangs and what it costs.
type Budget struct {
	EnvelopeMass float64      `json:"envelope_kg"`
	TrainMass    float64      `json:"train_kg"`
	TotalMass    float64      `json:"total_with_gas_kg"`
	TrainLength  float64      `json:"train_length_m"`
	Parts        []BudgetPart `json:"parts"`
}

// BudgetPart is one row of the mass budget.
type BudgetPart struct {
	Kind string  `json:"kind"`
	Name string  `json:"name,omitempty"`
	Mass float64 `json:"mass_kg"`
}

// Options of a plan.
type Options struct {
	Members int
	Seed    uint64
	Workers int
	System  unit.System
	// NominalOnly leaves out every spread, and with it the time they take.
	NominalOnly bool
	// Film counts the film's own pressure, in the flight and in its rating.
	Film bool
	// Why asks for the reasons of these figures; "all" for every one.
	Why []string
}

// Work fills the parts and answers the whole flight.
func (p *Parts) Work(ctx context.Context, s Setting, o Options) (*Answer, error) {
	if o.Film && p.Textbook {
		return nil, fmt.Errorf("envelope.drag: a number asks for the textbook flight, which knows no film pressure: write drag = \"varying\", or leave the film out")
	}
	p.Craft.Film = o.Film
	if p.Craft.GasMoles == 0 {
		if err := p.Fill(s, o.System); err != nil {
			return nil, err
		}
	}
	request := ensemble.Request{
		Craft: p.Craft, Spread: p.Spread, Sky: s.Sky, Ground: s.Ground, Start: s.Start,
		Members: o.Members, Seed: o.Seed, Workers: o.Workers,
	}
	out, track := ensemble.Nominal(request)
	if out.Status != trajectory.Landed && o.Film {
		return nil, impossible("the flight does not come down within %s: with the film's own pressure counted it stops rising at %s, for high up the film squeezes the gas and its lift: more free lift makes it burst (the film's stiffness is good to a factor of two)",
			unit.FormatDuration(trajectory.UsualSteps.Most), unit.FormatHeight(out.Burst.Alt, o.System))
	}
	if out.Status != trajectory.Landed {
		return nil, impossible("the flight does not come down within %s: more free lift makes it rise and burst", unit.FormatDuration(trajectory.UsualSteps.Most))
	}
	a := &Answer{Name: p.File.Name, Air: s.Sky.Info().Source, Textbook: p.Textbook}
	p.answerGas(a, &s)
	p.answerWay(a, &s, out, track)
	p.answerBudget(a)
	var result *ensemble.Result
	if !o.NominalOnly {
		a.Members, a.Seed = o.Members, o.Seed
		var err error
		if result, err = ensemble.Run(ctx, request); err != nil {
			return nil, err
		}
		addBands(a, result)
	}
	if s.Sky.Info().Kind != forecast.Standard {
		used := ensemble.WeatherFor(&request, out, result)
		a.Weather = &used
	}
	p.advise(a, &s, o)
	if len(o.Why) > 0 {
		var err error
		if a.Why, err = p.reasons(a, &s, o.Why); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// advise looks the flight over and tries what would change it.
func (p *Parts) advise(a *Answer, s *Setting, o Options) {
	a.Film = p.filmEffect(s)
	a.Suits = p.suits(s, o)
	a.Changes = p.sensitivities(s, o)
	a.Short = p.shortGas(s, o)
	a.GasToBuy = p.gasToBuy(s, o)
	a.Cautions = p.cautions(a, o.System)
}

func (p *Parts) answerGas(a *Answer, s *Setting) {
	air := s.launchAir()
	l := p.lift(p.Craft.GasMoles, air)
	gas := p.Craft.Gas
	volume := p.volume(p.Craft.GasMoles, air)
	a.Lift = Lift{l.gross, l.neck, l.free}
	a.Gas = GasNeeded{
		Kind: gas.Kind.String(), Purity: gas.Purity, Volume: volume, Diameter: envelope.Diameter(volume),
		Mass: inflation.GasMass(p.Craft.GasMoles, gas), Moles: p.Craft.GasMoles,
		Cubic: liftgas.StandardCubicFeet(gas.Kind, p.Craft.GasMoles),
	}
	left := liftgas.StandardVolume(gas.Kind, p.Craft.GasMoles)
	cylinders := p.Cylinders()
	for i, content := range cylinders {
		used := left / content
		if i < len(cylinders)-1 {
			used = min(used, 1)
		}
		a.Gas.Cylinders = append(a.Gas.Cylinders, CylinderUsed{content, used})
		left = max(left-used*content, 0)
	}
}

// Cylinders answers the content of each cylinder of the file, m³ at 70 F and 1 atm.
func (p *Parts) Cylinders() []float64 {
	var all []float64
	for _, c := range p.File.Cylinders {
		content := liftgas.Cylinder{
			Content: c.Content.Value, WaterVolume: c.WaterVolume.Value, Gauge: c.Pressure.Value, Temperature: c.Temperature.Value,
		}.StandardContent(p.Craft.Gas.Kind)
		for range c.Count {
			all = append(all, content)
		}
	}
	return all
}

// profileGap keeps a row of the profile at least every 250 m.
const profileGap = 240.0

func (p *Parts) answerWay(a *Answer, s *Setting, out trajectory.Outcome, track *trajectory.Track) {
	up := out.Burst.Seconds - s.Start.Seconds
	flight, release := p.Craft.Nominal(s.Start), s.Sky.Sampler(0)
	a.Ascent = Ascent{LaunchRate: flight.LaunchRate(&release), Duration: up}
	if up > 0 {
		a.Ascent.MeanRate = (out.Burst.Alt - s.Start.Alt) / up
	}
	a.Ascent.Profile = profile(track.Up, s.Start.Seconds, a.Ascent.LaunchRate)
	last := track.Up[len(track.Up)-1]
	a.Burst = Burst{
		Nominal: out.Burst.Alt, Diameter: p.Craft.Burst.Median,
		EarlyShare: p.Craft.Burst.EarlyShare, Temperature: last.Temperature,
	}
	mass := p.Craft.TrainMass + p.Craft.Remains.Centre*p.Craft.EnvelopeMass
	a.Descent = Descent{
		Peak: out.PeakSpeed, PeakAlt: out.PeakAlt, Landing: out.LandingSpeed, FallingMass: mass,
		FallingEnergy: canopy.FallingEnergy(mass, out.LandingSpeed),
		LandingEnergy: canopy.FallingEnergy(p.HeavyBox, out.LandingSpeed),
		Duration:      out.Landing.Seconds - out.Burst.Seconds,
	}
}

// profile thins the rows of the way up. The first row is the release, with the
// rate that the balloon comes up to within seconds.
func profile(rows []trajectory.Row, start, launchRate float64) []ProfileRow {
	var out []ProfileRow
	for i, r := range rows {
		keep := i == 0 || i == len(rows)-1 || rows[i+1].Alt-out[len(out)-1].Alt > profileGap
		if !keep {
			continue
		}
		row := ProfileRow{r.Alt, r.Speed, r.Diameter, r.Seconds - start, r.Temperature, r.Pressure}
		if i == 0 {
			row.Rate = launchRate
		}
		out = append(out, row)
	}
	return out
}

func (p *Parts) answerBudget(a *Answer) {
	a.Budget = Budget{
		EnvelopeMass: p.Craft.EnvelopeMass, TrainMass: p.Craft.TrainMass,
		TotalMass: p.Craft.EnvelopeMass + p.Craft.TrainMass + a.Gas.Mass, TrainLength: p.Train.Length(),
	}
	for i := range p.File.Train {
		part := &p.File.Train[i]
		a.Budget.Parts = append(a.Budget.Parts, BudgetPart{part.Kind.String(), part.Name, part.Total()})
	}
}

func addBands(a *Answer, r *ensemble.Result) {
	set := func(into **ensemble.Band, figure func(*ensemble.Landing) float64) {
		if band, ok := r.BandOf(figure); ok {
			*into = &band
		}
	}
	set(&a.Burst.Alt, func(l *ensemble.Landing) float64 { return l.BurstAlt })
	set(&a.Ascent.RateBand, func(l *ensemble.Landing) float64 { return float64(l.Rise) })
	set(&a.Ascent.TimeBand, func(l *ensemble.Landing) float64 { return l.BurstSeconds - l.StartSeconds })
	set(&a.Descent.LandingBand, func(l *ensemble.Landing) float64 { return float64(l.Speed) })
	set(&a.Descent.TimeBand, func(l *ensemble.Landing) float64 { return l.Seconds - l.BurstSeconds })
}

// String is the caution's line.
func (c Caution) String() string { return fmt.Sprintf("%s (%s)", c.Text, c.Why) }
