package box

import "pappus/record"

// Chemistry is what a kind of cell keeps of its content in the cold at a light load.
type Chemistry struct {
	Name string
	// Kept at 20, 0, -20 and -40 °C, as shares of the content at 20 °C.
	Kept [4]float64
	Note string
}

// chemistries holds usual figures, from memory, middles of ranges where one is
// stated; those at 0 °C and of lithium ion and nickel metal hydride at -40 °C are
// judgements.
func chemistries() []Chemistry {
	return []Chemistry{
		{"lithium iron disulfide", [4]float64{1, 0.97, 0.875, 0.55}, "85 to 90 % at -20 °C, 50 to 60 % at -40 °C; rated from -40 to 60 °C"},
		{"lithium ion", [4]float64{1, 0.92, 0.75, 0.30}, "70 to 80 % at -20 °C, poor below; never charge it under 0 °C"},
		{"lithium polymer", [4]float64{1, 0.92, 0.75, 0.30}, "as lithium ion: 70 to 80 % at -20 °C, poor below; never charge it under 0 °C"},
		{"alkaline", [4]float64{1, 0.75, 0.375, 0}, "25 to 50 % at -20 °C, nothing at -40 °C"},
		{"nickel metal hydride", [4]float64{1, 0.88, 0.70, 0.30}, "60 to 80 % at -20 °C"},
		{"other", [4]float64{1, 0.75, 0.375, 0}, "not known: counted as the worst, alkaline"},
	}
}

var keptAt = [4]float64{20, 0, -20, -40}

// ChemistryOf answers the row of a chemistry; one that is not known counts as the worst.
func ChemistryOf(name string) Chemistry {
	all := chemistries()
	for _, c := range all {
		if c.Name == name {
			return c
		}
	}
	return all[len(all)-1]
}

// Share answers what is left of a cell's content at a temperature in kelvin: linear
// between the figures, full above 20 °C, and falling on below -40 °C to nothing.
func (c Chemistry) Share(temperature float64) float64 {
	if temperature >= celsius(keptAt[0]) {
		return c.Kept[0]
	}
	for i := 1; i < len(keptAt); i++ {
		low := celsius(keptAt[i])
		if temperature >= low {
			f := (temperature - low) / (celsius(keptAt[i-1]) - low)
			return c.Kept[i] + f*(c.Kept[i-1]-c.Kept[i])
		}
	}
	last := len(keptAt) - 1
	slope := (c.Kept[last-1] - c.Kept[last]) / (keptAt[last-1] - keptAt[last])
	return max(c.Kept[last]+slope*(temperature-celsius(keptAt[last])), 0)
}

// content is the energy of an item's cells at room temperature, J; false where the
// file does not say it.
func content(i *record.Item) (float64, bool) {
	count := float64(i.Count)
	switch {
	case i.Kind == "heat pack":
		return 0, false
	case i.Energy.Given:
		return i.Energy.Value * count, true
	case i.Capacity.Given && i.Voltage.Given:
		return i.Capacity.Value * i.Voltage.Value * count, true
	}
	return 0, false
}

// supply is one source of current and what it feeds.
type supply struct {
	cells     int // item of the box that holds it
	energy    float64
	chemistry Chemistry
	feeds     []int
	used      float64 // J
	empty     bool
	at        float64 // s after the release, when empty
}

// step draws on the cells for dt and answers the share of it for which they last.
func (s *supply) step(watts, temperature, after, dt float64) float64 {
	if s.empty {
		return 0
	}
	left := s.energy*s.chemistry.Share(temperature) - s.used
	if need := watts * dt; need < left || watts == 0 {
		s.used += watts * dt
		return 1
	}
	share := max(left, 0) / (watts * dt)
	s.used += share * watts * dt
	s.empty, s.at = true, after+share*dt
	return share
}
