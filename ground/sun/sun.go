// Package sun answers where the Sun stands, and when it rises, sets and leaves twilight,
// for a place, an instant and a height above the ground.
//
// The position is Newcomb's theory shortened as in [Meeus1988] ch. 18, with the largest
// planetary terms; against a full theory it is within about 5 arcseconds from 1950 to 2050,
// which is a third of a second of clock time. What limits rise and set is the air: refraction
// at the horizon changes by several arcminutes from day to day, and hills are not looked at,
// so that a real sunset may differ by a minute or two, and by far more near the poles.
package sun

import (
	"math"
	"time"

	"pappus/measure/geo"
)

const (
	degree = math.Pi / 180

	// horizonRefractionDeg and semidiameterDeg are the almanacs' conventional 34' and 16'
	// [Meeus1998] ch. 15: at sunset the upper limb touches the horizon.
	horizonRefractionDeg = 34.0 / 60
	semidiameterDeg      = 16.0 / 60

	// CivilTwilightDeg is how far the Sun's centre is below the horizon when civil twilight ends.
	CivilTwilightDeg = 6.0

	// parallaxDeg is the Sun's horizontal parallax, 8.794 arcseconds.
	parallaxDeg = 8.794 / 3600

	// terrestrialMinusUniversal is TT - UTC in the 2020s, in seconds. The Sun moves 0.04 arcseconds a second,
	// so that a wrong minute here would not be seen.
	terrestrialMinusUniversal = 69.2

	secondsPerDay = 86400.0
)

// Position is where the Sun's centre stands in the sky of an observer on the ground.
type Position struct {
	// ElevationDeg is above the true horizontal, without refraction, with parallax.
	ElevationDeg float64
	// ApparentDeg is the same as seen through average air (1010 hPa, 10 °C) at sea level.
	ApparentDeg float64
	// AzimuthDeg is from true north through east, 0 to 360.
	AzimuthDeg float64
}

// At gives the Sun's position for an instant and a place on the ground.
func At(t time.Time, p geo.Point) Position {
	s := equatorial(t)
	hour := (s.siderealDeg + p.LonDeg - s.rightAscensionDeg) * degree
	sinLat, cosLat := math.Sincos(p.LatDeg * degree)
	sinDec, cosDec := math.Sincos(s.declinationDeg * degree)
	sinHour, cosHour := math.Sincos(hour)

	sinElevation := sinLat*sinDec + cosLat*cosDec*cosHour
	east := -cosDec * sinHour
	north := sinDec*cosLat - cosDec*sinLat*cosHour
	elevation := math.Atan2(sinElevation, math.Hypot(east, north)) / degree
	elevation -= parallaxDeg * math.Cos(elevation*degree)
	azimuth := math.Atan2(east, north) / degree
	if azimuth < 0 {
		azimuth += 360
	}
	return Position{ElevationDeg: elevation, ApparentDeg: elevation + refractionDeg(elevation), AzimuthDeg: azimuth}
}

// refractionDeg is Saemundsson's formula for the lift of a true elevation [Meeus1998] eq. 16.4, for 1010 hPa and 10 °C,
// good to 0.1' above the horizon. Below -1° nothing is seen from the ground and it is let fade.
func refractionDeg(elevationDeg float64) float64 {
	if elevationDeg >= 89.9 {
		return 0
	}
	e := math.Max(elevationDeg, -1)
	lift := 1.02 / 60 / math.Tan((e+10.3/(e+5.11))*degree)
	if elevationDeg < -1 {
		lift *= math.Tan(1*degree) / math.Tan(math.Min(-elevationDeg, 89.9)*degree)
	}
	return lift
}

type celestial struct {
	rightAscensionDeg, declinationDeg float64
	siderealDeg                       float64 // apparent, at Greenwich
}

// equatorial is the apparent place of the Sun's centre seen from the Earth's, and the turn of the Earth.
// Sun: [Meeus1988] ch. 18, with T in Julian centuries of terrestrial time from 1900 January 0.5.
// Sidereal time: [Meeus1998] eq. 12.4. UT1 is taken as UTC (never 0.9 s apart: 0.004°).
func equatorial(t time.Time) celestial {
	const epoch1900 = 2415020.0
	const epoch2000 = 2451545.0
	const unixEpoch = 2440587.5
	universal := unixEpoch + (float64(t.Unix())+float64(t.Nanosecond())*1e-9)/secondsPerDay
	T := (universal + terrestrialMinusUniversal/secondsPerDay - epoch1900) / 36525

	meanLongitude := 279.69668 + T*(36000.76892+T*0.0003025)
	meanAnomaly := (358.47583 + T*(35999.04975-T*(0.000150+T*0.0000033))) * degree
	centre := (1.919460-T*(0.004789+T*0.000014))*math.Sin(meanAnomaly) +
		(0.020094-T*0.000100)*math.Sin(2*meanAnomaly) + 0.000293*math.Sin(3*meanAnomaly)
	node := (259.18 - 1934.142*T) * degree

	longitude := meanLongitude + centre +
		0.00134*math.Cos((153.23+22518.7541*T)*degree) + // Venus
		0.00154*math.Cos((216.57+45037.5082*T)*degree) + // Venus
		0.00200*math.Cos((312.69+32964.3577*T)*degree) + // Jupiter
		0.00179*math.Sin((350.74+445267.1142*T)*degree) + // the Moon
		0.00178*math.Sin((231.19+20.20*T)*degree) // a long period
	nutation := -0.00479 * math.Sin(node)
	longitude += nutation - 0.00569 // aberration
	obliquity := 23.452294 - T*(0.0130125+T*0.00000164) + 0.00256*math.Cos(node)

	sinLongitude, cosLongitude := math.Sincos(math.Mod(longitude, 360) * degree)
	sinObliquity, cosObliquity := math.Sincos(obliquity * degree)
	days := universal - epoch2000
	sidereal := 280.46061837 + math.Mod(360.98564736629*days, 360) + nutation*cosObliquity
	return celestial{
		rightAscensionDeg: math.Atan2(cosObliquity*sinLongitude, cosLongitude) / degree,
		declinationDeg:    math.Asin(sinObliquity*sinLongitude) / degree,
		siderealDeg:       sidereal,
	}
}
