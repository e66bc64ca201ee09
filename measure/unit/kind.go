package unit

// Kind says which quantity a text stands for, and so which units it may have.
type Kind int

const (
	Mass Kind = iota
	Length
	Area
	Volume
	Pressure
	Speed
	Time
	Force
	Share
	Temperature
	Energy
	Power
	Charge
	Voltage
	Density
	Conductivity
	SpecificHeat
	Angle
	DataSize
	DataRate
	Frequency
	kinds // how many there are
)

// scale is one unit of a kind: SI = (value - zero) * times / over + base.
// Two numbers instead of one factor keep decimal fractions exact: 6 % is 6/100,
// the float nearest to 0.06, where 6 * 0.01 is not.
type scale struct {
	names       []string // the first is the one written
	times, over float64
	zero, base  float64
	written     bool // one of those Text may choose
}

func (s scale) toSI(value float64) float64 { return (value-s.zero)*s.times/s.over + s.base }

func (s scale) fromSI(value float64) float64 { return (value-s.base)*s.over/s.times + s.zero }

// kindTable is what is known of one kind.
type kindTable struct {
	name     string
	expected string // units offered in an error, with an example
	scales   []scale
}

func by(times, over float64, names ...string) scale {
	return scale{names: names, times: times, over: over}
}

// chosen marks the units of the written form.
func chosen(times, over float64, names ...string) scale {
	return scale{names: names, times: times, over: over, written: true}
}

// table gives the units of each kind. It is a function because a map or slice
// at package level could be changed by anyone.
func (k Kind) table() kindTable {
	switch k {
	case Mass:
		return massTable()
	case Length:
		return lengthTable()
	case Area:
		return areaTable()
	case Volume:
		return volumeTable()
	case Pressure:
		return pressureTable()
	case Speed:
		return speedTable()
	case Time:
		return timeTable()
	case Force:
		return forceTable()
	case Temperature:
		return temperatureTable()
	}
	if k < 0 || k >= kinds {
		panic("unit: no such kind")
	}
	return smallTable(k)
}

// String names the kind in a sentence.
func (k Kind) String() string { return k.table().name }

// Expected names the units a text of this kind may have, with an example.
func (k Kind) Expected() string { return k.table().expected }

func massTable() kindTable {
	return kindTable{"mass", `g, kg, oz or lb, such as "1200 g"`, []scale{
		chosen(1, 1000, "g", "gram", "grams", "gramme", "grammes", "gm"),
		chosen(1, 1, "kg", "kilogram", "kilograms", "kilo", "kilos"),
		chosen(Pound*1e8, 1e8, "lb", "lbs", "pound", "pounds"),
		chosen(Pound*1e8, 16e8, "oz", "ounce", "ounces"),
		by(1, 1e6, "mg", "milligram", "milligrams"),
		by(1000, 1, "t", "tonne", "tonnes"),
	}}
}

func lengthTable() kindTable {
	return kindTable{"length", `mm, cm, m, km, in, ft, mi or NM, such as "8.3 m"`, []scale{
		chosen(1, 1, "m", "metre", "metres", "meter", "meters"),
		chosen(1, 100, "cm", "centimetre", "centimetres", "centimeter", "centimeters"),
		chosen(1, 1000, "mm", "millimetre", "millimetres", "millimeter", "millimeters"),
		chosen(Foot*10000, 10000, "ft", "foot", "feet", "'"),
		chosen(Inch*10000, 10000, "in", "inch", "inches", `"`),
		chosen(1000, 1, "km", "kilometre", "kilometres", "kilometer", "kilometers"),
		chosen(StatuteMile*1000, 1000, "mi", "mile", "miles"),
		by(Yard*10000, 10000, "yd", "yard", "yards"),
		by(NauticalMile, 1, "NM", "nmi", "nautical mile", "nautical miles"),
		by(1, 1e6, "um", "µm", "micrometre", "micrometer", "micron", "microns"),
	}}
}

