package flight

import (
	"pappus/desk/sizing"
	"pappus/record"
)

// Reporters answers which ways there are to hear where the flight is, and what
// its own ones leave open.
func Reporters(f *record.Flight) *sizing.ReporterChoice { return sizing.ReportersOf(f) }
