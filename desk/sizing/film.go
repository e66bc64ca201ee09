package sizing

import "pappus/craft/envelope"

// FilmEffect says what counting the film's own pressure changes: this flight
// and its rating with the film, less both without, with the same weighed fill.
type FilmEffect struct {
	Counted  bool    `json:"counted"` // whether all other figures hold it
	Pressure float64 `json:"pressure_at_release_pa"`
	// Floats says that with the film counted the balloon stops rising before it
	// is wide enough to burst: high up the film squeezes the gas by a fifth, and
	// the lift with it. The film's stiffness is good to a factor of two.
	Floats bool `json:"floats"`
	// Null where one of the two flights does not burst within the time flown.
	BurstShift *float64 `json:"burst_shift_m"`
	RateShift  *float64 `json:"mean_rate_shift_mps"`
}

// filmEffect flies the same free lift with the film and without.
func (p *Parts) filmEffect(s *Setting) FilmEffect {
	air := s.launchAir()
	free := p.lift(p.Craft.GasMoles, air).free
	effect := FilmEffect{
		Counted:  p.Craft.Film,
		Pressure: envelope.RubberPressure(p.Craft.EnvelopeMass, envelope.Diameter(p.volume(p.Craft.GasMoles, air))),
	}
	if p.Textbook {
		return effect // the textbook flight knows no film: nothing to compare
	}
	bare, taut := *p, *p
	bare.Craft.Film, taut.Craft.Film = false, true
	low, slow, bareFlies := bare.rise(s, bare.molesForFree(free, air))
	high, fast, tautFlies := taut.rise(s, taut.molesForFree(free, air))
	effect.Floats = bareFlies && !tautFlies
	if bareFlies && tautFlies {
		burst, rate := high-low, fast-slow
		effect.BurstShift, effect.RateShift = &burst, &rate
	}
	return effect
}
