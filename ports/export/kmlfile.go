package export

import "encoding/xml"

// The elements of [KML22] that are written. Fields stand in the order of its
// schema, for the schema knows sequences only.
type (
	kmlFile struct {
		XMLName  xml.Name    `xml:"kml"`
		Space    string      `xml:"xmlns,attr"`
		Document kmlDocument `xml:"Document"`
	}
	kmlDocument struct {
		Name    string      `xml:"name"`
		Open    int         `xml:"open"`
		Text    string      `xml:"description"`
		Styles  []kmlStyle  `xml:"Style"`
		Folders []kmlFolder `xml:"Folder"`
	}
	kmlStyle struct {
		ID    string       `xml:"id,attr"`
		Icon  kmlIconStyle `xml:"IconStyle"`
		Label kmlLabel     `xml:"LabelStyle"`
		Line  kmlLine      `xml:"LineStyle"`
		Poly  kmlPoly      `xml:"PolyStyle"`
	}
	// kmlIconStyle has a scale of zero and no picture, so that a reader neither
	// draws one of its own nor fetches one.
	kmlIconStyle struct {
		Scale string `xml:"scale"`
	}
	kmlLabel struct {
		Colour string `xml:"color"`
		Scale  string `xml:"scale"`
	}
	kmlLine struct {
		Colour string `xml:"color"`
		Width  string `xml:"width"`
	}
	kmlPoly struct {
		Colour string `xml:"color"`
	}
	kmlFolder struct {
		Name       string         `xml:"name"`
		Visibility int            `xml:"visibility"`
		Open       int            `xml:"open"`
		Text       string         `xml:"description,omitempty"`
		Placemarks []kmlPlacemark `xml:"Placemark"`
	}
	kmlPlacemark struct {
		Name       string    `xml:"name"`
		Visibility int       `xml:"visibility"`
		Text       string    `xml:"description,omitempty"`
		When       *kmlWhen  `xml:"TimeStamp"`
		Span       *kmlSpan  `xml:"TimeSpan"`
		Style      string    `xml:"styleUrl"`
		Data       []kmlData `xml:"ExtendedData>Data"`
		Shape      any
	}
	kmlWhen struct {
		When string `xml:"when"`
	}
	kmlSpan struct {
		Begin string `xml:"begin"`
		End   string `xml:"end"`
	}
	kmlData struct {
		Name  string `xml:"name,attr"`
		Value string `xml:"value"`
	}
	kmlPoint struct {
		XMLName      xml.Name `xml:"Point"`
		Extrude      int      `xml:"extrude"`
		AltitudeMode string   `xml:"altitudeMode"`
		Coordinates  string   `xml:"coordinates"`
	}
	kmlLineString struct {
		XMLName      xml.Name `xml:"LineString"`
		Tessellate   int      `xml:"tessellate"`
		AltitudeMode string   `xml:"altitudeMode"`
		Coordinates  string   `xml:"coordinates"`
	}
	kmlPolygon struct {
		XMLName      xml.Name  `xml:"Polygon"`
		Tessellate   int       `xml:"tessellate"`
		AltitudeMode string    `xml:"altitudeMode"`
		Outer        kmlRing   `xml:"outerBoundaryIs"`
		Holes        []kmlRing `xml:"innerBoundaryIs"`
	}
	kmlRing struct {
		Coordinates string `xml:"LinearRing>coordinates"`
	}
	kmlMany struct {
		XMLName xml.Name `xml:"MultiGeometry"`
		Shapes  []any
	}
)

// How a shape stands to the ground: on it, or at its height above the sea.
const (
	onGround = "clampToGround"
	absolute = "absolute"
)

// together answers one shape as it is, and several as one.
func together(shapes []any) any {
	if len(shapes) == 1 {
		return shapes[0]
	}
	return kmlMany{Shapes: shapes}
}
