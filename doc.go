// Package pappus is the flight desk for one latex-balloon flight and for the
// next ones. The root holds no code, only the tests that guard the house.
package pappus
