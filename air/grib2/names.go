package grib2

import (
	"fmt"
	"strconv"
)

// parameter is what code tables 4.1 and 4.2 call by three numbers.
type parameter struct{ discipline, category, number uint8 }

// shortNames are the usual short names of the parameters of [GRIB2] code table
// 4.2 that a balloon flight may meet.
var shortNames = map[parameter]string{
	{0, 0, 0}: "t", {0, 0, 1}: "vtmp", {0, 0, 2}: "pt", {0, 0, 4}: "tmax", {0, 0, 5}: "tmin", {0, 0, 6}: "dpt", {0, 0, 21}: "aptmp",
	{0, 1, 0}: "q", {0, 1, 1}: "r", {0, 1, 3}: "pwat", {0, 1, 7}: "prate", {0, 1, 8}: "tp", {0, 1, 10}: "acpcp", {0, 1, 11}: "sd", {0, 1, 13}: "sdwe",
	{0, 1, 22}: "clwmr", {0, 1, 23}: "icmr", {0, 1, 24}: "rwmr", {0, 1, 25}: "snmr", {0, 1, 52}: "tprate", {0, 1, 192}: "crain", {0, 1, 193}: "cfrzr", {0, 1, 194}: "cicep", {0, 1, 195}: "csnow",
	{0, 2, 0}: "wdir", {0, 2, 1}: "ws", {0, 2, 2}: "u", {0, 2, 3}: "v", {0, 2, 8}: "w", {0, 2, 9}: "wz", {0, 2, 10}: "absv", {0, 2, 12}: "vo", {0, 2, 13}: "d", {0, 2, 22}: "gust",
	{0, 3, 0}: "pres", {0, 3, 1}: "prmsl", {0, 3, 4}: "z", {0, 3, 5}: "gh", {0, 3, 6}: "h", {0, 3, 18}: "blh", {0, 3, 192}: "mslet", {0, 3, 196}: "hpbl",
	{0, 4, 7}: "dswrf", {0, 5, 3}: "dlwrf",
	{0, 6, 1}: "tcc", {0, 6, 3}: "lcc", {0, 6, 4}: "mcc", {0, 6, 5}: "hcc", {0, 6, 11}: "cdcb", {0, 6, 12}: "cdct", {0, 6, 22}: "cc",
	{0, 7, 6}: "cape", {0, 7, 7}: "cin", {0, 7, 8}: "srh", {0, 14, 0}: "o3", {0, 14, 1}: "o3mr", {0, 16, 196}: "refc", {0, 16, 195}: "refd", {0, 19, 0}: "vis",
	{2, 0, 0}: "lsm", {2, 0, 1}: "sr", {2, 0, 2}: "st", {2, 0, 7}: "orog",
	{10, 0, 3}: "swh", {10, 0, 8}: "shts", {10, 2, 0}: "ci", {10, 3, 0}: "sst",
}

// atGround, atMean and aloft are names that a parameter has on certain levels
// only.
var (
	atGround = map[parameter]string{{0, 3, 0}: "sp", {0, 3, 5}: "orog", {0, 0, 0}: "skt"}
	atMean   = map[parameter]string{{0, 3, 0}: "msl", {0, 3, 1}: "prmsl", {0, 3, 192}: "mslet"}
	aloft    = map[parameter]string{{0, 0, 0}: "t", {0, 0, 6}: "d", {0, 1, 0}: "sh", {0, 1, 1}: "r", {0, 2, 2}: "u", {0, 2, 3}: "v", {0, 2, 1}: "si"}
)

// Parameter is a short lower-case name such as t, gh or 10u, or the three
// numbers of the code tables where there is none: "0.19.238".
func (f Field) Parameter() string {
	p := parameter{f.Discipline, f.Product.Category, f.Product.Number}
	level := f.Product.First
	single := f.Product.Second.Type == 255
	if f.Product.Known && single {
		switch {
		case level.Type == 1 && atGround[p] != "":
			return atGround[p]
		case level.Type == 101 && atMean[p] != "":
			return atMean[p]
		case level.Type == 103 && (level.Value == 2 || level.Value == 10 || level.Value == 100) && aloft[p] != "":
			return strconv.Itoa(int(level.Value)) + aloft[p]
		}
	}
	if name := shortNames[p]; name != "" {
		return name
	}
	return fmt.Sprintf("%d.%d.%d", p.discipline, p.category, p.number)
}

// plainLevels are the fixed surfaces of code table 4.5 that have no value.
var plainLevels = map[uint8]string{
	1: "surface", 2: "cloud base", 3: "cloud tops", 4: "freezing level", 5: "lifted condensation level", 6: "maximum wind", 7: "tropopause", 8: "top of the atmosphere",
	9: "sea bottom", 10: "whole atmosphere", 13: "convective cloud bottom", 14: "convective cloud top", 17: "departure level", 101: "mean sea level",
	200: "whole atmosphere", 201: "whole ocean", 204: "highest freezing level", 211: "boundary layer clouds", 212: "low cloud base", 213: "low cloud top", 214: "low clouds",
	220: "planetary boundary layer", 222: "middle cloud base", 223: "middle cloud top", 224: "middle clouds", 232: "high cloud base", 233: "high cloud top", 234: "high clouds",
	242: "convective cloud base", 243: "convective cloud top", 244: "convective clouds",
}

// measuredLevels are those that have one: the unit, what follows it, and how
// many SI units it is.
var measuredLevels = map[uint8]struct {
	unit, after string
	factor      float64
}{
	20: {"K", "isotherm", 1}, 100: {"hPa", "", 100}, 102: {"m", "above mean sea level", 1}, 103: {"m", "above ground", 1}, 106: {"m", "below ground", 1}, 107: {"K", "isentropic", 1},
	108: {"hPa", "above ground", 100}, 109: {"PVU", "", 1e-6}, 160: {"m", "below the sea", 1},
	104: {"", "sigma", 1}, 105: {"", "hybrid level", 1}, 111: {"", "eta", 1}, 118: {"", "hybrid height level", 1}, 150: {"", "vertical level", 1}, 151: {"", "soil level", 1}, 241: {"", "in sequence", 1},
}

// Level is the height of the field in words: "500 hPa", "surface", "10 m above
// ground", "10 to 30 m below ground".
func (f Field) Level() string {
	if !f.Product.Known {
		return "unknown level"
	}
	first, second := f.Product.First, f.Product.Second
	if second.Type == 255 {
		return first.words()
	}
	kind, measured := measuredLevels[first.Type]
	if measured && first.Type == second.Type && !first.Missing && !second.Missing {
		both := fmt.Sprintf("%s to %s", number(first.Value/kind.factor), number(second.Value/kind.factor))
		return join(both, kind.unit, kind.after)
	}
	if first == second || first.Type == second.Type && !measured {
		return first.words()
	}
	return first.words() + " to " + second.words()
}

func (s Surface) words() string {
	if kind, ok := measuredLevels[s.Type]; ok && !s.Missing {
		return join(number(s.Value/kind.factor), kind.unit, kind.after)
	}
	if name := plainLevels[s.Type]; name != "" {
		return name
	}
	if s.Type == 255 {
		return "no level"
	}
	if s.Missing {
		return fmt.Sprintf("surface type %d", s.Type)
	}
	return fmt.Sprintf("surface type %d at %s", s.Type, number(s.Value))
}

// number has up to nine digits, enough for any level and few enough to hide the
// rounding of a division.
func number(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }

func join(words ...string) string {
	text := ""
	for _, w := range words {
		if w != "" && text != "" {
			text += " "
		}
		text += w
	}
	return text
}
