package sizing

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pappus/record"
)

// ReporterKind is one way to hear where the flight is, as it must be known
// before one is bought.
type ReporterKind struct {
	Kind     string   `json:"kind"` // as the flight file has it
	Name     string   `json:"name"`
	Needs    []string `json:"needs"`
	LeadDays int      `json:"lead_days"` // from deciding to being ready; judgement
	Lead     string   `json:"lead"`
	Sky      string   `json:"sky_view"`
	Coverage string   `json:"coverage"`
	Effort   string   `json:"effort"`
	Cost     string   `json:"cost_shape"` // what is paid for, never how much
	Cannot   []string `json:"cannot"`
	Fails    []string `json:"fails_with"` // causes that silence it, by id
}

// causeOf says in words what can silence several reporters at once.
func causeOf(id string) string {
	switch id {
	case "sky":
		return "the antenna does not see the sky: the box on its side, foil, wet leaves, a ditch"
	case "gnss":
		return "no position from the navigation satellites: an interfering camera or converter, or a receiver that stops above 18 km"
	case "power":
		return "cold or empty cells"
	case "height":
		return "out of reach at height"
	case "landed":
		return "out of reach on the ground: hills, distance, no mast"
	case "subscriber":
		return "no subscription, no credit or no account"
	case "network":
		return "the operator's network is down or far"
	}
	panic("sizing: no such cause: " + id)
}

// reporterKinds lists the kinds; common practice, no source, where no rule is named.
func reporterKinds() []ReporterKind {
	return []ReporterKind{
		{
			Kind: "satellite", Name: "satellite messenger", LeadDays: 14, Lead: "about two weeks: buy, subscribe, try outdoors for three hours with everything in the box switched on",
			Needs:  []string{"a subscription that covers the day and a week after it", "its antenna up, and on the side that lies up after the landing: fix it so that either side will do, or take two"},
			Sky:    "needs to see the sky whichever way the box lies",
			Effort: "low: switch on, first, outdoors; someone at home confirms that positions come in",
			Cost:   "a device, and a subscription by the month", Coverage: "nearly everywhere on land, as its operator's map says; some ask for latitudes below 70°",
			Cannot: []string{"say where it is more often than every few minutes, nor at once", "mostly say its height, nor speak above some height that its maker does not state: ask, or test", "be trusted under foil, in a ditch or upside down"},
			Fails:  []string{"sky", "gnss", "power", "subscriber", "network"},
		},
		{
			Kind: "radio", Name: "amateur packet radio", LeadDays: 60, Lead: "one to three months: the licence examination and the call sign come first",
			Needs: []string{"a licence: in the United States 47 CFR Part 97 (from memory), elsewhere the national one; some countries forbid it from the air: ask the authority", "a receiver in the car, with its antenna outside, and a frequency that is the custom there"},
			Sky:   "works in any attitude, weaker with the antenna along the ground", Coverage: "hundreds of kilometres from height; a few kilometres, or less, once it lies on the ground",
			Effort: "high: study, build or buy, program, try against a receiver that is not yours",
			Cost:   "a transmitter and a receiver; no fee for each position",
			Cannot: []string{"be heard behind a hill once it has landed: someone must be near", "carry anything commercial or coded", "be used by someone without a licence"},
			Fails:  []string{"gnss", "power", "landed"},
		},
		{
			Kind: "cellular", Name: "cellular tracker or telephone", LeadDays: 7, Lead: "about a week: card, credit, and a look at the map of the landing area",
			Needs: []string{"reading the rule on airborne use: in the United States 47 CFR 22.925 forbids 800 MHz cellular telephones in use off the ground; elsewhere it differs: ask", "a network where it may come down, not only where it starts"},
			Sky:   "needs the sky for its position, less for its network", Coverage: "silent above some hundred metres to a few kilometres; on the ground only where there is a network",
			Effort: "low to try, high to trust: sleep modes, updates and empty credit have each lost a flight",
			Cost:   "a device, and a card with data",
			Cannot: []string{"say anything during the flight", "say anything from a valley or a field without a network", "be the only one"},
			Fails:  []string{"sky", "gnss", "power", "height", "landed", "subscriber", "network"},
		},
		{
			Kind: "other", Name: "beacon without a position: sound, light or a bare radio tone", LeadDays: 7, Lead: "about a week; a radio tone needs a frequency that needs no licence, or one",
			Needs: []string{"someone close by who listens or looks"},
			Sky:   "none", Coverage: "a hundred metres for sound and light, a few kilometres for a tone with a directional antenna",
			Effort: "low; it must be loud after hours in the cold", Cost: "a device; nothing else",
			Cannot: []string{"say where to drive", "be heard in wind, or seen by day"},
			Fails:  []string{"power", "landed"},
		},
	}
}

