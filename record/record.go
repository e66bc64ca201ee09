// Package record is the flight file: one document that says what is to fly, from
// where and when, read with every fault named by its line, and written in one form.
package record

import (
	"time"

	"pappus/craft/liftgas"
	"pappus/measure/geo"
)

// Format is the version of the flight file this program reads and writes.
const Format = 1

// Quantity is a number that may be left out, in SI units. Zero is a value;
// absence is Given being false. A quantity with a default holds the default
// then, so that Value can be used either way and papers can still say whose
// number it is.
type Quantity struct {
	Value float64
	Given bool
}

// Given is a quantity the person stated.
func Given(value float64) Quantity { return Quantity{value, true} }

func (q *Quantity) settle(fallback float64) {
	if !q.Given {
		q.Value = fallback
	}
}

// Flag is a yes or no that may be left out.
type Flag struct{ Value, Given bool }

// Flight is one flight file with its defaults filled in.
type Flight struct {
	Format   int
	Name     string
	Rules    string // "US", "ICAO", or empty when the file does not say
	Currency string // empty when the file does not say
	Note     string

	Launch    Launch
	Envelope  Envelope
	Gas       Gas
	Cylinders []Cylinder
	Train     []Part // in order from the top
	Reporters []Reporter
	Sites     []Site
	Limits    Limits
	Contacts  []Contact
	Remains   Remains
	Tests     []Test
	Spares    []Spare
	Cost      Cost
	Recovery  Recovery
	Flown     *Flown // nil until the flight has been flown
}

// Launch is where and when the flight starts.
type Launch struct {
	Place     string
	Point     geo.Point
	Elevation geo.AltMSL
	Time      time.Time // with the offset the person wrote
	Note      string
}

// Envelope is the latex balloon.
type Envelope struct {
	Name          string
	Mass          float64
	BurstDiameter Quantity // median; by default typical for the mass
	BurstSpread   Quantity // one standard deviation as a share of the diameter; by default 6 %
	Drag          Drag
	Made          YearMonth
	Price         Quantity
	Note          string
}

// Drag is how the rise is worked out: varying with the Reynolds number, or the
// textbook flight with one coefficient.
type Drag struct {
	Varying     bool
	Coefficient float64 // when not varying
	Given       bool
}

// YearMonth is a month of manufacture; the zero value is unknown.
type YearMonth struct {
	Year  int
	Month time.Month
}

// Known says whether there is a date.
func (m YearMonth) Known() bool { return m.Year != 0 }

// Gas is what lifts, and how much of it.
type Gas struct {
	Kind   liftgas.Kind
	Purity Quantity // share by volume; by default 100 %
	Fill   Fill
	Note   string
}

// FillKind is the way the amount of gas is stated.
type FillKind int

// The five ways; a file has exactly one of them.
const (
	FreeLift      FillKind = iota // kg
	NeckLift                      // kg
	Volume                        // m³ in launch air
	AscentRate                    // m/s, the mean from release to the nominal burst
	BurstAltitude                 // m above the sea
)

// String is the key of the flight file.
func (k FillKind) String() string { return fillKeys[k].key }

// Fill is how much gas goes in.
type Fill struct {
	Kind  FillKind
	Value float64
}

// Cylinder is gas at hand or on order: either Content, or WaterVolume with
// Pressure.
type Cylinder struct {
	Name        string
	Content     Quantity // m³ as the trade states it, at 70 F and 1 atm
	WaterVolume Quantity // m³
	Pressure    Quantity // Pa as the gauge shows it
	Temperature Quantity // K at which the gauge was read; by default 70 F
	Count       int      // by default 1
	Price       Quantity // of one
	Deposit     Quantity // of one, given back
	Note        string
	Line        int // of the file, 0 when not read from one
}

// PartKind is what a part of the train is for.
type PartKind int

// The kinds of parts.
const (
	Line PartKind = iota
	Parachute
	Reflector
	Box
	Other
)

// String is the word of the flight file.
func (k PartKind) String() string { return partKinds[k] }

var partKinds = [...]string{"line", "parachute", "reflector", "box", "other"}

// Part is one part of the train. Which fields a part may have depends on its kind.
type Part struct {
	Kind         PartKind
	Name         string
	Mass         Quantity // of a box with items: the bare box
	Length       Quantity // hanging
	BreakingLoad Quantity // N; of a line, or of something else that holds what is below
	Canopy       Canopy   // of a parachute
	Size         Size     // of a box
	Wall         Wall     // of a box
	Items        []Item   // in a box
	Price        Quantity
	Note         string
	Line         int // of the file, 0 when not read from one
}

// Total is the mass of the part with all that is in it, in kg.
func (p *Part) Total() float64 {
	sum := p.Mass.Value
	for i := range p.Items {
		sum += float64(p.Items[i].Count) * p.Items[i].Mass
	}
	return sum
}

// TrainMass is the mass of all that hangs below the envelope, in kg.
func (f *Flight) TrainMass() float64 {
	sum := 0.0
	for i := range f.Train {
		sum += f.Train[i].Total()
	}
	return sum
}

// Canopy is a parachute: either a diameter or a rating.
type Canopy struct {
	Kind      string   // a name that craft/canopy knows
	KindGiven bool     // false: flat circular stands in
	Diameter  Quantity // nominal, laid flat
	Drag      Quantity // on the nominal area; by default typical for the canopy
	Rated     Rated
}

// Rated is the maker's rating of a parachute: the mass that it brings down at a
// speed at sea level.
type Rated struct {
	Mass, Speed float64
	Given       bool
}

// Size is the outside of a box.
type Size struct {
	Edges [3]float64 // length, width, height as it hangs
	Given bool
}

// Wall is what keeps a box warm.
type Wall struct {
	Foam         string   // "XPS", "EPS" or another name
	Thickness    Quantity // m
	Conductivity Quantity // W/(m K)
	Finish       string   // "white", "foil", "black", "bare", or empty
}

// Item is something in a box.
type Item struct {
	Name  string
	Kind  string // one of ItemKinds, or empty
	Mass  float64
	Count int // by default 1
	Price Quantity
	Note  string
	Line  int // of the file, 0 when not read from one

	Power   Quantity // W taken on average while on
	Supply  string   // the name of the item that feeds it
	Coldest Quantity // K, rated
	Warmest Quantity // K, rated

	Capacity  Quantity // C, of one cell
	Voltage   Quantity // V, of one cell
	Energy    Quantity // J, of one cell or heat pack
	Chemistry string   // one of Chemistries, or empty

	FieldOfView Quantity // rad across the picture
	Lens        string   // "rectilinear", "fisheye", or empty
	ImageWidth  int      // pixels, 0 when not given
	BitRate     Quantity // octets a second while recording
	Every       Quantity // s between still pictures
	PictureSize Quantity // octets of one still picture
	Storage     Quantity // octets, of a card

	Heat  Quantity // W given off, of a heat pack at sea level
	Lasts Quantity // s it gives heat
}

// ItemKinds lists what an item may be.
func ItemKinds() []string {
	return []string{"camera", "logger", "reporter", "cell", "heat pack", "card", "other"}
}

// Chemistries lists the cells the program tells apart.
func Chemistries() []string {
	return []string{"lithium iron disulfide", "lithium ion", "lithium polymer", "alkaline", "nickel metal hydride", "other"}
}
