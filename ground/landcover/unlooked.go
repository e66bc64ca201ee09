package landcover

import "strings"

// NotLookedAt lists what no data here cover, in words for a person, most dangerous first. Kinds are those of the person's own
// areas; what they have drawn is said to be covered there only.
func NotLookedAt(kinds ...string) []string {
	drawn := map[string]bool{}
	for _, k := range kinds {
		drawn[strings.ToLower(strings.TrimSpace(k))] = true
	}
	list := []string{}
	add := func(kind, outside, always string) {
		if kind != "" && drawn[kind] {
			list = append(list, outside)
		} else {
			list = append(list, always)
		}
	}
	add("", "", "power lines, masts and wind turbines")
	add("airspace", "airspace other than what you drew, and all temporary restrictions and notices to airmen", "airspace of any kind: controlled, restricted, temporary")
	add("", "", "whether an airfield has a tower, and fields that are new, private or unlisted")
	add("", "", "railways and roads, and who is on them")
	add("", "", "crowds, events and single houses; villages under 500 people")
	add("permission", "whose land it is, and whether you may enter it, outside the areas you marked", "whose land it is, and whether you may enter it")
	add("", "", "military, nuclear, prison and other protected sites")
	add("forest", "forest and single trees outside the areas you drew", "forest and single trees")
	add("", "", "lakes and ponds too small for a map of the world, streams, marsh and flooded land")
	add("", "", "crops, livestock and nature reserves")
	add("", "", "cliffs, quarries and other fine relief, unless terrain tiles are given")
	add("", "", "ice, snow and tide")
	return list
}