// ReporterChoice is what the kinds are, and what the flight's own ones leave open.
type ReporterChoice struct {
	Name   string         `json:"name,omitempty"`
	Kinds  []ReporterKind `json:"kinds"`
	Chosen []Chosen       `json:"chosen"`
	Shared []SharedCause  `json:"shared"` // between each two of the flight's own
	Text   string         `json:"text"`
	Advice []string       `json:"advice"`
}

// Chosen is one reporter of the file.
type Chosen struct {
	Name    string `json:"name"`
	Kind    string `json:"kind"`
	StartBy string `json:"start_by"` // the day by which it must be begun
	Text    string `json:"text"`
}

// SharedCause is what silences two reporters at once.
type SharedCause struct {
	First  string   `json:"first"`
	Second string   `json:"second"`
	Causes []string `json:"causes"`
	Text   string   `json:"text"`
}

// ReportersOf answers the choice of reporters for a flight.
func ReportersOf(f *record.Flight) *ReporterChoice {
	kinds := reporterKinds()
	kindOf := func(r *record.Reporter) ReporterKind {
		return kinds[slices.IndexFunc(kinds, func(k ReporterKind) bool { return k.Kind == r.Kind })]
	}
	c := &ReporterChoice{Name: f.Name, Kinds: kinds, Chosen: []Chosen{}, Shared: []SharedCause{}}
	for i := range f.Reporters {
		r := &f.Reporters[i]
		k := kindOf(r)
		day := f.Launch.Time.AddDate(0, 0, -k.LeadDays).Format(time.DateOnly)
		c.Chosen = append(c.Chosen, Chosen{r.Name, r.Kind, day, fmt.Sprintf("%s: %s; begin by %s. %s.", r.Name, k.Name, day, sentence(k.Sky))})
		for j := range i {
			other := &f.Reporters[j]
			if shared := common(kindOf(other), k); len(shared) > 0 {
				c.Shared = append(c.Shared, SharedCause{other.Name, r.Name, shared, fmt.Sprintf("%s and %s are both silenced by: %s", other.Name, r.Name, causeWords(shared))})
			}
		}
	}
	c.Text, c.Advice = reporterAdvice(f, kindOf)
	return c
}

func sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

func common(a, b ReporterKind) []string {
	var shared []string
	for _, cause := range a.Fails {
		if slices.Contains(b.Fails, cause) {
			shared = append(shared, cause)
		}
	}
	return shared
}

func causeWords(ids []string) string {
	var words []string
	for _, id := range ids {
		words = append(words, causeOf(id))
	}
	return strings.Join(words, "; ")
}

// reporterAdvice says what the flight's reporters leave open.
func reporterAdvice(f *record.Flight, kindOf func(*record.Reporter) ReporterKind) (text string, advice []string) {
	advice = []string{
		"each reporter on cells of its own, and switched on first: outdoors, with a position received by the person at home, before anything else",
		"cheap cameras, switching converters and foil can deafen a receiver in the same box: everything on, box closed, outdoors, three hours or more",
		"tape the telephone number and the word harmless on every box: people find more boxes than radios do",
	}
	find := func(kind string) bool {
		return slices.ContainsFunc(f.Reporters, func(r record.Reporter) bool { return r.Kind == kind })
	}
	after := find("satellite") || find("cellular")
	switch n := len(f.Reporters); {
	case n == 0:
		return "No reporter is in the file: nothing says where the box is. Most boxes without one are never found.", append([]string{"a satellite messenger asks for least; add amateur radio where someone holds a licence"}, advice...)
	case n == 1:
		text = fmt.Sprintf("One reporter: whatever silences %s loses the box.", f.Reporters[0].Name)
		advice = append([]string{"add a second one of another kind: " + secondKind(f.Reporters[0].Kind)}, advice...)
	default:
		text = fmt.Sprintf("%d reporters.", n)
		if shared := sharedByAll(f, kindOf); len(shared) > 0 {
			text += " All of them are silenced by: " + causeWords(shared) + "."
		} else {
			text += " No single cause silences all of them."
		}
	}
	if !after {
		advice = append([]string{"nothing here is heard from the ground unless someone is near: a satellite messenger would be"}, advice...)
	}
	if f.Reporters != nil && !find("satellite") && !find("radio") {
		advice = append([]string{"nothing here reports in flight: the landing is known only once it is on the ground, if there is a network"}, advice...)
	}
	return text, advice
}

func secondKind(kind string) string {
	if kind == "radio" {
		return "a satellite messenger is heard from the ground, where radio is not"
	}
	return "amateur radio is heard in flight and in any attitude, and needs no operator's network"
}

func sharedByAll(f *record.Flight, kindOf func(*record.Reporter) ReporterKind) []string {
	shared := kindOf(&f.Reporters[0]).Fails
	for i := range f.Reporters {
		k := kindOf(&f.Reporters[i])
		shared = slices.DeleteFunc(slices.Clone(shared), func(c string) bool { return !slices.Contains(k.Fails, c) })
	}
	return shared
}
