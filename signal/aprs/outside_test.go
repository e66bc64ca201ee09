package aprs

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pappus/signal/fix"
)

// written builds packets of every kind over the globe. The letters of compressed and
// Mic-E packets are chosen, not encoded: what they mean the other decoder says.
func written() []string {
	var lines []string
	letters := func(seed, n int) string {
		var b strings.Builder
		for range n {
			seed = (seed*1103515245 + 12345) & 0x7fffffff
			b.WriteByte('!' + byte(seed>>8%91)%90)
		}
		return b.String()
	}
	for i := range 30 {
		lat, lon := i*3, (i*37)%180
		ns, ew := "NS"[i%2:i%2+1], "EW"[i/2%2:i/2%2+1]
		position := fmt.Sprintf("%02d%02d.%02d%s/%03d%02d.%02d%sO", lat, i*7%60, i*13%100, ns, lon, i*11%60, i*17%100, ew)
		lines = append(lines,
			"N0CALL-11>APZ001:!"+position+fmt.Sprintf("%03d/%03d/A=%06d", i*12+1, i*3, i*3300),
			"N0CALL-11>APZ001,WIDE1-1:@092345z"+position+fmt.Sprintf("%03d/%03dx!W%d%d!", i*12+1, i*3, i%10, i*3%10),
			"N0CALL>APZ001:!"+position+"Test!w"+letters(i+77, 2)+"!",
			fmt.Sprintf("N0CALL>APZ001:;OBJ%-6d*092345z", i)+position,
			"N0CALL-11>APZ001:=/"+letters(i, 4)+letters(i+900, 4)+"O"+letters(i+50, 2)+string('!'+rune(8*(i%4))),
			fmt.Sprintf("N0CALL-11>%c%c%c%c%c%c:`%c%c%c%c%c%cO/\"%s}", "0PX2"[i%4], "0P7"[i%3], "0U4S"[i%4], "P3Y9"[i%4], "P0"[i%2], "P5"[i/2%2],
				'&'+rune(i), '&'+rune(i), '&'+rune(i), 'l'+rune(i%10), 28+10*rune(i%9)+rune(4-i%3), 36+rune(i), "%"+letters(i, 2)))
	}
	return lines
}

var (
	placed  = regexp.MustCompile(`([NS]) (\d+) ([\d.]+), ([EW]) (\d+) ([\d.]+)`)
	climbed = regexp.MustCompile(`alt (-?\d+) ft`)
	moved   = regexp.MustCompile(`(\d+) MPH`)
	headed  = regexp.MustCompile(`course (\d+)`)
)

func number(text string) float64 {
	v, _ := strconv.ParseFloat(text, 64)
	return v
}

func TestOutsideDecoder(t *testing.T) {
	path, err := exec.LookPath("decode_aprs")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("decode_aprs is not installed")
		}
		t.Skip("decode_aprs is not installed")
	}
	lines := written()
	cmd := exec.Command(path)
	cmd.Stdin = strings.NewReader(strings.Join(lines, "\n") + "\n")
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	rest := string(out)
	compared := 0
	for _, line := range lines {
		_, after, ok := strings.Cut(rest, line+"\n")
		if !ok {
			continue // it repeats letters that no screen shows in another form
		}
		rest = after
		said, _, _ := strings.Cut(after, "N0CALL")
		p, err := Decoder{}.Line(line, noon)
		m := placed.FindStringSubmatch(said)
		if m == nil {
			if err == nil {
				t.Errorf("%s: read at %v, theirs: %s", line, p.Place, said)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v, theirs: %s", line, err, said)
			continue
		}
		compared++
		compare(t, line, said, m, p)
	}
	if compared < 4*len(lines)/5 {
		t.Errorf("%d of %d packets were compared", compared, len(lines))
	}
}

// compare holds a packet against what the other prints: four decimals of a minute, whole
// feet, whole miles per hour (rounded from whole knots), whole degrees.
func compare(t *testing.T, line, said string, m []string, p Position) {
	t.Helper()
	lat, lon := number(m[2])+number(m[3])/60, number(m[5])+number(m[6])/60
	if m[1] == "S" {
		lat = -lat
	}
	if m[4] == "W" {
		lon = -lon
	}
	if east := math.Remainder(p.Place.LonDeg-lon, 360); !near(p.Place.LatDeg, lat, 1e-6) || math.Abs(east) > 1e-6 {
		t.Errorf("%s: at %v, theirs %v %v", line, p.Place, lat, lon)
	}
	hold := func(what string, pattern *regexp.Regexp, ours fix.Figure, within float64) {
		theirs := pattern.FindStringSubmatch(said)
		if theirs != nil && (!ours.Known || !near(ours.Value, number(theirs[1]), within)) {
			t.Errorf("%s: %s %v, theirs %s", line, what, ours, theirs[0])
		}
	}
	hold("height", climbed, fix.Figure{Value: p.Height.Metres / 0.3048, Known: p.Height.Kind != fix.NoHeight}, 0.51)
	hold("speed", moved, fix.Figure{Value: p.Speed.Value / 0.44704, Known: p.Speed.Known}, 1.1)
	hold("course", headed, p.CourseDeg, 0.51)
}
