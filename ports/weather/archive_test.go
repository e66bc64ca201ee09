package weather

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pappus/air/grib2"
	"pappus/measure/geo"
)

// archive plays an open archive on the loopback: one forecast file and its index.
type archive struct {
	*httptest.Server
	data, index []byte
	clock       time.Time // what it shows
	lastStep    int       // steps after it are not out; 0: all are

	lock    sync.Mutex
	ranges  []string // of the requests for the file, in order of arrival
	paths   []string
	trouble func(w http.ResponseWriter, r *http.Request, n int) bool // n: how often this was asked before; true: answered
	asked   map[string]int
}

func newArchive(t *testing.T, data, index []byte) *archive {
	t.Helper()
	a := &archive{data: data, index: index, clock: serverTime, asked: map[string]int{}}
	a.Server = httptest.NewServer(http.HandlerFunc(a.serve))
	t.Cleanup(a.Close)
	return a
}

func (a *archive) serve(w http.ResponseWriter, r *http.Request) {
	a.lock.Lock()
	key := r.URL.String() + r.Header.Get("Range")
	n := a.asked[key]
	a.asked[key]++
	a.paths = append(a.paths, r.URL.Path)
	if text := r.Header.Get("Range"); text != "" {
		a.ranges = append(a.ranges, text)
	}
	trouble, last := a.trouble, a.lastStep
	a.lock.Unlock()
	w.Header().Set("Date", a.clock.Format(http.TimeFormat))
	if trouble != nil && trouble(w, r, n) {
		return
	}
	name, isIndex := strings.CutSuffix(r.URL.Path, ".idx")
	if at := strings.LastIndex(name, ".f"); at >= 0 && last > 0 {
		if step, err := strconv.Atoi(name[at+2:]); err != nil || step > last {
			http.NotFound(w, r)
			return
		}
	}
	if strings.Contains(name, "gfs.") && !strings.Contains(name, "gfs.20111008/00/") {
		http.NotFound(w, r)
		return
	}
	if isIndex {
		w.Write(a.index)
		return
	}
	w.Header().Set("ETag", `"one"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(a.data))
}

func (a *archive) asks() []string {
	a.lock.Lock()
	defer a.lock.Unlock()
	return append([]string{}, a.ranges...)
}

func (a *archive) forget() {
	a.lock.Lock()
	defer a.lock.Unlock()
	a.ranges, a.paths, a.asked = nil, nil, map[string]int{}
}

// real is the cut of a real global forecast that lies with package forecast:
// one step, 26 levels of height, temperature and wind.
func realFile(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile("../../air/forecast/testdata/gfs20111008.grib2")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// derivedIndex writes index lines for a file from its headers, in the form that
// real indexes have.
func derivedIndex(t testing.TB, data []byte) []byte {
	t.Helper()
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	names := map[string]string{"gh": "HGT", "t": "TMP", "u": "UGRD", "v": "VGRD"}
	several := map[int]bool{}
	for _, f := range fields {
		several[f.Message] = several[f.Message] || f.Sub > 1
	}
	var b strings.Builder
	for _, f := range fields {
		number := strconv.Itoa(f.Message)
		if several[f.Message] {
			number += "." + strconv.Itoa(f.Sub)
		}
		fmt.Fprintf(&b, "%s:%d:d=%s:%s:%g mb:%d hour fcst:\n", number, f.Offset, f.Reference.Format("2006010215"),
			names[f.Parameter()], f.Product.First.Value/100, f.Product.ForecastSeconds/3600)
	}
	return []byte(b.String())
}

// merged joins each wind towards east with the wind towards north that follows
// it into one message of two fields, as some real files have them.
func merged(t *testing.T, data []byte) []byte {
	t.Helper()
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	var out []byte
	for i := 0; i < len(fields); i++ {
		f := fields[i]
		message := bytes.Clone(data[f.Offset : f.Offset+f.Length])
		if f.Parameter() == "u" {
			for j, g := range fields {
				if g.Parameter() == "v" && g.Product.First == f.Product.First {
					other := data[fields[j].Offset : fields[j].Offset+fields[j].Length]
					message = append(message[:len(message)-4], sectionsFrom(other, 4)...)
					binary.BigEndian.PutUint64(message[8:], uint64(len(message)))
				}
			}
		} else if f.Parameter() == "v" {
			continue
		}
		out = append(out, message...)
	}
	return out
}

// sectionsFrom answers a message from a section on to its end.
func sectionsFrom(message []byte, number byte) []byte {
	for at := 16; at < len(message)-4; at += int(binary.BigEndian.Uint32(message[at:])) {
		if message[at+4] == number {
			return message[at:]
		}
	}
	return nil
}

// settingsFor is a settings file as a person would write it.
func settingsFor(t *testing.T, root, more string) *Settings {
	t.Helper()
	text := "format = 1\nidle_s = 5\nslowest_octets_s = 0\npatience_s = 60\ntries = 4\n" + more + `
[source.real]
title = "a real file"
grid_deg = 2.5
cycle_hours = [0, 6, 12, 18]
steps = [[192, 24]]
members = 0
root = "` + root + `"
files = ["{root}/gfs.{date}/{hour}/atmos/gfs.t{hour}z.pgrb2.2p50.f{step}"]
index = ".idx"
`
	s, err := ParseSettings(filepath.Join(t.TempDir(), "mirror.toml"), []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// serverTime is what the clock of the archive shows.
var serverTime = realCycle.Add(9 * time.Hour)

var realCycle = time.Date(2011, 10, 8, 0, 0, 0, 0, time.UTC)

// jobFor wants exactly the step that the real file holds.
func jobFor(t *testing.T, s *Settings, into string) Job {
	t.Helper()
	source, err := s.Source("real")
	if err != nil {
		t.Fatal(err)
	}
	at := realCycle.Add(72 * time.Hour)
	return Job{Source: source, Into: into, Place: geo.Point{LatDeg: 47.5, LonDeg: 1}, RadiusM: 1500e3, From: at, To: at,
		TopAlt: 33000, Method: ByRanges, Ground: true}
}

// clientFor does not sleep; it notes how long it would have.
func clientFor(s *Settings, slept *[]time.Duration) *Client {
	var lock sync.Mutex
	return &Client{
		Settings: s, Random: rand.New(rand.NewPCG(1, 2)), Now: func() time.Time { return serverTime },
		Sleep: func(ctx context.Context, pause time.Duration) error {
			lock.Lock()
			defer lock.Unlock()
			if slept != nil {
				*slept = append(*slept, pause)
			}
			return ctx.Err()
		},
	}
}

// fetchOK runs a job that must end well, and answers the only file's octets.
func fetchOK(t *testing.T, c *Client, job Job) []byte {
	t.Helper()
	report, err := c.Get(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	if len(report.Files) != 1 {
		t.Fatalf("%d files", len(report.Files))
	}
	data, err := os.ReadFile(report.Files[0].Path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(job.Into, partFolder)); !os.IsNotExist(err) {
		t.Errorf("parts are left behind: %v", err)
	}
	return data
}

// checkCut holds the fetched file against the whole one: the same values, to
// the last bit, at the same places.
func checkCut(t *testing.T, got, whole []byte) {
	t.Helper()
	small, faults := grib2.Scan(got)
	big, more := grib2.Scan(whole)
	if len(faults)+len(more) > 0 || len(small) != 104 {
		t.Fatalf("%d fields of %d, faults %v", len(small), len(big), faults)
	}
	for i := range small {
		j := -1
		for k := range big {
			if big[k].Parameter() == small[i].Parameter() && big[k].Product == small[i].Product {
				j = k
			}
		}
		if j < 0 {
			t.Fatalf("%s at %s is not in the whole file", small[i].Parameter(), small[i].Level())
		}
		a, err := small[i].Decode(nil)
		if err != nil {
			t.Fatal(err)
		}
		b, err := big[j].Decode(nil)
		if err != nil {
			t.Fatal(err)
		}
		for n := range a {
			lat, lon := small[i].Grid.At(n)
			at := -1
			for m := 0; at < 0 && m < len(b); m++ {
				if bigLat, bigLon := big[j].Grid.At(m); bigLat == lat && bigLon == lon {
					at = m
				}
			}
			if at < 0 || a[n] != b[at] {
				t.Fatalf("%s at %s: %g at %g %g is not what the whole file has", small[i].Parameter(), small[i].Level(), a[n], lat, lon)
			}
		}
		if i > 8 {
			break // the search is slow, and the fields are all cut alike
		}
	}
}
