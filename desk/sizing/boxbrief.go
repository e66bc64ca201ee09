package sizing

import "pappus/odds/ensemble"

// BoxBrief is what a plan shows of the boxes along the flight; desk/box works it
// out. Times count from the release.
type BoxBrief struct {
	Boxes    []BoxLane `json:"boxes,omitempty"`
	Gap      *float64  `json:"longest_gap_s,omitempty"` // expected in flight, between two positions heard
	Views    []BoxView `json:"views,omitempty"`
	Cautions []Caution `json:"cautions"`
}

// BoxLane is one box.
type BoxLane struct {
	Name       string      `json:"name,omitempty"`
	Rows       []BoxRow    `json:"temperature,omitempty"`
	Items      []BoxItem   `json:"items,omitempty"`
	Energy     []BoxEnergy `json:"energy,omitempty"`
	CardLasts  *float64    `json:"card_lasts_s,omitempty"`
	CardNeeded *float64    `json:"card_needed_s,omitempty"`
}

// BoxRow is the air in a box at one time.
type BoxRow struct {
	After   float64       `json:"after_s"`
	Outside float64       `json:"outside_k"`
	Inside  ensemble.Band `json:"inside_k"`
}

// BoxItem is the warmest and coldest of one thing in a box.
type BoxItem struct {
	Name   string         `json:"name,omitempty"`
	Before *ensemble.Band `json:"warmest_before_launch_k"`
	Cold   *ensemble.Band `json:"coldest_in_flight_k"`
	Warm   *ensemble.Band `json:"warmest_in_flight_k"`
}

// BoxEnergy is how long cells last beyond the landing; below zero they stop in
// the flight.
type BoxEnergy struct {
	Cells        string         `json:"cells"`
	Feeds        []string       `json:"feeds"`
	AfterLanding *ensemble.Band `json:"after_landing_s"`
}

// BoxView is what a camera sees from the top.
type BoxView struct {
	Camera  string  `json:"camera"`
	Horizon float64 `json:"horizon_m"`
	Sag     float64 `json:"curve_share"`
	Bow     float64 `json:"barrel_share"`
}
