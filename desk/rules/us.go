package rules

import "pappus/measure/unit"

// us is Part 101 of Title 14, Code of Federal Regulations [14CFR101]. Every limit
// of 101.1(a)(4) is a strict "more than".
func us() text {
	return text{
		name:     "US",
		title:    "14 CFR Part 101 (United States)",
		readOn:   "2026-04-05",
		readHow:  "The date is that of the eCFR copy read for 101.7 and 101.39. 101.1, 101.35 and the window of 101.37(a) were read in CFR prints (101.1 in those of 2019 and 2024, 101.35 in that of 2024), 101.5 in one of 2021. 101.33 and the list in 101.37 are from memory. Read the current text before you fly.",
		imperial: true,
		paragraphs: []paragraph{
			{id: "101.1(a)(4)(i)", outcome: applies, source: TextRead, limbs: []limb{
				{packageMass, 4 * unit.Pound, true},
				{packageDensity, 3 * ouncePerSquareInch, true},
			}},
			{id: "101.1(a)(4)(ii)", outcome: applies, source: TextRead, limbs: []limb{{packageMass, 6 * unit.Pound, true}}},
			{id: "101.1(a)(4)(iii)", outcome: applies, source: TextRead, packages: 2, limbs: []limb{{payloadMass, 12 * unit.Pound, true}}},
			{id: "101.1(a)(4)(iv)", outcome: applies, source: TextRead, limbs: []limb{{separationLoad, 50 * unit.PoundForce, true}}},
		},
		markedFrom: 50 * unit.Foot,
		duties:     usDuties(),
		always: []Duty{
			always("101.7(a)", TextRead, "Do not fly in a way that puts other people or what they own in danger. This holds for every balloon, also for one outside the part."),
			always("101.7(b)", TextRead, "Let nothing drop from the balloon where that puts people or what they own in danger."),
		},
		customary: usCustomary(),
		cautions:  usCautions,
	}
}

func always(id string, source Source, words string) Duty {
	return Duty{ID: id, Paragraph: id, Text: words, Source: source}
}

func usDuties() []dutyRule {
	return []dutyRule{
		{"101.5", applies, everyFlight, TextRead, "Prohibited and restricted areas: only with permission of the agency that uses or controls the area."},
		{"101.31", applies, everyFlight, TextReadInPart, "Inside a restricted area only 101.33(d) and (e) and the agency's own limits are asked for."},
		{"101.33(a)", applies, everyFlight, FromMemory, "Below 2,000 ft above the ground inside the surface area of an airport's Class B, C, D or E airspace: only if air traffic control authorises it."},
		{"101.33(b)", applies, everyFlight, FromMemory, "Not at any height where clouds or other obscuration cover more than five tenths of the sky."},
		{"101.33(c)", applies, everyFlight, FromMemory, "Not below 60,000 ft standard pressure altitude where one sees less than 5 miles horizontally."},
		{"101.33(d)", applies, everyFlight, FromMemory, "The first 1,000 ft of the climb must not pass over a congested area or an open-air crowd that has no part in the flight."},
		{"101.33(e)", applies, everyFlight, FromMemory, "The landing of balloon or payload must not endanger people or property that have no part in the flight."},
		{"101.35(a)(1)", applies, everyFlight, TextRead, "Two payload cut-down systems or devices, each working without the other."},
		{"101.35(a)(2)", applies, everyFlight, TextRead, "Two ways of ending the flight of the envelope, each working without the other."},
		{"101.35(a)(3)", applies, everyFlight, TextRead, "A radar reflector on the envelope that echoes to surface radar between 200 and 2700 MHz. Cut down when the weather falls below the limits, or when a fault makes going on dangerous."},
		{"101.35(b)", applies, byNight, TextRead, "For any part of the flight below 60,000 ft between sunset and sunrise, as seen from its height: lights on balloon, attachments and payload, visible for 5 miles, 40 to 100 flashes a minute."},
		{"101.35(c)", applies, everyFlight, TextRead, "If a trailing antenna needs more than 50 lb to break: pennants or streamers at most every 50 ft, visible for a mile."},
		{"101.35(d)", applies, longLine, TextRead, "By day the suspension, being longer than 50 ft, needs alternate bands of conspicuous colour or pennants visible for a mile; an open parachute of conspicuous colour does not count."},
		{"101.37(a)", applies, everyFlight, TextReadInPart, "Notice to the nearest FAA air traffic control facility 6 to 24 hours before the launch: balloon identification; date and time of launch, kept right to within 30 minutes; launch site; cruising altitude; forecast trajectory and time to cruising altitude or 60,000 ft, whichever is lower; length and diameter of the balloon, length of the suspension, weight of the payload, length of any trailing antenna; duration; forecast time and place of impact. The window was read; the list is from memory."},
		{"101.37(b)", applies, everyFlight, FromMemory, "Only for flights that study a solar or cosmic disturbance: the notice may be given 30 minutes to 24 hours before."},
		{"101.37(c)", applies, everyFlight, FromMemory, "If the launch is called off, tell the same facility at once."},
		{"101.37(d)", applies, everyFlight, FromMemory, "Tell the facility of the launch immediately after it."},
		{"101.39(a)(1)", applies, everyFlight, TextRead, "Follow the balloon and write down its position at least every 2 hours, unless air traffic control asks otherwise."},
		{"101.39(a)(2)", applies, everyFlight, TextRead, "Pass on every position report that air traffic control asks for."},
		{"101.39(b)", applies, everyFlight, TextRead, "One hour before descent tell the nearest facility: position, altitude, forecast time of passing 60,000 ft, forecast trajectory for the rest, forecast time and place of impact."},
		{"101.39(c)", applies, everyFlight, TextRead, "If no position was recorded for any 2 hours, tell the nearest facility at once, with the last position and the new forecast; tell it again when the balloon is found."},
		{"101.39(d)", applies, everyFlight, TextRead, "Tell the nearest facility when the flight has ended."},
		{"101.3", applies, everyFlight, FromMemory, "A deviation needs a certificate of waiver from the FAA."},
	}
}

// usCustomary names no window on purpose: 101.37's belongs to flights inside the part.
func usCustomary() *Customary {
	return &Customary{
		Text: "For a flight outside the part, this text asks for no notice and sets no window. It is usual to ring flight service all the same, a day or two ahead, so that pilots are told. The number they give is a notice, not a permit.",
		Give: []string{
			"launch point, as bearing and distance from an airport or a VOR",
			"launch window in UTC",
			"rate of climb and time through 60,000 ft",
			"direction of drift",
			"size and colour of the balloon",
			"where it should land",
			"your name and telephone",
		},
		Source: Practice,
	}
}
