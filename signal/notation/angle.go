// Package notation reads angles, dates and times of day in the ways people and loggers
// write them, and says what a writing leaves open.
package notation

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Angle is a latitude or longitude as written.
type Angle struct {
	Deg  float64
	Side byte    // 'N', 'S', 'E' or 'W' where written, else 0
	Step float64 // that of the last digit, degrees
}

// AngleBody is the pattern of an angle without sign and side, for those who look for
// one in a text: degrees, perhaps minutes, perhaps seconds, with their marks or blanks.
const AngleBody = `\d{1,3}(?:[.,]\d{1,15})?(?:\s{0,2}(?:°|º|˚|deg\.?|degrees))?` +
	`(?:[\s:]{0,2}\d{1,2}(?:[.,]\d{1,15})?\s?(?:'|′|’|min\.?|minutes)?` +
	`(?:[\s:]{0,2}\d{1,2}(?:[.,]\d{1,12})?\s?(?:"|″|”|''|′′|sec\.?|seconds)?)?)?`

var (
	anglePattern  = regexp.MustCompile(`(?i)^([NSEW])?\s*([-+−])?\s*(` + AngleBody + `)\s*([NSEW])?$`)
	numberPattern = regexp.MustCompile(`\d+(?:[.,]\d+)?`)
)

// longest is how long a writing of an angle may be.
const longest = 80

// ParseAngle reads a writing that is an angle and nothing else. A sign and a side
// together, minutes of 60 and more, and digits after a decimal point that is not in the
// last number are refused.
func ParseAngle(text string) (Angle, error) {
	text = strings.TrimSpace(text)
	fault := func(why string) (Angle, error) {
		return Angle{}, fmt.Errorf("angle %.40q: %s; expected such as 40.0961, 40 05.766 N or 40°05'46\"N", text, why)
	}
	if len(text) > longest {
		return fault("too long")
	}
	m := anglePattern.FindStringSubmatch(text)
	if m == nil {
		return fault("not in a known form")
	}
	side := strings.ToUpper(m[1] + m[4])
	if len(side) > 1 || side != "" && m[2] != "" {
		return fault("two signs or sides")
	}
	deg, step, err := sexagesimal(numberPattern.FindAllString(m[3], 4))
	if err != nil {
		return fault(err.Error())
	}
	a := Angle{Deg: deg, Step: step}
	if side != "" {
		a.Side = side[0]
	}
	if m[2] == "-" || m[2] == "−" || a.Side == 'S' || a.Side == 'W' {
		a.Deg = -a.Deg
	}
	limit := 180.0
	switch a.Side {
	case 'N', 'S':
		limit = 90
	case 0:
		limit = 360
	}
	if deg > limit {
		return fault(fmt.Sprintf("beyond %v degrees", limit))
	}
	return a, nil
}

// sexagesimal adds up degrees, minutes and seconds.
func sexagesimal(numbers []string) (deg, step float64, err error) {
	share := 1.0
	for i, n := range numbers {
		n = strings.Replace(n, ",", ".", 1)
		v, err := strconv.ParseFloat(n, 64)
		if err != nil {
			return 0, 0, errors.New("not a number")
		}
		_, decimals, broken := strings.Cut(n, ".")
		if broken && i < len(numbers)-1 {
			return 0, 0, errors.New("a broken number before the last")
		}
		if i > 0 && v >= 60 {
			return 0, 0, errors.New("60 or more minutes or seconds")
		}
		deg += v * share
		step = share
		for range decimals {
			step /= 10
		}
		share /= 60
	}
	return deg, step, nil
}