func areaTable() kindTable {
	return kindTable{"area", `cm2, m2, km2, in2, ft2 or mi2, such as "1.8 m2"`, []scale{
		chosen(1, 1, "m2", "sq m"),
		chosen(1, 1e4, "cm2", "sq cm"),
		chosen(SquareFoot*1e8, 1e8, "ft2", "sq ft"),
		chosen(SquareInch*1e8, 1e8, "in2", "sq in"),
		chosen(SquareKilometre, 1, "km2", "sq km"),
		by(SquareMile, 1, "mi2", "sq mi"),
		by(Hectare, 1, "ha"),
		by(Acre, 1, "acre", "acres"),
	}}
}

func volumeTable() kindTable {
	return kindTable{"volume", `L, m3 or ft3, such as "291 ft3"`, []scale{
		chosen(1, 1, "m3", "cubic metre", "cubic metres", "cubic meter", "cubic meters", "cbm"),
		chosen(CubicFoot*1e12, 1e12, "ft3", "cu ft", "cuft", "cu. ft.", "cubic foot", "cubic feet", "cf"),
		chosen(1, 1000, "L", "litre", "litres", "liter", "liters", "dm3"),
		chosen(1, 1e6, "cm3", "mL", "cc", "millilitre", "millilitres", "milliliter", "milliliters"),
		by(CubicInch*1e12, 1e12, "in3", "cu in", "cubic inch", "cubic inches"),
		by(USGallon, 1, "gal", "gallon", "gallons"),
	}}
}

func pressureTable() kindTable {
	return kindTable{"pressure", `Pa, hPa, kPa, bar or psi, such as "2640 psi"`, []scale{
		chosen(Bar, 1, "bar", "bars"),
		chosen(PSI, 1, "psi", "lb/in2", "lbf/in2"),
		chosen(HectoPascal, 1, "hPa", "mbar", "mb", "millibar", "millibars"),
		chosen(1, 1, "Pa", "pascal", "pascals"),
		by(KiloPascal, 1, "kPa"),
		by(MegaPascal, 1, "MPa"),
		by(StandardAtmosphere, 1, "atm"),
	}}
}

func speedTable() kindTable {
	return kindTable{"speed", `m/s, km/h, ft/min, ft/s, mph or kt, such as "5 m/s"`, []scale{
		chosen(1, 1, "m/s", "mps", "ms-1", "m s-1"),
		chosen(Foot*10000, 600000, "ft/min", "fpm", "feet per minute"),
		chosen(1000, 3600, "km/h", "kmh", "kph"),
		chosen(NauticalMile, 3600, "kt", "kts", "kn", "knot", "knots"),
		chosen(StatuteMile*1000, 3600000, "mph", "mi/h", "miles per hour"),
		chosen(Foot*10000, 10000, "ft/s", "fps"),
		by(1, 60, "m/min"),
	}}
}

func timeTable() kindTable {
	return kindTable{"time", `s, min, h or d, such as "10 min" or "1 h 20 min"`, []scale{
		chosen(Minute, 1, "min", "mins", "minute", "minutes"),
		chosen(1, 1, "s", "sec", "secs", "second", "seconds"),
		chosen(Hour, 1, "h", "hr", "hrs", "hour", "hours"),
		chosen(Day, 1, "d", "day", "days"),
		by(1, 1000, "ms", "millisecond", "milliseconds"),
	}}
}

func forceTable() kindTable {
	return kindTable{"force", `N, kN, kgf or lbf, such as "150 N"`, []scale{
		chosen(1, 1, "N", "newton", "newtons"),
		chosen(PoundForce, 1, "lbf", "pound-force", "pounds-force"),
		chosen(1000, 1, "kN"),
		chosen(KilogramForce*1e5, 1e5, "kgf", "kp"),
		by(OunceForce, 1, "ozf"),
		by(GramForce, 1, "gf"),
	}}
}

func temperatureTable() kindTable {
	celsius := scale{[]string{"degC", "°C", "C", "℃", "deg C", "Celsius"}, 1, 1, 0, ZeroCelsius, true}
	fahrenheit := scale{[]string{"degF", "°F", "F", "℉", "deg F", "Fahrenheit"}, 5, 9, freezingDegF, ZeroCelsius, true}
	return kindTable{"temperature", `degC, degF or K, such as "20 degC"`, []scale{
		celsius, fahrenheit, chosen(1, 1, "K", "kelvin", "kelvins"),
	}}
}

