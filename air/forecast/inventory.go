package forecast

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"pappus/air/grib2"
	"pappus/air/sounding"
	"pappus/measure/geo"
)

// Message is one field of a file, as an inventory lists it.
type Message struct {
	File      string    `json:"file"`
	Parameter string    `json:"parameter"`
	Level     string    `json:"level"`
	Cycle     time.Time `json:"cycle,omitzero"` // reference time
	Time      time.Time `json:"time,omitzero"`  // for which the field holds; the end of an interval
	Step      float64   `json:"step_s"`         // from the one to the other
	Member    *int      `json:"member,omitempty"`
	Grid      string    `json:"grid"`
	Packing   string    `json:"packing"`
	Min       Number    `json:"min"` // of all values, in the unit of the file, which is SI
	Max       Number    `json:"max"`
}

// Number is null in JSON where there is none.
type Number float64

// MarshalJSON writes NaN as null.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, float64(n), 'g', -1, 64), nil
}

// Inventory decodes every field of files, whatever its grid, one after the
// other, and hands each to `each`, so that only one is held in memory. What
// cannot be listed is answered, one fault for each message or file.
func Inventory(files []File, each func(Message)) Faults {
	var faults Faults
	var buffer []float64
	for _, f := range files {
		switch {
		case sidecar(f.Name):
		case isTable(f):
			if err := listTable(f, each); err != nil {
				faults = append(faults, err)
			}
		default:
			var found Faults
			buffer, found = listFields(f, buffer, each)
			faults = append(faults, found...)
		}
	}
	return faults
}

func listFields(f File, buffer []float64, each func(Message)) ([]float64, Faults) {
	var faults Faults
	fields, broken := grib2.Scan(f.Data)
	for i := range fields {
		field := &fields[i]
		values, err := field.Decode(buffer)
		if err != nil {
			faults = append(faults, &FileError{f.Name, fmt.Errorf("message %d at octet %d: %w", field.Message, field.Offset, err)})
			continue
		}
		buffer = values
		m := Message{
			File: f.Name, Parameter: field.Parameter(), Level: field.Level(), Cycle: field.Reference,
			Time: validTime(field), Step: float64(field.Product.EndSeconds),
			Grid: gridText(field.Grid), Packing: packingText(field.Packing),
		}
		if field.Product.Member >= 0 {
			m.Member = &field.Product.Member
		}
		m.Min, m.Max = extremes(values)
		each(m)
	}
	for _, b := range broken {
		faults = append(faults, &FileError{f.Name, b})
	}
	if at, cut := brokenTail(f.Data, fields); cut && len(broken) == 0 {
		faults = append(faults, tailError(f.Name, at))
	}
	return buffer, faults
}

// validTime answers the instant for which a field holds; none where the file
// names one that no calendar writes.
func validTime(f *grib2.Field) time.Time {
	t := time.Unix(f.Reference.Unix()+f.Product.EndSeconds, 0).UTC()
	if t.Year() < 0 || t.Year() > 9999 {
		return time.Time{}
	}
	return t
}

// extremes answers the least and the greatest value that is there.
func extremes(values []float64) (low, high Number) {
	least, most := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if v < least {
			least = v
		}
		if v > most {
			most = v
		}
	}
	if least > most {
		return Number(math.NaN()), Number(math.NaN())
	}
	return Number(least), Number(most)
}

// listTable lists a profile table as one message for each quantity.
func listTable(f File, each func(Message)) error {
	profile, err := sounding.Read(f.Name, f.Data)
	if err != nil {
		return err
	}
	levels := profile.Levels(middleLatDeg)
	low, high := levels[0], levels[len(levels)-1]
	from, to := geo.Geometric(low.Height, middleLatDeg), geo.Geometric(high.Height, middleLatDeg)
	for _, q := range []struct {
		name  string
		value func(sounding.Level) float64
	}{
		{"pressure", func(l sounding.Level) float64 { return l.Pressure }},
		{"temperature", func(l sounding.Level) float64 { return l.Temperature }},
		{"wind towards east", func(l sounding.Level) float64 { return l.WindEast }},
		{"wind towards north", func(l sounding.Level) float64 { return l.WindNorth }},
	} {
		var values []float64
		for _, l := range levels {
			values = append(values, q.value(l))
		}
		m := Message{File: f.Name, Parameter: q.name, Level: fmt.Sprintf("%d heights from %.0f to %.0f m", len(levels), float64(from), float64(to)),
			Grid: "one column", Packing: "table"}
		m.Min, m.Max = extremes(values)
		each(m)
	}
	return nil
}

// middleLatDeg stands for the place that a table does not name.
const middleLatDeg = 45.0
