package forecast

import (
	"encoding/json"
	"errors"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

func list(files ...File) ([]Message, Faults) {
	var messages []Message
	faults := Inventory(files, func(m Message) { messages = append(messages, m) })
	return messages, faults
}

func TestInventory(t *testing.T) {
	w := patch()
	w.hours, w.levels, w.members, w.packing = []int{3}, []float64{50000}, []int{7}, 3
	messages, faults := list(w.file(t, "sky"), File{"sky.idx", []byte("1:0:")})
	if len(faults) != 0 || len(messages) != 4 {
		t.Fatalf("%d messages, %v", len(messages), faults)
	}
	m := messages[1]
	if m.File != "sky" || m.Parameter != "t" || m.Step != 10800 || !m.Cycle.Equal(day) || !m.Time.Equal(day.Add(3*time.Hour)) || *m.Member != 7 {
		t.Errorf("lists %+v", m)
	}
	if m.Grid != "latitude-longitude 31 x 21, 1 x 1 degrees, 50 N to 30 N, 110 W to 80 W" || !strings.HasPrefix(m.Packing, "complex with differences of order 2 (5.3)") {
		t.Errorf("grid %q, packing %q", m.Grid, m.Packing)
	}
	// The standard has 252.0 K at 500 hPa, by [USSA76] 5574.4 m below 288.15 K.
	near(t, "least temperature", float64(m.Min), 288.15-0.0065*5574.4, 2e-3)
	near(t, "greatest temperature", float64(m.Max), float64(m.Min), 1e-9)
	text, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]any
	if err := json.Unmarshal(text, &keys); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"parameter", "level", "time", "step_s", "grid", "packing", "min", "max"} {
		if _, ok := keys[key]; !ok {
			t.Errorf("%s is missing from %s", key, text)
		}
	}
	if keys["time"] != "2027-04-17T15:00:00Z" || keys["step_s"] != 10800.0 {
		t.Errorf("time and step of %s", text)
	}
}

func TestInventoryOfNothing(t *testing.T) {
	w := patch()
	w.hours, w.levels = []int{3}, []float64{50000}
	w.value = func(variable, float64, float64, float64, int, int, float64) float64 { return math.NaN() }
	messages, faults := list(w.file(t, "sky"))
	if len(faults) != 0 || len(messages) != 4 {
		t.Fatalf("%d messages, %v", len(messages), faults)
	}
	text, err := json.Marshal(messages[0])
	if err != nil || !strings.Contains(string(text), `"min":null,"max":null`) || strings.Contains(string(text), "member") {
		t.Errorf("an empty field reads %s, %v", text, err)
	}
}

func TestInventoryOfATable(t *testing.T) {
	messages, faults := list(File{"sky.csv", []byte("height_m,wind_from_deg,wind_speed_mps\n0,270,10\n10000,180,30\n")}, File{"bad.csv", []byte("a;b")})
	if len(messages) != 4 || len(faults) != 1 || !strings.HasPrefix(faults[0].Error(), "bad.csv, row 1: ") {
		t.Fatalf("%d messages, %v", len(messages), faults)
	}
	near(t, "greatest wind towards north", float64(messages[3].Max), 30, 1e-9)
	if text, err := json.Marshal(messages[3]); err != nil || strings.Contains(string(text), "time") {
		t.Errorf("a table reads %s, %v", text, err)
	}
}

// One line for each bad message; the sound ones are listed all the same.
func TestInventoryGoesOn(t *testing.T) {
	good := patch()
	good.hours, good.levels = []int{3}, []float64{50000}
	data := good.file(t, "sky").Data
	torn := append(append([]byte{}, data...), data[:len(data)-50]...)
	messages, faults := list(File{"torn", torn}, File{"empty", nil}, File{"tail", append(data[:len(data):len(data)], "GRI"...)})
	if len(messages) != 4+3+4 || len(faults) != 3 {
		t.Fatalf("%d messages, %d faults: %v", len(messages), len(faults), faults)
	}
	for i, name := range []string{"torn: message 8 ", "empty: ", "tail: "} {
		if !strings.HasPrefix(faults[i].Error(), name) {
			t.Errorf("fault %d reads %v", i, faults[i])
		}
	}
	var bad *FileError
	if !errors.As(faults, &bad) {
		t.Error("the faults hide their kind")
	}
}

// Every field of the real material comes out with the extremes that ecCodes gives.
func TestOutsideInventory(t *testing.T) {
	folder := shared(t, "grib2")
	lines := strings.Split(strings.TrimSpace(string(fileAt(t, filepath.Join(folder, "values.tsv")).Data)), "\n")
	column := map[string]int{}
	for i, name := range strings.Split(lines[0], "\t") {
		column[name] = i
	}
	expected := map[string][][]string{}
	var names []string
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if expected[cells[0]] == nil {
			names = append(names, cells[0])
		}
		expected[cells[0]] = append(expected[cells[0]], cells)
	}
	for _, name := range names {
		messages, faults := list(fileAt(t, filepath.Join(folder, name)))
		for _, fault := range faults {
			// JPEG 2000 may be out of reach; then the fault must say so.
			if !strings.Contains(fault.Error(), "JPEG 2000") {
				t.Errorf("%v", fault)
			}
		}
		if len(faults) > 0 {
			continue
		}
		if len(messages) != len(expected[name]) {
			t.Errorf("%s: %d fields, ecCodes %d", name, len(messages), len(expected[name]))
			continue
		}
		for i, cells := range expected[name] {
			for key, got := range map[string]float64{"min": float64(messages[i].Min), "max": float64(messages[i].Max)} {
				want, err := strconv.ParseFloat(cells[column[key]], 64)
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				// The reference is printed with eight digits.
				near(t, name+" "+messages[i].Parameter+" "+key, got, want, math.Abs(want)*2e-7+1e-12)
			}
		}
	}
}
