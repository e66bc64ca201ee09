package aprs

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"pappus/measure/unit"
	"pappus/signal/fix"
)

// micEMessages are the words of the three bits, all set first [APRS101, chapter 10].
var micEMessages = [8]string{"emergency", "priority", "special", "committed", "returning", "in service", "en route", "off duty"}

// micELetter is what one letter of the destination tells: a digit (or a blank, -1), a
// bit, whether the bit is of the maker's own messages.
func micELetter(c byte) (digit int, bit, custom, ok bool) {
	switch {
	case c >= '0' && c <= '9':
		return int(c - '0'), false, false, true
	case c >= 'A' && c <= 'J':
		return int(c - 'A'), true, true, true
	case c >= 'P' && c <= 'Y':
		return int(c - 'P'), true, false, true
	case c == 'K':
		return -1, true, true, true
	case c == 'L':
		return -1, false, false, true
	case c == 'Z':
		return -1, true, false, true
	}
	return 0, false, false, false
}

// micE reads a report whose latitude and flags are in the destination and all else in
// nine bytes [APRS101, chapter 10].
func (r reader) micE(destination, info string) error {
	destination, _, _ = strings.Cut(destination, "-")
	const length = 9
	if len(destination) != 6 || len(info) < length {
		return fmt.Errorf("Mic-E report: %d letters of destination and %d bytes, expected 6 and at least %d", len(destination), len(info), length)
	}
	var digit [6]int
	var bit [6]bool
	message, custom := 0, false
	for i := range digit {
		var own, ok bool
		digit[i], bit[i], own, ok = micELetter(destination[i])
		if !ok || i > 2 && own {
			return fmt.Errorf("Mic-E report: %q in the destination %q", destination[i], destination)
		}
		custom = custom || own
		if i < 3 && bit[i] {
			message |= 4 >> i
		}
	}
	lat, blanks, err := micELatitude(digit)
	if err != nil {
		return err
	}
	if !bit[3] {
		lat = -lat
	}
	lon, err := micELongitude(info[1], info[2], info[3], bit[4], blanks)
	if err != nil {
		return err
	}
	if bit[5] {
		lon = -lon
	}
	r.pos.Symbol = string([]byte{info[8], info[7]})
	if err := r.stand(lat, lon, blanks); err != nil {
		return err
	}
	if err := r.micEMotion(int(info[4])-28, int(info[5])-28, int(info[6])-28); err != nil {
		return err
	}
	r.pos.Status = micEMessages[message]
	if custom {
		r.pos.Status = fmt.Sprintf("custom %d", 7-message)
	}
	r.micEComment(info[length:], blanks == 0)
	return nil
}

func micELatitude(digit [6]int) (lat float64, blanks int, err error) {
	for i := len(digit) - 1; i >= 0 && digit[i] < 0; i-- {
		blanks++
	}
	value := 0
	for i, d := range digit {
		if i >= len(digit)-blanks {
			d = 0
		}
		if d < 0 || blanks > 4 {
			return 0, 0, errors.New("Mic-E report: blank digits within the latitude")
		}
		value = value*10 + d
	}
	minutes := float64(value%10000) / 100
	if minutes >= 60 {
		return 0, 0, fmt.Errorf("Mic-E report: %v minutes of latitude", minutes)
	}
	return float64(value/10000) + (minutes+middle(blanks))/60, blanks, nil
}

func middle(blanks int) float64 {
	if blanks == 0 {
		return 0
	}
	return boxMinutes[blanks] / 2
}

// micELongitude reads degrees, minutes and hundredths, each shifted by 28 and folded so
// that they can be sent. Digits left blank in the latitude are blank here too.
func micELongitude(d, m, h byte, hundred bool, blanks int) (float64, error) {
	degrees, minutes, hundredths := int(d)-28, int(m)-28, int(h)-28
	if hundred {
		degrees += 100
	}
	switch {
	case degrees >= 180 && degrees <= 189:
		degrees -= 80
	case degrees >= 190 && degrees <= 199:
		degrees -= 190
	}
	if minutes >= 60 {
		minutes -= 60
	}
	if degrees < 0 || degrees > 179 || minutes < 0 || minutes > 59 || hundredths < 0 || hundredths > 99 {
		return 0, fmt.Errorf("Mic-E report: %d degrees %d.%02d minutes of longitude", degrees, minutes, hundredths)
	}
	box := boxMinutes[blanks]
	told := float64(minutes) + float64(hundredths)/100
	if blanks > 0 {
		told = math.Floor(told/box)*box + middle(blanks)
	}
	return float64(degrees) + told/60, nil
}

// micEMotion reads speed (knots) and course (degrees; 0 is none), folded.
func (r reader) micEMotion(sp, dc, se int) error {
	if sp < 0 || dc < 0 || se < 0 {
		return errors.New("Mic-E report: a byte below 28 in speed and course")
	}
	speed, course := 10*sp+dc/10, 100*(dc%10)+se
	if speed >= 800 {
		speed -= 800
	}
	if course >= 400 {
		course -= 400
	}
	if speed > 799 || course > 360 {
		return fmt.Errorf("Mic-E report: %d kt on course %d", speed, course)
	}
	r.pos.Speed = fix.Known(float64(speed) * unit.Knot)
	if course > 0 {
		r.pos.CourseDeg = fix.Known(float64(course % 360))
	}
	return nil
}

// micEComment reads a height, three letters of base 91 and "}", metres above a level
// 10 km below the sea, at the beginning of the words or after the byte of the radio's
// make.
func (r reader) micEComment(text string, finer bool) {
	const below, length = 10000, 4
	for skip := 0; skip <= 1 && len(text) >= skip+length; skip++ {
		if text[skip+3] != '}' {
			continue
		}
		if v, ok := base91(text[skip : skip+3]); ok {
			r.pos.Height = fix.Height{Metres: float64(v - below), Kind: fix.AboveSea}
			text = text[:skip] + text[skip+length:]
			break
		}
	}
	r.comment(text, finer)
}
