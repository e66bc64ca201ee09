package rules

// icao is the appendix on unmanned free balloons of ICAO Annex 2 (Appendix 5,
// earlier 4), numbered as in its European adoption [SERA], Appendix 2, which is the
// copy that was read. Every limit is "or more" except the area density, "more than".
func icao() text {
	return text{
		name:    "ICAO",
		title:   "ICAO Annex 2, Appendix 5, numbered as in Regulation (EU) 923/2012, Appendix 2",
		readOn:  "2020-01-31",
		readHow: "The date is that of the copy of Regulation (EU) 923/2012, Appendix 2, read for 1.1, 2.1 and 2.2; 3.1 to 3.4 and part of 5.1 were read in other copies without a date. The rest is from memory. Annex 2 itself was not read, and States publish differences: read your State's text before you fly.",
		byClass: true,
		lowest:  "1.1(a)",
		paragraphs: []paragraph{
			{id: "1.1(b)", outcome: medium, source: TextRead, packages: 2, limbs: []limb{{payloadMass, 4, false}}},
			{id: "1.1(c)(1)", outcome: heavy, source: TextRead, limbs: []limb{{payloadMass, 6, false}}},
			{id: "1.1(c)(2)", outcome: heavy, source: TextRead, limbs: []limb{{packageMass, 3, false}}},
			{id: "1.1(c)(3)", outcome: heavy, source: TextRead, limbs: []limb{
				{packageMass, 2, false},
				{packageDensity, 13 * gramPerSquareCentimetre, true},
			}},
			{id: "1.1(c)(4)", outcome: heavy, source: TextRead, limbs: []limb{{separationLoad, 230, false}}},
		},
		markedFrom: 15,
		duties:     icaoDuties(),
		always: []Duty{
			always("2.1", TextRead, "No flight of any class, light ones included, without authorisation by the State from whose territory it is launched."),
			always("2.2", TextRead, "No flight across the territory of another State without that State's authorisation. Only a light balloon used for nothing but meteorology, in the way its authority prescribes, is excepted."),
			always("2.3", FromMemory, "That authorisation must be in hand before launch whenever planning gives reason to expect a drift into the other State."),
			always("2.5", FromMemory, "The landing of balloon or payload must not endanger people or property that have no part in the flight."),
		},
		cautions: icaoCautions,
	}
}

func icaoDuties() []dutyRule {
	return []dutyRule{
		{"2.6", heavy, everyFlight, FromMemory, "Over the high seas only after agreement with the air navigation service provider."},
		{"3.1", heavy, everyFlight, TextRead, "At or below 18 000 m (60,000 ft) pressure altitude, unless air traffic services authorise it: not where cloud or other obscuration covers more than 4 oktas, nor where one sees less than 8 km horizontally."},
		{"3.2", medium, everyFlight, TextRead, "The launch must not take it lower than 300 m (1,000 ft) over congested areas or open-air crowds that have no part in the flight."},
		{"3.3(a)", heavy, everyFlight, TextRead, "Two payload flight-termination devices, automatic or commanded, each working without the other."},
		{"3.3(b)", heavy, everyFlight, TextRead, "For polyethylene zero-pressure balloons: two ways of ending the flight of the envelope, each working without the other. A latex envelope that bursts is not of that kind."},
		{"3.3(c)", heavy, everyFlight, TextRead, "A radar reflector that echoes between 200 and 2700 MHz, or another device by which the operator can follow it beyond the range of ground radar, or both."},
		{"3.4", heavy, everyFlight, TextReadInPart, "Where ground stations use secondary radar: a transponder that reports pressure altitude, working on an assigned code, or one that can be switched on when needed."},
		{"3.5", nothing, everyFlight, FromMemory, "If a trailing antenna needs more than 230 N to break at any point: coloured pennants or streamers at most every 15 m."},
		{"3.6", nothing, byNight, FromMemory, "For any part of the flight below 18 000 m (60,000 ft) between sunset and sunrise, as seen from its height: lights on balloon, attachments and payload."},
		{"3.7", nothing, longLine, FromMemory, "By day below 18 000 m the suspension, being longer than 15 m, needs alternate bands of conspicuous colour or coloured pennants; an open parachute of conspicuous colour does not count."},
		{"4.1", heavy, everyFlight, FromMemory, "End the flight when the weather falls below what is prescribed, when a fault or anything else makes going on dangerous, or before it enters another State's airspace without authorisation."},
		{"5.1.1", medium, everyFlight, TextRead, "Early notice of the planned flight to the air traffic services unit, at least 7 days before."},
		{"5.1.2", medium, everyFlight, TextReadInPart, "The notice gives, as the unit asks: (a) flight identification or project code; (b) class and description; (c) transponder code, aircraft address or beacon frequency; (d) operator's name and telephone; (e) launch site; (f) launch time, or start and end of several launches; (g) number of balloons and interval; (h) direction of ascent; (i) cruising levels; (j) time to pass 18 000 m or to reach the cruising level; (k) when and where the flight ends and is recovered. From (h) on from memory."},
		{"5.1.3", medium, everyFlight, FromMemory, "Pass on every change to that notice before launch, in good time."},
		{"5.2", medium, everyFlight, FromMemory, "Immediately after launch: identification, site, actual time, expected time and place of passing 18 000 m, and changes to (g) and (h)."},
		{"5.3", medium, everyFlight, FromMemory, "If the launch is called off, tell the air traffic services unit at once."},
		{"6", medium, everyFlight, FromMemory, "Follow the flight and write down its position at least every 2 hours; below 18 000 m report positions as asked; tell the unit before descent, when the balloon is lost, and when the flight has ended."},
	}
}
