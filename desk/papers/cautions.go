package papers

import "pappus/craft/liftgas"

// The cautions that stand where the work is done; common practice, no source.
// Local rules come first everywhere.
const (
	cautionPower     = "Power lines: nobody goes near a box, a cord or an envelope that touches or hangs by one, and nobody pulls or pokes at it. Stay well away, keep others away, ring the power company."
	cautionWater     = "Water: nobody swims, wades or walks on ice for a box. Watch where it drifts; ask someone with a boat, by day, with life jackets."
	cautionTrespass  = "Other people's land: ask the owner before you set foot on it, whatever the reporter shows. Fences, crops, animals and railways stay as they are; without permission, nobody goes."
	cautionDriving   = "Driving: the passenger reads the table, the telephone and the map; the driver drives, belted, within the limits, and does not look. To change places or think, stop in a safe place."
	cautionHeights   = "Trees, roofs, cliffs, masts: nobody climbs for a box. Ask those who do it for a living, or wait for the wind."
	cautionBurst     = "Envelope: no rings, rough ground or sharp edges; eyes and ears covered beside a filled balloon, for it may burst in your face."
	cautionStorm     = "Thunder within 50 km, rain or a gust over your limit: stop, tie down or let the gas out slowly, go under cover. The flight can wait."
	cautionCylinder  = "Cylinder: chained upright, cap on when it is moved, the right regulator, opened slowly, nobody in front of the valve; never in a closed car with people, for the gas drives out the air. Never breathe it. The supplier's and local rules come first."
	cautionHydrogen  = "Hydrogen burns with a flame that is hardly seen, and a spark that you do not feel lights it: no flame, telephone, engine or synthetic clothes near it; open air or open roof; bonded and earthed gear; no plastic sheet under the balloon; few people, eyes and ears covered. Leave it to people trained for it; follow local rules."
	cautionEmptying  = "Never let the gas out of an electrified balloon by hand, and let nothing up near a thunderstorm."
	cautionCells     = "Cells: a wet, dented, hot or swollen cell is kept outdoors, away from people and from what burns; do not open it."
	cautionLine      = "Lines: the weak link stands between envelope and parachute. Nothing below the parachute may part before it, else the box falls without its parachute."
	cautionOnlookers = "Keep the downwind side clear as far as the train is long, and people out from under it; a box that swings up hits hard."
)

// gasCautions are those of the gas of this flight.
func (f *Facts) gasCautions() []string {
	all := []string{cautionCylinder}
	if f.File.Gas.Kind == liftgas.Hydrogen {
		all = append(all, cautionHydrogen, cautionEmptying)
	}
	return all
}
