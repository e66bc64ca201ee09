package box

import (
	"pappus/desk/sizing"
	"pappus/odds/ensemble"
)

// Answer is the box along the flight. Times count from the release, in seconds.
type Answer struct {
	Name      string                   `json:"name,omitempty"`
	Air       string                   `json:"air"`
	Packed    float64                  `json:"packed_s"`      // below zero: before the release
	On        float64                  `json:"switched_on_s"` // likewise
	Burst     float64                  `json:"burst_s"`
	BurstAlt  float64                  `json:"burst_alt_m"`
	Landing   float64                  `json:"landing_s"`
	End       float64                  `json:"end_s"`
	Start     float64                  `json:"start_k"`
	Members   int                      `json:"members"`
	Seed      uint64                   `json:"seed"`
	Boxes     []Box                    `json:"boxes,omitempty"`
	Silence   *Silence                 `json:"silence,omitempty"`
	Views     []View                   `json:"views,omitempty"`
	Space     []Space                  `json:"space"`
	Cautions  []sizing.Caution         `json:"cautions"`
	NotLooked []string                 `json:"not_looked_at"`
	Why       map[string]sizing.Reason `json:"why,omitempty"`
}

// Box is one box of the train.
type Box struct {
	Name    string   `json:"name,omitempty"`
	Wall    *Wall    `json:"wall,omitempty"`
	Rows    []Row    `json:"temperature,omitempty"`
	Items   []Item   `json:"items,omitempty"`
	Energy  []Energy `json:"energy,omitempty"`
	Cards   *Cards   `json:"cards,omitempty"`
	Packs   *Packs   `json:"heat_packs,omitempty"`
	Missing []string `json:"missing,omitempty"` // what the file does not say
}

// Wall is what keeps a box warm.
type Wall struct {
	Foam         string  `json:"foam"`
	Thickness    float64 `json:"thickness_m"`
	Conductivity float64 `json:"conductivity_w_per_mk"`
	Area         float64 `json:"area_m2"`
	Conductance  float64 `json:"conductance_w_per_k"`
	Error        float64 `json:"conductance_spread"`
	Measured     bool    `json:"measured"`
	Capacity     float64 `json:"contents_j_per_k"`
	TimeConstant float64 `json:"time_constant_s"` // with a film of 4 W/m2K outside
	PerWatt      float64 `json:"rise_k_per_w"`
	Load         float64 `json:"load_w"` // of all devices when on
	Absorbs      float64 `json:"sun_absorbed_share"`
	Emits        float64 `json:"emissivity"`
	Finish       string  `json:"finish"`
}

// Row is one time.
type Row struct {
	After   float64       `json:"after_s"`
	Alt     float64       `json:"alt_m"`
	Outside float64       `json:"outside_k"`
	Inside  ensemble.Band `json:"inside_k"`
}

// Item is one thing in the box, or the rest of what is in it.
type Item struct {
	Name   string         `json:"name,omitempty"`
	Kind   string         `json:"kind,omitempty"`
	Before *ensemble.Band `json:"warmest_before_launch_k"`
	Cold   *ensemble.Band `json:"coldest_in_flight_k"`
	ColdAt float64        `json:"coldest_at_s"`
	Warm   *ensemble.Band `json:"warmest_in_flight_k"`
	WarmAt float64        `json:"warmest_at_s"`
	Late   *ensemble.Band `json:"coldest_after_landing_k"`
	// Rated bounds, and the share of flights beyond them.
	Coldest   *float64  `json:"rated_coldest_k,omitempty"`
	Warmest   *float64  `json:"rated_warmest_k,omitempty"`
	TooCold   *float64  `json:"too_cold_chance,omitempty"`
	TooWarm   *float64  `json:"too_warm_before_launch_chance,omitempty"`
	TooWarmUp *float64  `json:"too_warm_in_flight_chance,omitempty"`
	Rows      []ItemRow `json:"temperature,omitempty"`
}

// ItemRow is one thing at one time.
type ItemRow struct {
	After float64       `json:"after_s"`
	Warm  ensemble.Band `json:"temperature_k"`
}

// Energy is one source of current and what lives on it.
type Energy struct {
	Cells     string   `json:"cells"`
	Chemistry string   `json:"chemistry"`
	Content   float64  `json:"content_j"` // at room temperature
	Load      float64  `json:"load_w"`
	Feeds     []string `json:"feeds"`
	Hours     float64  `json:"lasts_s"` // at room temperature
	// AfterLanding is how long it lasts beyond the landing; below zero it stops in
	// the flight.
	AfterLanding    *ensemble.Band `json:"after_landing_s"`
	AfterLandingMid *float64       `json:"after_landing_mid_s"`
	Used            float64        `json:"used_by_landing_share"` // of what the cold leaves
	DiesAloft       *float64       `json:"dies_in_flight_chance,omitempty"`
	Cold            string         `json:"in_the_cold"`
}

// Cards is the room on the cards of a box against what its cameras write.
type Cards struct {
	Storage float64  `json:"storage_b"`
	Rate    float64  `json:"rate_b_per_s"`
	Lasts   float64  `json:"lasts_s"`
	Needed  float64  `json:"needed_s"` // from switching on to the landing, late in nine of ten
	Fits    bool     `json:"fits"`
	Cameras []string `json:"cameras"`
	Text    string   `json:"text"`
}

// Packs are the heat packs of a box.
type Packs struct {
	Heat   float64        `json:"heat_at_sea_level_w"`
	Limit  float64        `json:"oxygen_limit_j"` // what the air of the closed box could give
	Oxygen float64        `json:"oxygen_kg"`
	Given  *ensemble.Band `json:"given_j"`
	Text   string         `json:"text"`
}

// Brief is what the plan shows of it: the same flight with fewer rows.
func (a *Answer) Brief() *sizing.BoxBrief {
	b := &sizing.BoxBrief{}
	for i := range a.Boxes {
		x := &a.Boxes[i]
		lane := sizing.BoxLane{Name: x.Name}
		for k, r := range x.Rows {
			if k%briefRows == 0 || k == len(x.Rows)-1 {
				lane.Rows = append(lane.Rows, sizing.BoxRow{After: r.After, Outside: r.Outside, Inside: r.Inside})
			}
		}
		for _, t := range x.Items {
			lane.Items = append(lane.Items, sizing.BoxItem{Name: t.Name, Before: t.Before, Cold: t.Cold, Warm: t.Warm})
		}
		for _, e := range x.Energy {
			lane.Energy = append(lane.Energy, sizing.BoxEnergy{Cells: e.Cells, Feeds: e.Feeds, AfterLanding: e.AfterLanding})
		}
		if x.Cards != nil {
			lane.CardLasts, lane.CardNeeded = &x.Cards.Lasts, &x.Cards.Needed
		}
		b.Boxes = append(b.Boxes, lane)
	}
	if a.Silence != nil {
		b.Gap = a.Silence.Gap
	}
	for _, v := range a.Views {
		last := v.Rows[len(v.Rows)-1]
		b.Views = append(b.Views, sizing.BoxView{Camera: v.Camera, Horizon: last.Horizon, Sag: last.Sag, Bow: v.Bow})
	}
	b.Cautions = a.Cautions
	return b
}

const briefRows = 3
