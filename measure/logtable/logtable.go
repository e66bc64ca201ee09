// Package logtable is a table of logarithms, used as the printed ones were: a
// figure is looked up nearby and corrected by a short series. It serves the
// steps of a flight, which take millions of exponentials and logarithms for one
// answer; with the standard library's, exact to the last bit, odds take an
// eighth longer (bench/odds).
package logtable

import "math"

const (
	parts    = 128 // of an octave, in both tables
	partBits = 7
	rest     = 52 - partBits // bits of a mantissa below its part
)

// powers holds 2 to the i over parts. logs holds the logarithm of 1 + i/parts
// and inverses its inverse; the last entries stand for 2.
var powers, logs, inverses = tables()

func tables() (powers [parts]float64, logs, inverses [parts + 1]float64) {
	for i := range powers {
		powers[i] = math.Exp2(float64(i) / parts)
	}
	for i := range logs {
		at := 1 + float64(i)/parts
		logs[i], inverses[i] = math.Log(at), 1/at
	}
	return powers, logs, inverses
}

// widest is the argument of Exp up to which neither the answer nor the power of
// two in it leaves the normal numbers.
const widest = 700.0

// Exp answers e to the x, with a relative error of less than 1e-14 for |x| up
// to 40 and 1e-13 up to 700, where it hands over to math.Exp.
func Exp(x float64) float64 {
	if !(x < widest && x > -widest) {
		return math.Exp(x)
	}
	// e^x = 2^(n/parts) e^r with |r| at most ln 2 / 256: r^5/120 is below 2e-15.
	const part = math.Ln2 / parts
	const toInteger = 1<<52 + 1<<51 // its last bit is worth 1: adding it rounds
	shifted := x/part + toInteger
	n := int64(math.Float64bits(shifted)<<12>>12) - 1<<51
	r := x - (shifted-toInteger)*part
	square := r * r
	series := 1 + r + square*(0.5+r/6+square*(1.0/24))
	return powers[n&(parts-1)] * series * math.Float64frombits(uint64(n>>partBits+1023)<<52)
}

// Log answers the natural logarithm, with an error of less than 1e-15 plus 4e-16
// of the answer; zero, negative, subnormal and infinite arguments it hands over
// to math.Log.
func Log(x float64) float64 {
	const least, most = 0x1p-1022, math.MaxFloat64
	if !(x >= least && x <= most) {
		return math.Log(x)
	}
	bits := math.Float64bits(x)
	exponent := float64(int64(bits>>52) - 1023)
	const fraction = 1<<52 - 1
	i := (bits&fraction + 1<<(rest-1)) >> rest // the nearest entry
	mantissa := math.Float64frombits(bits&fraction | 1023<<52)
	// ln m = ln c + ln(1 + r), |r| at most 1/256: r^7/7 is below 2e-18.
	r := mantissa*inverses[i] - 1
	square := r * r
	series := r - square*(0.5-r*(1.0/3)+square*(0.25-r*(1.0/5)+square*(1.0/6)))
	return exponent*math.Ln2 + (logs[i] + series)
}
