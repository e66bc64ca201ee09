// Package grib2 turns the octets of WMO FM 92 GRIB edition 2 files into
// numbers and back. It knows the layout of the sections, the packings and the
// grids, and nothing about weather: which parameter is a wind, or how to sample
// a cube, is for the packages above.
//
// Scan finds the fields of a file held in memory and reads their headers;
// nothing is decoded and nothing is copied. Field.Decode then gives the values
// of one field in file order, with NaN where the file says that there is none.
//
// Values are worked out in float64 as (R + X·2^E)·10^-D, with the powers built
// by repeated multiplication or division, the product rounded before the sum.
// That is the order of operations of the common C decoder, so that the doubles
// agree with its own; see outside_test.go for how far that was checked.
//
// All layouts are from [GRIB2]; octet numbers in comments count from 1 inside
// a section, as they do there. Signed integers are sign and magnitude.
package grib2
