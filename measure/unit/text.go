package unit

import (
	"math"
	"strconv"
	"strings"
)

// Text writes a value so that Parse gives exactly the same value again: in the
// unit that makes the shortest number, the kind's usual unit where several do.
// So 0.9144 m becomes "3 ft" and 1.2 kg "1200 g", and a person's own unit
// mostly comes back. It reports false where no unit gives the value back.
func Text(value float64, kind Kind) (string, bool) {
	if math.IsNaN(value) || math.IsInf(value, 0) || value == 0 && math.Signbit(value) {
		return "", false
	}
	best, lowest := "", math.MaxInt
	for _, s := range kind.table().scales {
		if !s.written {
			continue
		}
		if number, ok := s.number(value); ok && clutter(number) < lowest {
			best, lowest = number+" "+s.names[0], clutter(number)
		}
	}
	return best, best != ""
}

// number writes the value in one unit, with as few digits as give it back. The
// division can be off in the last digits, hence the first try with 15.
func (s scale) number(value float64) (string, bool) {
	for _, digits := range []int{15, 17} {
		short, err := strconv.ParseFloat(strconv.FormatFloat(s.fromSI(value), 'g', digits, 64), 64)
		if err != nil || s.toSI(short) != value {
			continue
		}
		if size := math.Abs(short); size != 0 && (size < 1e-6 || size >= 1e15) {
			return strconv.FormatFloat(short, 'e', -1, 64), true
		}
		return strconv.FormatFloat(short, 'f', -1, 64), true
	}
	return "", false
}

// clutter counts what makes a number hard to read: its significant digits, the
// zeros before them, and zeros after them beyond three.
func clutter(number string) int {
	digits := strings.ReplaceAll(strings.TrimPrefix(number, "-"), ".", "")
	if digits == "0" {
		return 0
	}
	kept := digits
	if !strings.Contains(number, ".") {
		kept = strings.TrimRight(digits, "0")
	}
	return len(kept) + max(0, len(digits)-len(kept)-3)
}
