package weather

import (
	"strings"
	"testing"
	"time"
)

// TestOlderLayout holds the default addresses of cycles on both sides of the day
// on which the archive's folders changed against those written out by hand.
func TestOlderLayout(t *testing.T) {
	s, err := ParseSettings("", nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, letters := range map[string]string{"gfs025": "0p25", "gfs050": "0p50", "gfs100": "1p00"} {
		source := s.Sources[name]
		for _, c := range []struct {
			cycle  time.Time
			folder string
			region int
		}{
			{time.Date(2021, 3, 22, 18, 0, 0, 0, time.UTC), "gfs.20210322/18/", 0},
			{time.Date(2021, 3, 23, 0, 0, 0, 0, time.UTC), "gfs.20210323/00/atmos/", 1},
		} {
			on := source.on(c.cycle)
			want := "https://noaa-gfs-bdp-pds.s3.amazonaws.com/" + c.folder + "gfs.t" + c.cycle.Format("15") + "z.pgrb2." + letters + ".f003"
			if got := on.address(on.Files[0], c.cycle, 3, -1); got != want || len(on.Region) != c.region {
				t.Errorf("%s: %s with %d services, %s expected", name, got, len(on.Region), want)
			}
		}
	}
}

// TestDatedSettings: another root keeps the older layout, other files drop it.
func TestDatedSettings(t *testing.T) {
	for text, dated := range map[string]int{"root = 'http://127.0.0.1'": 1, "files = ['{root}/f{step}']": 0} {
		s, err := ParseSettings("mirror.toml", []byte("format = 1\n[source.gfs100]\n"+text+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		if n := len(s.Sources["gfs100"].Dated); n != dated {
			t.Errorf("%s: %d older layouts, %d expected", text, n, dated)
		}
	}
	for text, says := range map[string]string{
		"to = 2021-03-23": "one to eight addresses",
		"files = ['a']":   "from or to",
		"files = ['a']\nfrom = 2021-03-23\nto = 2021-03-23": "before to",
		"files = ['a']\nuntil = 2021-03-23":                 "unknown key",
	} {
		_, err := ParseSettings("mirror.toml", []byte("format = 1\n[[source.gfs100.dated]]\n"+text+"\n"))
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", text, err)
		}
	}
}
