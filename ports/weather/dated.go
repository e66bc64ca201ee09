package weather

import (
	"fmt"
	"time"

	toml "github.com/pelletier/go-toml/v2"
)

// Dated says where the cycles of some dates stand, when an archive was laid out
// otherwise then.
type Dated struct {
	From  time.Time // the first date, UTC; zero: from the beginning
	To    time.Time // the first date that it no longer holds for; zero: to the end
	Files []string
}

type datedText struct {
	From  *toml.LocalDate `toml:"from"`
	To    *toml.LocalDate `toml:"to"`
	Files []string        `toml:"files"`
}

func (t datedText) dated() Dated {
	d := Dated{Files: t.Files}
	if t.From != nil {
		d.From = t.From.AsTime(time.UTC)
	}
	if t.To != nil {
		d.To = t.To.AsTime(time.UTC)
	}
	return d
}

func (d Dated) holds(cycle time.Time) bool {
	return !cycle.Before(d.From) && (d.To.IsZero() || cycle.Before(d.To))
}

// on answers a source as it stands for a cycle. What cuts out areas is of the
// layout of today, so that an older one has none.
func (s Source) on(cycle time.Time) Source {
	for _, d := range s.Dated {
		if d.holds(cycle) {
			s.Files, s.Region = d.Files, nil
			break
		}
	}
	return s
}

func (s Source) checkDated() error {
	for i, d := range s.Dated {
		switch {
		case len(d.Files) == 0 || len(d.Files) > 8:
			return fmt.Errorf("dated, entry %d: files: one to eight addresses are expected", i+1)
		case d.From.IsZero() && d.To.IsZero():
			return fmt.Errorf("dated, entry %d: from or to, or both, are expected, such as to = 2021-03-23", i+1)
		case !d.To.IsZero() && !d.From.Before(d.To):
			return fmt.Errorf("dated, entry %d: from must lie before to", i+1)
		}
	}
	return nil
}
