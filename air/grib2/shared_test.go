package grib2

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// dataFolder finds the shared data: in PAPPUS_DATA, or beside the repository.
func dataFolder(t testing.TB) string {
	t.Helper()
	if dir := os.Getenv("PAPPUS_DATA"); dir != "" {
		return dir
	}
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if filepath.Dir(dir) == dir {
			t.Fatal("no go.mod above the working directory")
		}
		dir = filepath.Dir(dir)
	}
	dir = filepath.Join(dir, "..", "shared", "data")
	if _, err := os.Stat(dir); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("the shared data are missing: %v", err)
		}
		t.Skipf("the shared data are not here (set PAPPUS_DATA): %v", err)
	}
	return dir
}

func readFile(t testing.TB, parts ...string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(parts...))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestOutsideValues compares every field of the shared files with what ecCodes
// 2.28 says of it. The table has eight significant digits, which sets the
// tolerance; the bits are compared in TestOutsideGribDoc.
func TestOutsideValues(t *testing.T) {
	folder := filepath.Join(dataFolder(t), "grib2")
	lines := strings.Split(strings.TrimSpace(string(readFile(t, folder, "values.tsv"))), "\n")
	names := strings.Split(lines[0], "\t")
	files := map[string][]Field{}
	seen := map[string]int{}
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, cell := range strings.Split(line, "\t") {
			row[names[i]] = cell
		}
		file := row["file"]
		if files[file] == nil {
			fields, faults := Scan(readFile(t, folder, file))
			for _, fault := range faults {
				t.Errorf("%s: %v", file, fault)
			}
			files[file] = fields
		}
		n := seen[file]
		seen[file]++
		if n >= len(files[file]) {
			t.Errorf("%s: field %d was not found", file, n+1)
			continue
		}
		t.Run(file+"/"+strconv.Itoa(n+1), func(t *testing.T) { compareRow(t, &files[file][n], row) })
	}
	for file, fields := range files {
		if len(fields) != seen[file] {
			t.Errorf("%s: %d fields found, %d expected", file, len(fields), seen[file])
		}
	}
}

func compareRow(t *testing.T, f *Field, row map[string]string) {
	number := func(key string) float64 {
		v, err := strconv.ParseFloat(row[key], 64)
		if err != nil {
			t.Fatalf("%s: %v", key, err)
		}
		return v
	}
	same := func(key string, got float64) {
		t.Helper()
		if row[key] != "" && number(key) != got {
			t.Errorf("%s is %v, not %s", key, got, row[key])
		}
	}
	same("offset", float64(f.Offset))
	if f.Sub == 1 && float64(f.Length) < number("length") {
		t.Errorf("the message has %d octets, fewer than %s", f.Length, row["length"])
	}
	same("discipline", float64(f.Discipline))
	same("cat", float64(f.Product.Category))
	same("num", float64(f.Product.Number))
	same("pdtn", float64(f.Product.Template))
	same("gdtn", float64(f.Grid.Template))
	same("Ni", float64(f.Grid.Ni))
	same("Nj", float64(f.Grid.Nj))
	same("scanningMode", float64(f.Grid.ScanMode))
	same("drtn", float64(f.Packing.Template))
	if f.Packing.Template != 4 {
		same("bits", float64(f.Packing.Bits))
	}
	same("nPoints", float64(f.Grid.Points))
	if f.Grid.Template == 0 {
		for key, got := range map[string]float64{"la1": f.Grid.La1, "lo1": f.Grid.Lo1, "la2": f.Grid.La2, "lo2": f.Grid.Lo2, "di": f.Grid.Di, "dj": f.Grid.Dj} {
			if key[1] == 'o' {
				got = math.Mod(got-number(key)+540, 360) + number(key) - 180 // whole turns do not matter
			}
			if math.Abs(number(key)-got) > 0.5e-6 { // the table has six decimals
				t.Errorf("%s is %v, not %s", key, got, row[key])
			}
		}
	}
	compareTimes(t, f, row)
	values, err := f.Decode(nil)
	if err != nil {
		t.Fatal(err)
	}
	compareValues(t, values, row)
}

func compareTimes(t *testing.T, f *Field, row map[string]string) {
	clock := row["time"]
	for len(clock) < 4 {
		clock = "0" + clock
	}
	want, err := time.Parse("200601021504", row["date"]+clock)
	if err != nil {
		t.Fatal(err)
	}
	if !f.Reference.Equal(want) {
		t.Errorf("the reference time is %v, not %v", f.Reference, want)
	}
	start, end, interval := strings.Cut(row["stepRange"], "-")
	if !interval {
		end = start
	}
	unit := int64(3600)
	if strings.HasSuffix(end, "m") {
		unit, start, end = 60, strings.TrimSuffix(start, "m"), strings.TrimSuffix(end, "m")
	}
	for text, got := range map[string]int64{start: f.Product.ForecastSeconds, end: f.Product.EndSeconds} {
		if n, err := strconv.ParseInt(text, 10, 64); start != end && (err != nil || n*unit != got) {
			t.Errorf("the step ends %d s after the reference time, not %s (%s)", got, text, row["stepRange"])
		}
	}
	if n, err := strconv.ParseInt(end, 10, 64); err != nil || n*unit != f.Product.EndSeconds {
		t.Errorf("the step ends %d s after the reference time, not at %s", f.Product.EndSeconds, row["stepRange"])
	}
}

func compareValues(t *testing.T, values []float64, row map[string]string) {
	low, high, sum, missing := math.Inf(1), math.Inf(-1), 0.0, 0
	for _, v := range values {
		if math.IsNaN(v) {
			missing++
			continue
		}
		low, high, sum = min(low, v), max(high, v), sum+v
	}
	if row["nMissing"] != strconv.Itoa(missing) {
		t.Errorf("%d values are missing, not %s", missing, row["nMissing"])
	}
	mean := sum / float64(len(values)-missing)
	first, middle, last := values[0], values[len(values)/2], values[len(values)-1]
	for key, got := range map[string]float64{"min": low, "max": high, "avg": mean, "v_first": first, "v_mid": middle, "v_last": last} {
		if row[key] == "missing" {
			if !math.IsNaN(got) {
				t.Errorf("%s is %v, not missing", key, got)
			}
			continue
		}
		want, err := strconv.ParseFloat(row[key], 64)
		if err != nil {
			t.Fatal(err)
		}
		tolerance := 1e-7 * math.Abs(want)
		if key == "avg" {
			tolerance += 1e-7 * (high - low) // the sums are taken in another order
		}
		if !(math.Abs(got-want) <= tolerance) {
			t.Errorf("%s is %v, not %s", key, got, row[key])
		}
	}
}
