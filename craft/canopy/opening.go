package canopy

// Force reduction X1 at opening, [Knacke1991] section 5.4 (from memory): a
// light load on a large canopy slows down while the canopy still fills, so that
// the full force never comes. HeavyLoad is for a load that does not slow at all;
// the other two bound what small payloads meet.
const (
	HeavyLoadReduction      = 1.0
	LightLoadReduction      = 0.3
	VeryLightLoadReduction  = 0.02
	fillingDiametersForFlat = 8 // filling distance in nominal diameters, solid flat circular canopy
)

// OpeningForce is the largest pull on the cords while the canopy fills: half
// density times speed squared, times drag area, times the kind's opening-force
// coefficient, times the reduction X1. [Knacke1991] section 5.4. A small flight
// whose canopy hangs open from burst meets little of it; one whose canopy is
// freed late, in denser air and at speed, can break a cord that holds the box
// ten times over at rest.
func (c Canopy) OpeningForce(kind Kind, density, speed, reduction float64) float64 {
	return density * speed * speed / 2 * c.DragArea() * kind.OpeningForce * reduction
}

// FillingDistance is how far a canopy falls while it fills: about eight nominal
// diameters for a solid flat circular one, [Knacke1991] (from memory); it is
// roughly the same at every speed, and longer in thin air.
func (c Canopy) FillingDistance() float64 { return fillingDiametersForFlat * c.Diameter() }

// FillingTime is FillingDistance at a speed.
func (c Canopy) FillingTime(speed float64) float64 { return c.FillingDistance() / speed }
