package box

import (
	"fmt"

	"pappus/measure/unit"
	"pappus/record"
)

// View is what one camera sees.
type View struct {
	Camera string    `json:"camera"`
	Box    string    `json:"box,omitempty"`
	Lens   string    `json:"lens"`
	Field  float64   `json:"field_of_view_rad"`
	Width  int       `json:"image_width,omitempty"`
	Rows   []ViewRow `json:"rows"`
	// Bow is what the lens gives to a flat horizon a quarter of the height away
	// from the picture's middle.
	Bow       float64  `json:"barrel_share"`
	BowPixels *float64 `json:"barrel_px,omitempty"`
	Text      string   `json:"text"`
}

// ViewRow is one height.
type ViewRow struct {
	Alt       float64  `json:"alt_m"`
	Horizon   float64  `json:"horizon_m"` // in a straight line
	Arc       float64  `json:"horizon_ground_m"`
	Dip       float64  `json:"dip_rad"`
	Sag       float64  `json:"curve_share"`
	SagPixels *float64 `json:"curve_px,omitempty"`
	Pixel     *float64 `json:"ground_pixel_m,omitempty"`
}

// viewsOf answers the cameras of which the field of view is known.
func viewsOf(f *record.Flight, top float64, system unit.System) []View {
	var views []View
	for i := range f.Train {
		part := &f.Train[i]
		for j := range part.Items {
			if item := &part.Items[j]; item.Kind == "camera" && item.FieldOfView.Given {
				views = append(views, viewOf(item, part.Name, top, system))
			}
		}
	}
	return views
}

// widestStraight is the field beyond which no picture keeps lines straight.
const widestStraight = 150 * unit.Degree

func viewOf(item *record.Item, box string, top float64, system unit.System) View {
	v := View{Camera: item.Name, Box: box, Lens: item.Lens, Field: item.FieldOfView.Value, Width: item.ImageWidth}
	assumed := ""
	if v.Lens == "" || v.Lens == "rectilinear" && v.Field > widestStraight {
		v.Lens, assumed = "fisheye", " The lens is taken as a fisheye: the file does not name one that keeps lines straight at this width."
	}
	if v.Field > widestStraight {
		assumed += " So wide a picture holds all of the horizon that is ahead; figures are for the middle 150°."
	}
	field := min(v.Field, widestStraight)
	pixels := func(share float64) *float64 {
		if v.Width == 0 {
			return nil
		}
		n := share * float64(v.Width)
		return &n
	}
	for _, alt := range []float64{10e3, 20e3, 30e3, top} {
		if alt != top && alt > top-unit.Kilometre {
			continue
		}
		row := ViewRow{Alt: alt, Horizon: SlantHorizon(alt), Arc: GroundArc(alt), Dip: Dip(alt), Sag: HorizonSag(alt, field, v.Lens)}
		row.SagPixels = pixels(row.Sag)
		if v.Width > 0 {
			ground := GroundPixel(alt, v.Field, v.Width, v.Lens)
			row.Pixel = &ground
		}
		v.Rows = append(v.Rows, row)
	}
	v.Bow = BarrelBow(field, v.Lens)
	v.BowPixels = pixels(v.Bow)
	last := v.Rows[len(v.Rows)-1]
	v.Text = fmt.Sprintf("At the top the horizon is %s away and %.1f° under the level; it truly curves by %.1f %% of the picture's width.",
		unit.FormatDistance(last.Horizon, system), last.Dip/unit.Degree, last.Sag/unit.Percent)
	if v.Bow > 0 {
		v.Text += fmt.Sprintf(" The lens alone bends a flat horizon a quarter of the height off the middle by %.1f %%, and the other way on the other side: only a horizon through the middle of the picture shows the true curve.", v.Bow/unit.Percent)
	} else {
		v.Text += " A lens that keeps lines straight fakes none; cheap ones still bend by a per cent or two."
	}
	v.Text += assumed
	return v
}
