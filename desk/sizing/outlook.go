package sizing

import (
	"pappus/craft/liftgas"
	"pappus/motion/trajectory"
)

// Outlook is a whole flight in one line, every spread at its centre.
type Outlook struct {
	Neck     float64 `json:"neck_kg"`
	Free     float64 `json:"free_kg"`
	Cubic    float64 `json:"standard_ft3"`
	MeanRate float64 `json:"mean_rate_mps"`
	BurstAlt float64 `json:"burst_alt_m"`
	Landing  float64 `json:"landing_speed_mps"`
	Aloft    float64 `json:"time_aloft_s"`
}

// outlook flies the parts with an amount of gas. It fails where they do not
// rise, or do not come down within the time that is flown.
func (p *Parts) outlook(s *Setting, moles float64) (Outlook, bool) {
	if !(moles > 0) {
		return Outlook{}, false
	}
	l := p.lift(moles, s.launchAir())
	if l.free <= 0 {
		return Outlook{}, false
	}
	out := p.nominal(s, moles)
	up := out.Burst.Seconds - s.Start.Seconds
	if out.Status != trajectory.Landed || up <= 0 {
		return Outlook{}, false
	}
	return Outlook{
		Neck: l.neck, Free: l.free, Cubic: liftgas.StandardCubicFeet(p.Craft.Gas.Kind, moles),
		MeanRate: (out.Burst.Alt - s.Start.Alt) / up, BurstAlt: out.Burst.Alt,
		Landing: out.LandingSpeed, Aloft: out.Landing.Seconds - s.Start.Seconds,
	}, true
}

// minus is what changed from another flight to this one.
func (o Outlook) minus(from Outlook) Outlook {
	return Outlook{
		o.Neck - from.Neck, o.Free - from.Free, o.Cubic - from.Cubic, o.MeanRate - from.MeanRate,
		o.BurstAlt - from.BurstAlt, o.Landing - from.Landing, o.Aloft - from.Aloft,
	}
}

// cubicFeetOf counts gas as the trade does.
func cubicFeetOf(p *Parts, moles float64) float64 {
	return liftgas.StandardCubicFeet(p.Craft.Gas.Kind, moles)
}
