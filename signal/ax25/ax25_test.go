package ax25

import (
	"bytes"
	"encoding/hex"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A frame laid out by hand: letters shifted by one bit, APRS>, N0CALL-11, relay WIDE1-1
// that has repeated it.
const byHand = "82A0A4A64040E0" + "9C6086829898" + "76" + "AE92888A6240" + "E3" + "03F0" + "2174657374"

func TestFrameByHand(t *testing.T) {
	raw, err := hex.DecodeString(byHand)
	if err != nil {
		t.Fatal(err)
	}
	f, err := Decode(raw)
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Text(); got != "N0CALL-11>APRS,WIDE1-1*:!test" {
		t.Errorf("read as %s", got)
	}
	again, err := f.Encode()
	if err != nil || !bytes.Equal(again, raw) {
		t.Errorf("written as % X, expected % X (%v)", again, raw, err)
	}
}

func TestRefusals(t *testing.T) {
	raw, _ := hex.DecodeString(byHand)
	for at := range len(raw) - 5 { // shorter than the protocol byte
		if _, err := Decode(raw[:at]); err == nil {
			t.Errorf("a frame cut at %d was taken", at)
		}
	}
	connection := bytes.Clone(raw)
	connection[21] = 0x3F
	if _, err := Decode(connection); !errors.Is(err, ErrOther) {
		t.Errorf("a frame of a connection: %v", err)
	}
	endless := bytes.Repeat(raw[:7], 100)
	if _, err := Decode(endless); err == nil {
		t.Error("a hundred addresses were taken")
	}
	if _, err := Decode(append(raw, make([]byte, 300)...)); err == nil {
		t.Error("300 bytes of information were taken")
	}
	for _, text := range []string{"", "TOOLONGCALL", "n0call", "N0CALL-16", "N0CALL--1", "N0CALL-+1", "N0 ALL"} {
		if _, err := ParseAddress(text); err == nil {
			t.Errorf("%q was taken for a station", text)
		}
	}
}

// A modem turns text into sound, another turns the sound into frames; ours must say the
// same as the text.
func TestOutsideModem(t *testing.T) {
	for _, name := range []string{"gen_packets", "atest"} {
		if _, err := exec.LookPath(name); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("%s is not installed", name)
			}
			t.Skipf("%s is not installed", name)
		}
	}
	folder := t.TempDir()
	lines := []string{"N0CALL-11>APRS,WIDE1-1:!4903.50N/07201.75WO088/036/A=001234 Test", "N0CALL-11>APZ001:=/5L!!<*e7>7P["}
	if err := os.WriteFile(filepath.Join(folder, "in.txt"), []byte(strings.Join(lines, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	sound := filepath.Join(folder, "x.wav")
	if out, err := exec.Command("gen_packets", "-n", "0", "-o", sound, filepath.Join(folder, "in.txt")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	out, err := exec.Command("atest", "-h", sound).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	frames := dumped(string(out))
	if len(frames) != len(lines) {
		t.Fatalf("%d frames of %d came back:\n%s", len(frames), len(lines), out)
	}
	for i, raw := range frames {
		f, err := Decode(raw)
		// The program sends the line's end along.
		if err != nil || f.Text() != lines[i]+"\n" {
			t.Errorf("frame % X read as %q (%v), expected %q", raw, f.Text(), err, lines[i])
		}
		ours, err := f.Encode()
		if err != nil {
			t.Fatal(err)
		}
		// Whether the sender's address is marked as a command is left open in version 1.
		raw[6], raw[13], ours[6], ours[13] = raw[6]&^0x80, raw[13]&^0x80, ours[6]&^0x80, ours[13]&^0x80
		if !bytes.Equal(raw, ours) {
			t.Errorf("written as % X, theirs % X", ours, raw)
		}
	}
}

// dumped gathers the frames of a hexadecimal listing: lines such as "  010:  03 f0 21 …".
func dumped(text string) [][]byte {
	var frames [][]byte
	for line := range strings.Lines(text) {
		head, rest, ok := strings.Cut(strings.TrimSpace(line), ":  ")
		if !ok || len(head) != 3 || strings.Trim(head, "0123456789abcdef") != "" {
			continue
		}
		if head == "000" {
			frames = append(frames, nil)
		}
		rest = rest[:min(len(rest), 48)]
		row, err := hex.DecodeString(strings.ReplaceAll(strings.TrimSpace(rest), " ", ""))
		if err == nil && len(frames) > 0 {
			frames[len(frames)-1] = append(frames[len(frames)-1], row...)
		}
	}
	return frames
}

func FuzzDecode(f *testing.F) {
	raw, _ := hex.DecodeString(byHand)
	f.Add(raw)
	f.Add(raw[:15])
	f.Fuzz(func(t *testing.T, raw []byte) {
		frame, err := Decode(raw)
		if err != nil {
			return
		}
		if _, err := ParseAddress(frame.Source.String()); err != nil {
			return // an empty call sign can be sent but not written
		}
		out, err := frame.Encode()
		if err != nil {
			return
		}
		again, err := Decode(out)
		if err != nil || again.Text() != frame.Text() {
			t.Errorf("% X came back as %q, %v", raw, again.Text(), err)
		}
	})
}
