package record

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
)

// moment is a time with its offset from UTC. The offset is kept, the name of a
// zone is not, since a file says only the offset.
func moment(key string, at *time.Time, remark string) field {
	return field{key: key, remark: remark,
		read: func(v *value) error {
			const expected = "expected a date and time with its offset from UTC, such as 2027-04-17T08:00:00-05:00 or 2027-04-17T13:00:00Z"
			if v.kind == isLocal {
				return fmt.Errorf("the offset from UTC is missing: %s", expected)
			}
			if v.kind != isMoment && v.kind != isText || len(v.text) < 11 {
				return fmt.Errorf("%s", expected)
			}
			read, err := time.Parse(time.RFC3339, v.text[:10]+"T"+strings.ToUpper(v.text[11:]))
			if err != nil {
				return fmt.Errorf("%q is no such time: %s", excerpt(v.text), expected)
			}
			if read.Year() < 1900 || read.Year() > 2200 {
				return fmt.Errorf("impossible: expected a year from 1900 to 2200")
			}
			if _, offset := read.Zone(); offset == 0 {
				*at = read.UTC()
			} else {
				*at = read.In(time.FixedZone("", offset))
			}
			return nil
		},
		write: func() string {
			if at.IsZero() {
				return ""
			}
			return at.Format(time.RFC3339Nano)
		}}
}

// place is a latitude and a longitude in degrees.
func place(at *geo.Point, remark string) []field {
	degrees := func(key string, low, high float64, part *float64, words string) field {
		return field{key: key, required: true, expected: words,
			read: func(v *value) error {
				number, err := v.number()
				if err != nil {
					return fmt.Errorf("expected %s, without quotes", words)
				}
				if number < low || number > high {
					return fmt.Errorf("%s is no place on the globe: expected %s", numeral(number), words)
				}
				*part = number
				return nil
			},
			write: func() string { return numeral(*part) }}
	}
	latitude := degrees("latitude", -90, 90, &at.LatDeg, "degrees from -90 (south) to 90 (north), such as 40.0961")
	longitude := degrees("longitude", -180, 360, &at.LonDeg, "degrees from -180 to 360, east positive, such as -99.2094")
	read := longitude.read
	longitude.read = func(v *value) error {
		err := read(v)
		if at.LonDeg >= 180 {
			// Taking 360 off leaves dust far behind the last digit that means
			// anything: a ten-billionth of a degree is a hundredth of a millimetre.
			const dust = 1e10
			at.LonDeg = math.Round(geo.WrapLonDeg(at.LonDeg)*dust) / dust
		}
		return err
	}
	longitude.remark = remark
	return []field{latitude, longitude}
}

// elevation is a height of ground above the sea.
func elevation(at *geo.AltMSL, remark string) field {
	f := plainQuantity("elevation", unit.Length, (*float64)(at), between(-500, 9000, "a height of ground above the sea, from -500 m to 9000 m"), remark)
	return f.must(`the height of the ground above the sea, such as "610 m"`)
}

var dayForm = regexp.MustCompile(`^(\d{4})-(\d{2})(?:-(\d{2}))?$`)

// calendar reads a month or a day; the parts that are not there are zero.
func (v *value) calendar() (year, month, day int, ok bool) {
	parts := dayForm.FindStringSubmatch(v.text)
	if parts == nil || v.kind != isText && v.kind != isLocal {
		return 0, 0, 0, false
	}
	year, _ = strconv.Atoi(parts[1])
	month, _ = strconv.Atoi(parts[2])
	day, _ = strconv.Atoi("0" + parts[3])
	date := time.Date(year, time.Month(month), max(day, 1), 0, 0, 0, 0, time.UTC)
	ok = year > 0 && int(date.Month()) == month && date.Day() == max(day, 1) && (parts[3] == "" || day > 0)
	return year, month, day, ok
}
