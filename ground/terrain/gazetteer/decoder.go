package gazetteer

import (
	"fmt"
	"sync"

	"pappus/ground/terrain/nearby"
	"pappus/ground/terrain/packed"
	"pappus/measure/geo"
)

// decoder opens section after section and keeps the first fault.
type decoder struct {
	file *packed.File
	what string
	err  error
}

func (d *decoder) section(i int) []byte {
	if d.err != nil {
		return nil
	}
	s, err := d.file.Section(i)
	d.note(i, err)
	return s
}

func (d *decoder) note(i int, err error) {
	if err != nil && d.err == nil {
		d.err = fmt.Errorf("%s, section %d: %w", d.what, i, err)
	}
}

func (d *decoder) points(i int, grid *nearby.Grid) []geo.Point {
	s := d.section(i)
	if d.err != nil {
		return nil
	}
	points, err := decodePoints(s, grid)
	d.note(i, err)
	return points
}

func column[T int16 | uint16 | int32](d *decoder, i, n int, differences bool) []T {
	s := d.section(i)
	if d.err != nil {
		return nil
	}
	values, err := decodeColumn[T](s, n, differences)
	d.note(i, err)
	return values
}

// lazyWords leaves the names packed until one is asked for: most runs need a handful.
func (d *decoder) lazyWords(i, n int) func() (words, error) {
	file, what := d.file, d.what
	return sync.OnceValues(func() (words, error) {
		s, err := file.Section(i)
		if err != nil {
			return words{}, fmt.Errorf("%s, section %d: %w", what, i, err)
		}
		w, err := decodeWords(s, n)
		if err != nil {
			return words{}, fmt.Errorf("%s, section %d: %w", what, i, err)
		}
		return w, nil
	})
}

// nameAt gives a name. The tables are part of the program, and a test opens them all: a fault here is ours.
func nameAt(load func() (words, error), i int) string {
	w, err := load()
	if err != nil {
		panic(err)
	}
	return w.at(i)
}
