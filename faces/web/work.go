package web

import (
	"net/http"
	"time"

	"pappus/flight/jobs"
)

type jobReply struct {
	ID      string     `json:"id"`
	Kind    string     `json:"kind"`
	Flight  string     `json:"flight,omitempty"`
	State   jobs.State `json:"state"`
	Share   float64    `json:"share"` // 0 to 1
	Text    string     `json:"text"`
	Started *time.Time `json:"started,omitempty"`
	Ended   *time.Time `json:"ended,omitempty"`
}

type jobsAnswer struct {
	Jobs []jobReply `json:"jobs"`
}

func jobAnswer(s jobs.Status) jobReply {
	a := jobReply{ID: s.ID, Kind: s.Kind, Flight: s.Flight, State: s.State, Share: s.Share, Text: s.Text}
	if !s.Started.IsZero() {
		a.Started = &s.Started
	}
	if !s.Ended.IsZero() {
		a.Ended = &s.Ended
	}
	return a
}

func (s *Server) listJobs(*http.Request) (any, error) {
	answer := jobsAnswer{Jobs: []jobReply{}}
	for _, status := range s.jobs.List() {
		answer.Jobs = append(answer.Jobs, jobAnswer(status))
	}
	return answer, nil
}

func (s *Server) job(r *http.Request) (any, error) {
	status, err := s.jobs.Get(r.PathValue("id"))
	return jobAnswer(status), err
}

func (s *Server) jobResult(r *http.Request) (any, error) {
	result, status, err := s.jobs.Result(r.PathValue("id"))
	if err == nil && status.State != jobs.Done {
		err = wrong{http.StatusConflict, "there is no result: the job is " + string(status.State) + " " + status.Text}
	}
	return result, err
}

func (s *Server) cancelJob(r *http.Request) (any, error) {
	status, err := s.jobs.Cancel(r.PathValue("id"))
	return jobAnswer(status), err
}
