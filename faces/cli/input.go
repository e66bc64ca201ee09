package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pappus/air/forecast"
	"pappus/record"
)

// readFlight reads a flight file from disk.
func readFlight(path string) (*record.Flight, error) {
	data, err := readFile(path)
	if err != nil {
		return nil, err
	}
	return record.Parse(path, data)
}

// largestFile bounds what is read into memory at once.
const largestFile = 4 << 30

func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: there is no such file", path)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", path, err)
	case info.IsDir():
		return nil, fmt.Errorf("%s: this is a folder, and a file is wanted", path)
	case info.Size() > largestFile:
		return nil, fmt.Errorf("%s: %d octets are more than can be read at once; cut the file to the area and steps that the flight needs", path, info.Size())
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return data, nil
}

// readWeather reads weather files and the files of folders, in the order of
// the command line and of names. Folders are taken whole but for files that
// are no weather by their name.
func readWeather(paths []string) ([]forecast.File, error) {
	var files []forecast.File
	for _, path := range paths {
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("%s: there is no such file or folder", path)
		} else if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		names := []string{path}
		if info.IsDir() {
			if names, err = weatherIn(path); err != nil {
				return nil, err
			}
		}
		for _, name := range names {
			data, err := readFile(name)
			if err != nil {
				return nil, err
			}
			files = append(files, forecast.File{Name: name, Data: data})
		}
	}
	return files, nil
}

// weatherIn lists the weather files of a folder.
func weatherIn(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", folder, err)
	}
	endings := []string{".grib2", ".grb2", ".grib", ".grb", ".gb2", ".csv"}
	var names []string
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		ending := filepath.Ext(name)
		// Archives name forecast steps by their ending: pgrb2.0p25.f012.
		step := len(ending) > 2 && ending[1] == 'f' && strings.Trim(ending[2:], "0123456789") == "" && strings.Contains(name, "grb2")
		if !e.IsDir() && (slices.Contains(endings, ending) || step) {
			names = append(names, filepath.Join(folder, e.Name()))
		}
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("%s: no weather file is in this folder (endings %s)", folder, strings.Join(endings, " "))
	}
	return names, nil
}

// writeFile writes a whole file or none: beside its place first, then moved.
// What is no file, such as a pipe or /dev/stdout, is written to as it stands.
func writeFile(path string, data []byte) error {
	switch info, err := os.Stat(path); {
	case err == nil && info.IsDir():
		return fault{fmt.Errorf("%s: this is a folder: give the name of a file to write", path)}
	case err == nil && !info.Mode().IsRegular():
		return writeInto(path, data)
	}
	temporary, err := os.CreateTemp(filepath.Dir(path), ".pappus-*")
	if err != nil {
		return fault{fmt.Errorf("%s: %w", path, err)}
	}
	_, err = temporary.Write(data)
	if err == nil {
		err = temporary.Sync()
	}
	if closing := temporary.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(temporary.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		os.Remove(temporary.Name())
		return fault{fmt.Errorf("%s: %w", path, err)}
	}
	return nil
}

func writeInto(path string, data []byte) error {
	into, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		_, err = into.Write(data)
		err = errors.Join(err, into.Close())
	}
	if err != nil {
		return fault{fmt.Errorf("%s: %w", path, err)}
	}
	return nil
}
