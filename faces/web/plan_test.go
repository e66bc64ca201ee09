package web

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// number reads a figure out of an answer.
func number(t *testing.T, value any, keys ...string) float64 {
	t.Helper()
	n, is := dig(value.(map[string]any), keys...).(float64)
	if !is {
		t.Fatalf("%v is no number", keys)
	}
	return n
}

func lark(t testing.TB, kind string) *app {
	a := newApp(t)
	a.want(201, post, "/flights", fmt.Sprintf(`{"start":%q,"name":"Lark"}`, kind))
	return a
}

// A change of one key moves every answer, and saves nothing.
func TestAnswersFollowAnEdit(t *testing.T) {
	a := lark(t, "first")
	before := a.want(200, post, "/flights/lark/answers", `{}`)
	after := a.want(200, post, "/flights/lark/answers", `{"edits":[{"kind":"set","path":"envelope.mass","text":"1200"}]}`)
	// A larger envelope of the same make, filled to the same free lift, takes
	// more gas and bursts higher.
	for _, keys := range [][]string{{"plan", "gas", "volume_m3"}, {"plan", "lift", "gross_kg"}, {"plan", "burst", "nominal_alt_m"}, {"plan", "burst", "alt_m", "p50"}, {"course", "burst_s"}} {
		if was, is := number(t, before, keys...), number(t, after, keys...); is <= was {
			t.Errorf("%v was %g and is %g", keys, was, is)
		}
	}
	if text := after["document"].(string); !strings.Contains(text, `mass = "1200 g" `) || !strings.Contains(text, "# of the empty envelope") {
		t.Errorf("the document does not read as typed: %s", text)
	}
	if head := number(t, a.want(200, get, "/flights/lark", ""), "flight", "head"); head != 1 {
		t.Errorf("an answer saved revision %g", head)
	}
}

// What the drawing needs: the way turns at the burst, the band lies about it.
func TestCourseHoldsTheWay(t *testing.T) {
	a := lark(t, "school")
	answer := a.want(200, post, "/flights/lark/answers", `{}`)
	way := dig(answer, "course", "way").([]any)
	burst, top := number(t, answer, "course", "burst_alt_m"), 0.0
	for _, p := range way {
		top = math.Max(top, number(t, p, "alt_m"))
	}
	if top != burst || burst != number(t, answer, "plan", "burst", "nominal_alt_m") {
		t.Errorf("the way tops at %g, the burst is at %g", top, burst)
	}
	for _, p := range dig(answer, "course", "band").([]any) {
		if number(t, p, "low_m") > number(t, p, "high_m") {
			t.Fatalf("the band stands on its head: %v", p)
		}
	}
	// The template launches at eight in the morning in April: all of it by day.
	light := dig(answer, "course", "light").([]any)
	if len(light) != 1 || light[0].(map[string]any)["light"] != "daylight" {
		t.Errorf("light: %v", light)
	}
}

// The boxes are followed when that is asked, for it takes longer than typing may.
func TestBoxesAreFollowedWhenAsked(t *testing.T) {
	a := lark(t, "first")
	if answer := a.want(200, post, "/flights/lark/answers", `{}`); dig(answer, "plan", "box") != nil {
		t.Error("the boxes are followed unasked")
	}
	if answer := a.want(200, post, "/flights/lark/answers", `{"box":true}`); dig(answer, "plan", "box") == nil {
		t.Error("the boxes are not followed")
	}
}

func TestReporterIsSilentAboveItsCeiling(t *testing.T) {
	a := lark(t, "first")
	answer := a.want(200, post, "/flights/lark/answers", `{"edits":[{"kind":"set","path":"reporter[1].ceiling","text":"10 km"}]}`)
	lanes := dig(answer, "course", "reporters").([]any)
	silent := lanes[0].(map[string]any)["silent"].([]any)
	if len(silent) != 1 {
		t.Fatalf("silent %v", silent)
	}
	// Up to 10 km it climbs some 9,400 m at about 5 m/s: about half an hour.
	if from := number(t, silent[0], "from_s"); from < 1400 || from > 2400 {
		t.Errorf("silent from %g s", from)
	}
}

func TestFaultsComeBackByKey(t *testing.T) {
	a := lark(t, "first")
	answer := a.want(200, post, "/flights/lark/answers", `{"edits":[{"kind":"set","path":"envelope.mass","text":"heavy"},{"kind":"set","path":"train[2].diameter","text":"-3 m"}]}`)
	var keys []string
	for _, f := range answer["faults"].([]any) {
		keys = append(keys, f.(map[string]any)["key"].(string))
	}
	if strings.Join(keys, " ") != "envelope.mass train[2].diameter" || answer["plan"] != nil {
		t.Errorf("faults %v", answer["faults"])
	}
	if written := answer["written"].([]any); len(written) < 20 {
		t.Errorf("a file with faults shows %d keys", len(written))
	}
}

