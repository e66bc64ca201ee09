package web

// oddsRoutes are the rows for where a flight comes down, and on which weather.
func oddsRoutes() []route {
	const missing, conflict, gone, unfit = 404, 409, 410, 422
	const put = "PUT"
	return []route{
		{method: get, path: "/weather", id: "weather", text: "The forecasts that can be chosen, and what they cover.", status: 200, answer: weatherAnswer{}, handle: (*Server).listWeather},
		{method: put, path: "/weather/{name}", id: "takeWeather", text: "Keep a forecast file, whole and readable or not at all. Its bytes are the body.", file: true, status: 201, answer: forecastAnswer{}, refusals: []int{400, 413, 507}, raw: (*Server).takeWeather},
		{method: drop, path: "/weather/{name}", id: "dropWeather", text: "Remove a kept forecast file; restore brings it back until the program ends.", status: 200, answer: weatherAnswer{}, refusals: []int{missing}, handle: (*Server).dropWeather},
		{method: post, path: "/weather/{name}/restore", id: "restoreWeather", text: "Bring a removed forecast file back.", status: 200, answer: weatherAnswer{}, refusals: []int{missing}, handle: (*Server).restoreWeather},
		{method: get, path: "/flights/{id}/areas", id: "areas", text: "The areas that the person has drawn for a flight.", status: 200, answer: areasAnswer{}, refusals: []int{missing}, handle: (*Server).areas},
		{method: put, path: "/flights/{id}/areas", id: "takeAreas", text: "Keep areas for a flight, in place of those before: a GeoJSON file's bytes are the body.", file: true, status: 201, answer: areasAnswer{}, refusals: []int{400, missing, 413, 507}, raw: (*Server).takeAreas},
		{method: drop, path: "/flights/{id}/areas", id: "dropAreas", text: "Forget a flight's areas.", status: 200, answer: areasAnswer{}, refusals: []int{missing}, handle: (*Server).dropAreas},
		{method: post, path: "/flights/{id}/odds", id: "startOdds", text: "Work out where a flight comes down. The answer has a job where that takes a moment, and none where it is known.", request: oddsRequest{}, status: 200, answer: oddsReply{}, refusals: []int{400, missing, unfit, 503}, handle: (*Server).startOdds},
		{method: post, path: "/flights/{id}/odds/quick", id: "quickOdds", text: "The same from few flights, at once: for a launch place that is being moved.", request: oddsRequest{}, status: 200, answer: oddsAnswer{}, refusals: []int{400, missing, unfit}, handle: (*Server).quickOdds},
		{method: post, path: "/flights/{id}/launch", id: "moveLaunch", text: "Save the flight with another launch place; the elevation is the ground's.", request: moveLaunchRequest{}, status: 200, answer: openAnswer{}, refusals: []int{400, missing, conflict, gone, unfit}, handle: (*Server).moveLaunch},
		{method: get, path: "/odds/{key}", id: "shownOdds", text: "Odds that were worked out, with what drawing them takes.", status: 200, answer: oddsAnswer{}, refusals: []int{missing}, handle: (*Server).shownOdds},
		{method: get, path: "/odds/{key}/ways", id: "ways", text: "The ways of the first flights drawn.", query: []parameter{{"members", "how many, 60 unless told", true}}, status: 200, answer: waysAnswer{}, refusals: []int{400, missing}, handle: (*Server).ways},
		{method: get, path: "/odds/{key}/file/{kind}", id: "exportOdds", text: "Odds as a file for other programs: geojson, kml, gpx or csv.", status: 200, contentType: "application/octet-stream", refusals: []int{missing}, raw: (*Server).exportOdds},
		{method: get, path: "/ground", id: "ground", text: "Towns and airfields in a box on the map, the weightiest first.", query: []parameter{
			{"south", "degrees", true}, {"west", "degrees", true}, {"north", "degrees", true}, {"east", "degrees", true},
		}, status: 200, answer: groundAnswer{}, refusals: []int{400}, handle: (*Server).ground},
	}
}
