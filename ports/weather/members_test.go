package weather

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pappus/air/grib2"
)

// derivedMember makes a file of an ensemble out of the real one: the levels of
// which `half` is the remainder by two, relabelled as a member.
func derivedMember(t *testing.T, member, half int) (data, index []byte) {
	t.Helper()
	whole := realFile(t)
	fields, _ := grib2.Scan(whole)
	levels := []float64{50000, 30000, 10000, 5000, 2000, 1000}
	var out bytes.Buffer
	for i := range fields {
		f := &fields[i]
		if at := slices.Index(levels, f.Product.First.Value); at < 0 || at%2 != half {
			continue
		}
		values, err := f.Decode(nil)
		if err != nil {
			t.Fatal(err)
		}
		p := f.Product
		p.Template, p.EnsembleType, p.Member, p.MembersInEnsemble = 1, 3, member, 30
		m := grib2.Message{Centre: f.Centre, SubCentre: 2, Reference: f.Reference, DataType: f.DataType, Product: p, Grid: f.Grid,
			Packing: grib2.Packing{Template: 3, Order: 2, Decimal: 2}, Values: values}
		if err := grib2.Encode(&out, m); err != nil {
			t.Fatal(err)
		}
	}
	return out.Bytes(), derivedIndex(t, out.Bytes())
}

// ensemble serves derived members in two files each, as a and b.
func ensemble(t *testing.T, wrong int) (*Settings, Job) {
	t.Helper()
	files := map[string][]byte{}
	for member, name := range []string{"c00", "p01", "p02"} {
		for half, letter := range []string{"a", "b"} {
			label := member
			if member == wrong {
				label++
			}
			path := fmt.Sprintf("/gefs.20111008/00/ge%s.%s.f072", name, letter)
			files[path], files[path+".idx"] = derivedMember(t, label, half)
		}
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		data, there := files[r.URL.Path]
		if !there {
			http.NotFound(w, r)
			return
		}
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	}))
	t.Cleanup(server.Close)
	s, err := ParseSettings("m.toml", []byte(`format = 1
[source.many]
title = "derived members"
grid_deg = 2.5
cycle_hours = [0]
steps = [[192, 24]]
members = 3
root = "`+server.URL+`"
files = ["{root}/gefs.{date}/{hour}/ge{member}.a.f{step}", "{root}/gefs.{date}/{hour}/ge{member}.b.f{step}"]
index = ".idx"
`))
	if err != nil {
		t.Fatal(err)
	}
	job := jobFor(t, settingsFor(t, server.URL, ""), t.TempDir())
	job.Source, job.Cycle = s.Sources["many"], realCycle
	return s, job
}

func TestDerivedMembersInTwoFiles(t *testing.T) {
	s, job := ensemble(t, -1)
	report, err := clientFor(s, nil).Get(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range report.Files {
		names = append(names, filepath.Base(f.Path))
	}
	want := []string{"many_20111008T00Z_m00_f072.grib2", "many_20111008T00Z_m01_f072.grib2", "many_20111008T00Z_m02_f072.grib2"}
	if !slices.Equal(names, want) || len(report.Levels) != 6 {
		t.Errorf("%v, levels %v", names, report.Levels)
	}
	cycles, faults, err := List(job.Into)
	if err != nil || len(faults) > 0 || len(cycles) != 1 || !slices.Equal(cycles[0].Members, []int{0, 1, 2}) || len(cycles[0].Grids) != 1 {
		t.Errorf("%+v, %v, %v", cycles, faults, err)
	}
}

func TestDerivedMemberOfAnotherNumber(t *testing.T) {
	s, job := ensemble(t, 1)
	job.Members = []int{1}
	_, err := clientFor(s, nil).Get(t.Context(), job)
	var damage *DamageError
	if !errors.As(err, &damage) || !strings.Contains(err.Error(), "member 2, and member 1 was asked for") {
		t.Errorf("the error is %v", err)
	}
	if files, _ := forecastsIn(job.Into); len(files) > 0 {
		t.Errorf("the folder holds %v", files)
	}
}