func TestAFlightThatCannotBeIsSaid(t *testing.T) {
	a := lark(t, "first")
	answer := a.want(200, post, "/flights/lark/answers", `{"edits":[{"kind":"set","path":"gas.fill.burst_altitude","text":"59 km"}]}`)
	if trouble, _ := answer["trouble"].(string); !strings.Contains(trouble, "no fill reaches") {
		t.Errorf("trouble %q", trouble)
	}
}

// On the way to "800 g" a person types "8 g": whatever stands in a field, there is
// an answer.
func TestEveryKeystrokeIsAnswered(t *testing.T) {
	a := lark(t, "first")
	for path, typed := range map[string][]string{
		"envelope.mass":           {"", "8", "80", "8000", "8 k", "20 kg", "0.001 g"},
		"envelope.burst_diameter": {"0.1 m", "1.9 m", "2 m", "50 m"},
		"gas.fill.free_lift":      {"", "0", "1", "-5 g", "1e", "90 kg"},
		"train[2].diameter":       {"1 mm", "9 cm", "90 m"},
		"train[6].mass":           {"0", "1000 kg", "1 mg"},
		"launch.elevation":        {"0 m", "8 km", "-400 m", "60 km"},
		"launch.time":             {"2", "1800-01-01T00:00:00Z", "2999-01-01T00:00:00Z"},
	} {
		for _, text := range typed {
			answer := a.want(200, post, "/flights/lark/answers", fmt.Sprintf(`{"edits":[{"kind":"set","path":%q,"text":%q}]}`, path, text))
			if answer["plan"] == nil && answer["trouble"] == nil && len(answer["faults"].([]any)) == 0 {
				t.Errorf("%s = %q: neither a plan nor a word why not", path, text)
			}
		}
	}
}

// The edits of an offer, made, give the flight that was offered.
func TestOffersAreWhatTheySay(t *testing.T) {
	a := lark(t, "first")
	for wish, better := range map[string]struct {
		key  string
		sign float64
	}{"higher": {"burst_alt_m", 1}, "cheaper, I say": {"standard_ft3", -1}, "gentler": {"landing_speed_mps", -1}, "longer": {"time_aloft_s", 1}} {
		answer := a.want(200, post, "/flights/lark/wishes", fmt.Sprintf(`{"wish":%q}`, wish))
		offers := answer["offers"].([]any)
		if len(offers) == 0 {
			t.Errorf("%s: nothing is offered: %v", wish, answer["text"])
		}
		for _, o := range offers {
			if change := number(t, o, "change", better.key); change*better.sign <= 0 {
				t.Errorf("%s: %s changes by %g", wish, better.key, change)
			}
			var edits []string
			for _, e := range o.(map[string]any)["edits"].([]any) {
				e := e.(map[string]any)
				text, _ := e["text"].(string)
				edits = append(edits, fmt.Sprintf(`{"kind":"set","path":%q,"text":%q}`, e["path"], text))
			}
			made := a.want(200, post, "/flights/lark/answers", `{"edits":[`+strings.Join(edits, ",")+`]}`)
			// Edits are rounded to a gram of lift, a centimetre of canopy: metres of burst.
			if got, want := number(t, made, "plan", "burst", "nominal_alt_m"), number(t, o, "flight", "burst_alt_m"); math.Abs(got-want) > 60 {
				t.Errorf("%s: offered a burst at %g, the edits give %g", wish, want, got)
			}
		}
	}
	if answer := a.want(200, post, "/flights/lark/wishes", `{"wish":"nicer"}`); answer["wish"] != "" || !strings.Contains(answer["text"].(string), "higher") {
		t.Errorf("a wish that means nothing is answered %v", answer)
	}
}

func TestFillSaysWhatToWeigh(t *testing.T) {
	a := lark(t, "first")
	plan := a.want(200, post, "/flights/lark/answers", `{}`)
	answer := a.want(200, post, "/flights/lark/fill", `{"measured":{}}`)
	if got, want := number(t, answer, "fill", "target", "neck_kg"), number(t, plan, "plan", "lift", "neck_kg"); math.Abs(got-want) > 1e-6 {
		t.Errorf("weigh %g, planned %g", got, want)
	}
	little := a.want(200, post, "/flights/lark/fill", `{"measured":{"weighed":"1.4 kg","wind":"1 m/s"}}`)
	if text := dig(little, "fill", "verdict", "text").(string); !strings.Contains(text, "Too little") {
		t.Errorf("1.4 kg: %s", text)
	}
	wrong := a.want(200, post, "/flights/lark/fill", `{"measured":{"weighed":"much","gauge_before":"2000 psi"}}`)
	if len(wrong["faults"].([]any)) != 2 || wrong["fill"] != nil {
		t.Errorf("faults %v", wrong["faults"])
	}
}

// While a person types, an answer with its spreads has 100 ms.
func BenchmarkAnswers(b *testing.B) {
	a := lark(b, "heavy")
	for b.Loop() {
		a.want(200, post, "/flights/lark/answers", `{}`)
	}
}
