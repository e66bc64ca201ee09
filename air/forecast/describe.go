package forecast

import (
	"fmt"
	"math"

	"pappus/air/grib2"
)

// centreText names the centre that made a forecast, [GRIB2] common code table C-11.
func centreText(centre uint16) string {
	names := map[uint16]string{
		1: "the Australian weather service (Melbourne)", 7: "the US weather service (NCEP)", 34: "the Japanese weather service (Tokyo)",
		38: "the Chinese weather service (Beijing)", 40: "the Korean weather service (Seoul)", 54: "the Canadian weather service (Montreal)",
		58: "the US Navy's centre (FNMOC)", 59: "the NOAA laboratory in Boulder (ESRL)", 74: "the UK weather service (Exeter)",
		78: "the German weather service (Offenbach)", 82: "the Swedish weather service (Norrköping)", 84: "the French weather service (Toulouse)",
		85: "the French weather service (Toulouse)", 88: "the Norwegian weather service (Oslo)", 98: "ECMWF",
	}
	if name := names[centre]; name != "" {
		return name
	}
	if centre == 0 || centre == 255 || centre == 65535 { // absent and missing in the table
		return "a centre that the files do not name"
	}
	return fmt.Sprintf("centre %d", centre)
}

// gridText describes a grid in one phrase.
func gridText(g grib2.Grid) string {
	size := fmt.Sprintf("%d x %d", g.Ni, g.Nj)
	if g.Ni < 0 || g.Nj < 0 {
		size = fmt.Sprintf("%d points in rows of different length", g.Points)
	}
	metres := ""
	if g.Dx > 0 && g.Dy > 0 {
		metres = fmt.Sprintf(", %.6g x %.6g km", g.Dx/1000, g.Dy/1000)
	}
	name := map[uint16]string{0: "latitude-longitude", 1: "rotated latitude-longitude", 2: "stretched latitude-longitude", 10: "Mercator",
		12: "transverse Mercator", 20: "polar stereographic", 30: "Lambert conformal", 40: "Gaussian", 41: "rotated Gaussian",
		50: "spherical harmonics", 90: "space view", 100: "triangular", 101: "unstructured", 140: "Lambert azimuthal"}[g.Template]
	switch {
	case name == "":
		return fmt.Sprintf("grid template 3.%d, %d points", g.Template, g.Points)
	case g.Template > 30:
		return fmt.Sprintf("%s, %d points", name, g.Points)
	case g.Template > 2:
		return name + " " + size + metres
	}
	steps := ""
	if !math.IsNaN(g.Di) && !math.IsNaN(g.Dj) {
		steps = fmt.Sprintf(", %.6g x %.6g degrees", g.Di, g.Dj)
	}
	return fmt.Sprintf("%s %s%s, %s to %s, %s to %s", name, size, steps, latText(g.La1), latText(g.La2), lonText(g.Lo1), lonText(g.Lo2))
}

// packingText names a packing, [GRIB2] code table 5.0.
func packingText(p grib2.Packing) string {
	name := map[uint16]string{0: "simple", 2: "complex", 3: "complex with differences", 4: "IEEE floating point", 40: "JPEG 2000",
		41: "PNG", 42: "CCSDS", 50: "spectral simple", 51: "spectral complex", 61: "logarithmic", 200: "run length"}[p.Template]
	if name == "" {
		return fmt.Sprintf("template 5.%d", p.Template)
	}
	if p.Template == 3 {
		name += fmt.Sprintf(" of order %d", p.Order)
	}
	if p.Template == 4 {
		return name + " (5.4)"
	}
	return fmt.Sprintf("%s (5.%d), %d bits", name, p.Template, p.Bits)
}
