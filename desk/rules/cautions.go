package rules

import "fmt"

// cautionsFor adds, once each, the cautions of the kinds of reporter on board.
func cautionsFor(f Facts, byKind map[string]Caution) []Caution {
	list := []Caution{}
	for _, kind := range []string{"cellular", "satellite", "radio"} {
		caution, told := byKind[kind]
		names := ""
		for _, r := range f.Reporters {
			if r.Kind != kind {
				continue
			}
			if names != "" {
				names += ", "
			}
			names += fmt.Sprintf("%q", r.Name)
		}
		if told && names != "" {
			caution.Text += " On board: " + names + "."
			list = append(list, caution)
		}
	}
	return list
}

// usCautions are the radio rules of Title 47 [47CFR] and a rule that may come.
func usCautions(f Facts) []Caution {
	list := cautionsFor(f, map[string]Caution{
		"cellular": {
			ID:     "47 CFR 22.925",
			Text:   "A cellular telephone carried by a balloon must be off once it leaves the ground, and stay off while airborne: it cannot be the tracker in flight. Have it wake up after landing.",
			Why:    "The paragraph is about the 800 MHz cellular bands; for other bands the carrier's terms count. Aloft it would also lose the network within a few kilometres of height.",
			Source: TextRead,
		},
		"satellite": {
			ID:     "47 CFR 25.285",
			Text:   "Check: satellite transmitters on civil aircraft are barred unless the installation is approved, or the pilot uses or agrees to them.",
			Why:    "What this means for a balloon without a pilot is unclear; ask the maker of the service or the authority.",
			Source: TextRead,
		},
		"radio": {
			ID:     "47 CFR Part 97",
			Text:   "On amateur bands: a licensed operator in control, the call sign at least every 10 minutes, no money in it for the operator (97.113). Telemetry is allowed.",
			Why:    "The licence is the operator's, not the box's; it takes weeks to get.",
			Source: FromMemory,
		},
	})
	return append(list, Caution{
		ID:     "coming rule",
		Text:   "Look for news before you fly: a law of 2024 (P.L. 118-63, section 1012) orders work on a rule that high-altitude balloons tell their identity, height and position all the time. No final rule was found.",
		Why:    "It may ask for equipment also on flights that are outside the part today. The section and its height of 10,000 ft are from memory.",
		Source: TextReadInPart,
	})
}

// icaoCautions defer to national rules, which Annex 2 does not replace.
func icaoCautions(f Facts) []Caution {
	return cautionsFor(f, map[string]Caution{
		"cellular": {
			ID:     "cellular aloft",
			Text:   "Many States bar or limit mobile telephones in the air: ask before you count on one in flight, or have it wake up after landing.",
			Why:    "It also loses the network within a few kilometres of height.",
			Source: Practice,
		},
		"satellite": {
			ID:     "satellite transmitter",
			Text:   "Check whether the State lets this satellite transmitter be used in the air.",
			Why:    "Terms of service and national radio rules differ.",
			Source: Practice,
		},
		"radio": {
			ID:     "radio licence",
			Text:   "Ask whether the licence you hold may be used from the air: some States forbid amateur transmitters aloft, and the frequencies differ by region.",
			Why:    "Radio rules are national.",
			Source: Practice,
		},
	})
}
