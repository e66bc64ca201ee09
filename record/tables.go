package record

import (
	"time"

	"pappus/measure/geo"
)

// Reporter is something that says where the flight is.
type Reporter struct {
	Name           string
	Kind           string   // "satellite", "radio", "cellular" or "other"
	Every          Quantity // s between positions
	Delay          Quantity // s until a position is heard
	HeightReported Flag     // by default only radio is taken to report it
	Ceiling        Ceiling
	Frequency      Quantity // Hz
	CallSign       string
	Price          Quantity
	Note           string
	Line           int // of the file, 0 when not read from one
}

// Ceiling is the height above which a reporter is silent.
type Ceiling struct {
	Limited bool // false: no ceiling
	Height  geo.AltMSL
	Given   bool
}

// Site is another place to launch from.
type Site struct {
	Name      string
	Point     geo.Point
	Elevation geo.AltMSL
	Drive     Quantity // s to get there
	Note      string
	Line      int // of the file, 0 when not read from one
}

// Limits are the person's own thresholds for going; none has a default here.
type Limits struct {
	LaunchWind    Quantity // m/s, mean at the surface
	LaunchGust    Quantity // m/s
	LandingWind   Quantity // m/s, at the surface
	LandingSpeed  Quantity // m/s, downwards
	LandingEnergy Quantity // J, of the heaviest box
	Rise          Quantity // m/s, the slowest rise accepted
	Water         Quantity // share of landings
	Town          Quantity // share of landings
	Airfield      Quantity // share of landings
	Border        Quantity // share of landings
	Cloud         Quantity // share of the sky
	Drift         Quantity // m from launch to landing
	Drive         Quantity // s to the landing place
	Daylight      Quantity // s from landing to sunset
	ForecastAge   Quantity // s at launch
	Budget        Quantity // money
	Note          string
}

// Contact is someone to call.
type Contact struct {
	Name, Role, Phone, Email, Note string
	Line                           int // of the file, 0 when not read from one
}

// Remains is the share of the envelope's mass that stays on the cord after the
// burst. Nominal flights take Centre, a quarter of the way from Low to High:
// little is left more often than much. By default 10 % to 90 %, so 30 %.
type Remains struct {
	Low, Centre, High float64
	Given             bool
	Note              string
}

// Test is a ground test that was done.
type Test struct {
	What   string
	Date   Date
	Result string // "pass" or "fail"
	Part   string // the name of the part, item or reporter
	By     string
	Note   string

	// What was measured, where the test measures something.
	Mass        Quantity // kg
	Speed       Quantity // m/s
	Load        Quantity // N
	Time        Quantity // s
	Temperature Quantity // K; of a soak the inside at its end
	Start       Quantity // K, inside when the soak began
	Outside     Quantity // K, around the box or the cells
	Power       Quantity // W burnt inside
	Reference   Quantity // kg, a mass known from elsewhere
	Distance    Quantity // m, to the receiver
	Error       Quantity // one standard deviation of what was measured, a share

	Line int // of the file, 0 when not read from one
}

// Date is a day without a clock; the zero value is unknown.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// Flown is the flight as flown.
type Flown struct {
	Time           time.Time // of release; the zero time when not given
	NeckLift       Quantity  // kg, as weighed on the neck
	GaugeBefore    Quantity  // Pa on the gauge
	GaugeAfter     Quantity  // Pa on the gauge
	AirTemperature Quantity  // K
	GasTemperature Quantity  // K
	Weighed        Quantity  // kg, all that hung below the neck
	Notes          string
	Note           string
}

// Spare is something bought twice, or carried along in case.
type Spare struct {
	Name  string
	Count int      // by default 1
	Price Quantity // of one
	Note  string
	Line  int // of the file, 0 when not read from one
}

// Cost is what is paid beside the parts. Prices of parts stand with the parts.
type Cost struct {
	Travel   Quantity // fuel, nights and tolls of launch and recovery
	Fees     Quantity // subscriptions, licences, insurance
	Other    Quantity
	Returned Quantity // share of a deposit that comes back; by default all of it
	Note     string
}

// Recovery is the person's own judgement of getting the box back, each a share.
// None has a default here.
type Recovery struct {
	Water      Quantity // of the landings, when no forecast says it
	WaterFound Quantity // of those in water that are got back
	OutOfReach Quantity // cliffs, crops, refusals, forest
	Silent     Quantity // all reporters silent after the landing
	Found      Quantity // got back when a place is known
	Label      Quantity // a finder answers the label
	Note       string
}
