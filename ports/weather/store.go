package weather

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"time"

	"pappus/air/grib2"
)

// partFolder holds what is not whole yet, inside the folder that it is for.
const partFolder = ".part"

// Name is what a kept file is called, for a person to read:
// gefs050_20270417T06Z_m07_f012.grib2.
type Name struct {
	Source string
	Cycle  time.Time
	Member int   // -1: none
	Step   int64 // s
}

func (n Name) String() string {
	cycle := n.Cycle.UTC().Format("20060102T15")
	if n.Cycle.Minute() != 0 {
		cycle = n.Cycle.UTC().Format("20060102T1504")
	}
	member := ""
	if n.Member >= 0 {
		member = fmt.Sprintf("_m%02d", n.Member)
	}
	step := fmt.Sprintf("f%03d", n.Step/3600)
	if minutes := n.Step % 3600 / 60; minutes != 0 {
		step += fmt.Sprintf("m%02d", minutes)
	}
	return fmt.Sprintf("%s_%sZ%s_%s.grib2", n.Source, cycle, member, step)
}

var namePattern = regexp.MustCompile(`^([a-z][a-z0-9.-]*)_(\d{8}T\d{2}(?:\d{2})?)Z(?:_m(\d{2,3}))?_f(\d{3,4})(?:m(\d{2}))?\.grib2$`)

// ParseName reads the name of a kept file; others are no names of ours.
func ParseName(text string) (Name, bool) {
	parts := namePattern.FindStringSubmatch(text)
	if parts == nil {
		return Name{}, false
	}
	form := map[int]string{11: "20060102T15", 13: "20060102T1504"}[len(parts[2])]
	cycle, err := time.Parse(form, parts[2])
	n := Name{Source: parts[1], Cycle: cycle, Member: -1}
	if parts[3] != "" {
		n.Member, _ = strconv.Atoi(parts[3]) // digits, by the pattern
	}
	hours, _ := strconv.Atoi(parts[4])
	minutes, _ := strconv.Atoi(parts[5]) // 0 where there are none
	n.Step = int64(hours)*3600 + int64(minutes)*60
	return n, err == nil
}

// writeWhole writes a file whole or not at all: beside its place, synced, then
// moved there.
func writeWhole(path string, data []byte) error {
	temporary, err := os.CreateTemp(filepath.Dir(path), ".whole-*")
	if err != nil {
		return diskError(path, err)
	}
	_, err = temporary.Write(data)
	if err == nil {
		err = temporary.Chmod(0o644)
	}
	if err == nil {
		err = temporary.Sync()
	}
	err = errors.Join(err, temporary.Close())
	if err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		os.Remove(temporary.Name())
	}
	return diskError(path, err)
}

// syncFolder makes moves inside a folder last through a loss of power.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return diskError(path, err)
	}
	return diskError(path, errors.Join(folder.Sync(), folder.Close()))
}

// commit moves whole files to their places. If it is interrupted between two,
// the next run finds the rest where it lies and moves it.
func commit(from, into string, names []string) error {
	for _, name := range names {
		path := filepath.Join(into, name)
		if err := os.Rename(filepath.Join(from, name), path); err != nil {
			return diskError(path, err)
		}
	}
	return syncFolder(into)
}

// satisfied tells whether a file holds everything of a wish, on the window, for
// one step and member.
func satisfied(path string, n Name, w wish, window Window) (bool, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	} else if err != nil {
		return false, diskError(path, err)
	}
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		return false, nil // broken: fetched again
	}
	found := 0
	for i := range fields {
		f := &fields[i]
		m, ok := fieldMark(f)
		if !ok || !w[m] {
			continue
		}
		if !f.Reference.Equal(n.Cycle) || f.Product.ForecastSeconds != n.Step || n.Member >= 0 && f.Product.Member != n.Member || !window.holds(f.Grid) {
			return false, nil
		}
		found++
	}
	return found == len(w), nil
}
