// Package unit holds the exact conversion factors of the program, reads
// quantities as people write them ("4 lb", "8.3 m") and writes them for people.
//
// Inside the program every quantity is a bare float64 in SI units. A value with
// another unit is multiplied by its factor at the door:
//
//	ceiling := 12000 * unit.Foot
//
// and divided by it on the way out. The factors are untyped constants, so the
// compiler keeps them exact until they meet a variable.
package unit

// Lengths, in metres. The international yard and pound agreement of 1959 fixes
// the inch at 25.4 mm exactly; the nautical mile is 1852 m exactly ([SI], table 8).
const (
	Millimetre   = 1e-3
	Centimetre   = 1e-2
	Kilometre    = 1e3
	Inch         = 0.0254
	Foot         = 12 * Inch
	Yard         = 3 * Foot
	StatuteMile  = 5280 * Foot
	NauticalMile = 1852
)

// Areas, in square metres.
const (
	SquareCentimetre = Centimetre * Centimetre
	SquareKilometre  = Kilometre * Kilometre
	SquareInch       = Inch * Inch
	SquareFoot       = Foot * Foot
	SquareMile       = StatuteMile * StatuteMile
	Hectare          = 1e4
	Acre             = 43560 * SquareFoot
)

// Volumes, in cubic metres. The gallon is the liquid one of the United States,
// 231 cubic inches.
const (
	Litre      = 1e-3
	CubicInch  = Inch * Inch * Inch
	CubicFoot  = Foot * Foot * Foot
	USGallon   = 231 * CubicInch
	Millilitre = 1e-6
)

// Masses, in kilograms. The avoirdupois pound is exact since 1959.
const (
	Gram      = 1e-3
	Milligram = 1e-6
	Tonne     = 1e3
	Pound     = 0.45359237
	Ounce     = Pound / 16
)

// Times, in seconds.
const (
	Millisecond = 1e-3
	Minute      = 60
	Hour        = 60 * Minute
	Day         = 24 * Hour
)

// Speeds, in metres per second.
const (
	Knot             = NauticalMile / 3600.0
	MilePerHour      = StatuteMile / 3600
	KilometrePerHour = Kilometre / 3600
	FootPerMinute    = Foot / 60
	FootPerSecond    = Foot
)

// StandardGravity is the conventional acceleration of free fall in m/s², exact
// (3rd General Conference on Weights and Measures, 1901). It turns weights into
// forces; the gravity of a place is another thing.
const StandardGravity = 9.80665

// Forces, in newtons.
const (
	PoundForce    = Pound * StandardGravity
	OunceForce    = Ounce * StandardGravity
	KilogramForce = StandardGravity
	GramForce     = Gram * StandardGravity
)

// Pressures, in pascals.
const (
	HectoPascal        = 100.0
	KiloPascal         = 1e3
	MegaPascal         = 1e6
	Bar                = 1e5
	MilliBar           = 100.0
	StandardAtmosphere = 101325.0
	PSI                = PoundForce / SquareInch
)

// Energies, in joules.
const (
	KiloJoule    = 1e3
	WattHour     = 3600
	FootPound    = Foot * PoundForce
	KiloWattHour = 1e3 * WattHour
)

// MilliWatt is a power, in watts.
const MilliWatt = 1e-3

// Charges, in coulombs.
const (
	AmpereHour      = 3600
	MilliAmpereHour = 3.6
)

// Densities, in kilograms per cubic metre.
const (
	GramPerCubicCentimetre = 1e3
	PoundPerCubicFoot      = Pound / CubicFoot
)

// Degree is an angle, in radians.
const Degree = 3.14159265358979323846264338327950288419716939937510582097494459 / 180

// Percent is a share.
const Percent = 0.01

// Data sizes, in octets. The prefixes are the
// decimal ones, as printed on cards.
const (
	KiloByte = 1e3
	MegaByte = 1e6
	GigaByte = 1e9
	TeraByte = 1e12
)

// Frequencies, in hertz.
const (
	KiloHertz = 1e3
	MegaHertz = 1e6
	GigaHertz = 1e9
)