// smallTable gives the kinds with few units.
func smallTable(k Kind) kindTable {
	switch k {
	case Share:
		return kindTable{"share", `%, such as "6 %"`, []scale{chosen(1, 100, "%", "percent", "pct", "per cent")}}
	case Energy:
		return kindTable{"energy", `J, kJ, Wh or ft lbf, such as "11 Wh"`, []scale{
			chosen(WattHour, 1, "Wh"), chosen(1, 1, "J", "joule", "joules"), chosen(KiloJoule, 1, "kJ"),
			by(36, 10, "mWh"), by(KiloWattHour, 1, "kWh"), by(1e6, 1, "MJ"), by(FootPound, 1, "ft lbf", "ft·lbf", "ft-lbf"),
		}}
	case Power:
		return kindTable{"power", `mW, W or kW, such as "2.5 W"`, []scale{
			chosen(1, 1, "W", "watt", "watts"), chosen(1, 1000, "mW"), by(1000, 1, "kW"), by(1, 1e6, "uW", "µW"),
		}}
	case Charge:
		return kindTable{"charge", `mAh or Ah, such as "3000 mAh"`, []scale{
			chosen(36, 10, "mAh"), chosen(AmpereHour, 1, "Ah"), by(1, 1, "C", "As", "coulomb", "coulombs"),
		}}
	case Voltage:
		return kindTable{"voltage", `V or mV, such as "3.7 V"`, []scale{chosen(1, 1, "V", "volt", "volts"), by(1, 1000, "mV")}}
	case Density:
		return kindTable{"density", `kg/m3, g/cm3 or lb/ft3, such as "30 kg/m3"`, []scale{
			chosen(1, 1, "kg/m3"), chosen(1000, 1, "g/cm3", "g/cc"), by(PoundPerCubicFoot, 1, "lb/ft3", "pcf"),
		}}
	case Conductivity:
		return kindTable{"thermal conductivity", `W/mK, such as "0.034 W/mK"`, []scale{
			chosen(1, 1, "W/mK", "W/(m K)", "W/(mK)", "W/m/K", "W/m K"), by(1, 1000, "mW/mK", "mW/(m K)", "mW/(mK)"),
		}}
	case SpecificHeat:
		return kindTable{"specific heat", `J/kgK, such as "1000 J/kgK"`, []scale{
			chosen(1, 1, "J/kgK", "J/(kg K)", "J/(kgK)", "J/kg/K", "J/kg K"), by(1000, 1, "kJ/kgK", "kJ/(kg K)", "kJ/(kgK)"),
		}}
	case Angle:
		return kindTable{"angle", `deg or rad, such as "90 deg"`, []scale{
			chosen(Degree, 1, "deg", "°", "degree", "degrees"), chosen(1, 1, "rad", "radian", "radians"),
		}}
	case DataSize:
		return kindTable{"amount of data", `MB, GB or TB, such as "64 GB"`, []scale{
			chosen(GigaByte, 1, "GB"), chosen(MegaByte, 1, "MB"), chosen(TeraByte, 1, "TB"), chosen(1, 1, "B", "byte", "bytes"),
			by(KiloByte, 1, "kB"), by(1<<10, 1, "KiB"), by(1<<20, 1, "MiB"), by(1<<30, 1, "GiB"), by(1<<40, 1, "TiB"),
		}}
	case DataRate:
		// SI has no unit of data; the program counts octets, and octets a second.
		return kindTable{"data rate", `Mbit/s, kbit/s or MB/s, such as "60 Mbit/s"`, []scale{
			chosen(1e6, 8, "Mbit/s", "Mbps", "Mb/s"), chosen(1e3, 8, "kbit/s", "kbps", "kb/s"), chosen(1, 1, "B/s"),
			by(1, 8, "bit/s", "bps"), by(KiloByte, 1, "kB/s"), by(MegaByte, 1, "MB/s"), by(1e9, 8, "Gbit/s", "Gbps", "Gb/s"),
		}}
	}
	return kindTable{"frequency", `Hz, kHz, MHz or GHz, such as "144.39 MHz"`, []scale{
		chosen(MegaHertz, 1, "MHz"), chosen(KiloHertz, 1, "kHz"), chosen(1, 1, "Hz", "hertz"), by(GigaHertz, 1, "GHz"),
	}}
}
