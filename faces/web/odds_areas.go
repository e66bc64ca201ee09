package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"

	"pappus/flight"
	"pappus/ground/landcover"
)

type areasAnswer struct {
	Areas   []areaAnswer `json:"areas"`
	GeoJSON drawing      `json:"geojson"` // as it was dropped in
}

type areaAnswer struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

// drawing is GeoJSON that a person gave; an object, described no further.
type drawing struct{ json.RawMessage }

// land reads the person's own areas for a flight, and a word that changes with them.
func (s *Server) land(id string) (flight.Land, []byte, string, error) {
	if s.forecasts.Folder == "" {
		return flight.Land{}, nil, "", nil
	}
	data, err := os.ReadFile(s.forecasts.areasPath(id))
	if errors.Is(err, fs.ErrNotExist) {
		return flight.Land{}, nil, "", nil
	} else if err != nil {
		return flight.Land{}, nil, "", err
	}
	areas, err := landcover.ParseAreas("your areas", data)
	sum := sha256.Sum256(data)
	return flight.Land{Areas: areas}, data, hex.EncodeToString(sum[:12]), err
}

func (s *Server) areas(r *http.Request) (any, error) {
	if _, err := s.book.Entry(r.Context(), r.PathValue("id")); err != nil {
		return nil, err
	}
	land, data, _, err := s.land(r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	answer := areasAnswer{Areas: []areaAnswer{}, GeoJSON: drawing{json.RawMessage(`{"type":"FeatureCollection","features":[]}`)}}
	for _, a := range land.Areas {
		answer.Areas = append(answer.Areas, areaAnswer{a.Name, a.Kind})
	}
	if data != nil {
		answer.GeoJSON.RawMessage = data
	}
	return answer, nil
}

// takeAreas keeps the areas that a person has drawn, for one flight.
func (s *Server) takeAreas(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	_, err := s.book.Entry(r.Context(), id)
	if err == nil && s.forecasts.Folder == "" {
		err = badRequest("this app keeps no files: start it on a book with pappus serve")
	}
	if err == nil {
		path := s.forecasts.areasPath(id)
		err = keep(filepath.Dir(path), filepath.Base(path), http.MaxBytesReader(w, r.Body, largestAreas), func(data []byte) error {
			if _, err := landcover.ParseAreas("your areas", data); err != nil {
				return badRequest("%s", oneLine(err))
			}
			return nil
		})
	}
	var answer any
	if err == nil {
		answer, err = s.areas(r)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	writeJSON(w, http.StatusCreated, "application/json", answer)
}

func (s *Server) dropAreas(r *http.Request) (any, error) {
	if _, err := s.book.Entry(r.Context(), r.PathValue("id")); err != nil {
		return nil, err
	}
	if s.forecasts.Folder != "" {
		if err := os.Remove(s.forecasts.areasPath(r.PathValue("id"))); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	return s.areas(r)
}
