// Package jobs runs long work beside the person's: each job says how far it is,
// can be cancelled, and keeps its result until it is fetched or pushed out by
// newer ones. Jobs live in memory; after a restart a job is honestly stopped.
package jobs

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"time"
)

// State is where a job stands.
type State string

// The states of a job. Only Running changes into another one.
const (
	Running   State = "running"
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
	Stopped   State = "stopped" // the program ended while the job ran
)

// ErrNotFound means that there is no such job, now or before a restart.
var ErrNotFound = errors.New("there is no such job: it was never started, or its result was dropped for newer ones")

// ErrFull means that too many jobs run at once.
var ErrFull = errors.New("too many jobs run already: wait for one to end, or cancel one")

// Status is what is known of a job at one moment.
type Status struct {
	ID      string
	Kind    string // what sort of work, such as "odds"
	Flight  string // the flight it is for, empty when for none
	State   State
	Share   float64 // how much is done, 0 to 1
	Text    string  // what it is doing, or why it ended
	Started time.Time
	Ended   time.Time // zero while it runs
}

// Progress is called by the work to say how far it is.
type Progress func(share float64, text string)

// Work is what a job does. It returns soon after ctx is cancelled.
type Work func(ctx context.Context, progress Progress) (result any, err error)

// Limits says how many jobs may run at once and how many ended ones are kept.
type Limits struct {
	Running, Kept int
}

// Desk holds the jobs.
type Desk struct {
	boot   string
	now    func() time.Time
	limits Limits
	notice func(Status)

	mu    sync.Mutex
	next  int
	jobs  map[string]*job
	order []string // oldest first
	wait  sync.WaitGroup
}

type job struct {
	status Status
	told   time.Time // when its progress was last told
	result any
	cancel context.CancelFunc
}

// New makes a desk. The boot word must differ from one start of the program to
// the next: it is how a job of an earlier start is known. The notice, which may
// be nil, is told of every change.
func New(boot string, now func() time.Time, limits Limits, notice func(Status)) *Desk {
	if boot == "" || strings.Contains(boot, "-") || limits.Running < 1 || limits.Kept < 1 {
		panic("jobs: the boot word must be without hyphens and the limits at least 1")
	}
	if notice == nil {
		notice = func(Status) {}
	}
	return &Desk{boot: boot, now: now, limits: limits, notice: notice, jobs: map[string]*job{}}
}

// Start begins the work and returns at once.
func (d *Desk) Start(kind, flight string, work Work) (Status, error) {
	ctx, cancel := context.WithCancel(context.Background())
	d.mu.Lock()
	running := 0
	for _, j := range d.jobs {
		if j.status.State == Running {
			running++
		}
	}
	if running >= d.limits.Running {
		d.mu.Unlock()
		cancel()
		return Status{}, ErrFull
	}
	d.next++
	j := &job{cancel: cancel, status: Status{
		ID: d.boot + "-" + strconv.Itoa(d.next), Kind: kind, Flight: flight, State: Running, Started: d.now(),
	}}
	d.jobs[j.status.ID] = j
	d.order = append(d.order, j.status.ID)
	d.drop()
	status := j.status
	d.wait.Add(1)
	d.mu.Unlock()
	d.notice(status)
	go d.run(ctx, j, work)
	return status, nil
}

func (d *Desk) run(ctx context.Context, j *job, work Work) {
	defer d.wait.Done()
	defer j.cancel()
	result, err := safely(ctx, work, func(share float64, text string) {
		d.progress(j, min(max(share, 0), 1), text)
	})
	d.change(j, func(s *Status) {
		s.Ended = d.now()
		switch {
		case err != nil && ctx.Err() != nil:
			s.State, s.Text = Cancelled, "cancelled before it was done"
		case err != nil:
			s.State, s.Text = Failed, err.Error()
		default:
			s.State, s.Share = Done, 1
			j.result = result
		}
	})
}

// tellEvery is the least time between two words about a job's progress: often
// enough to look alive, and seldom enough not to drown what else happens.
const tellEvery = 100 * time.Millisecond

func (d *Desk) progress(j *job, share float64, text string) {
	d.mu.Lock()
	now := d.now()
	tell := j.status.State == Running && now.Sub(j.told) >= tellEvery
	if j.status.State == Running {
		j.status.Share, j.status.Text = share, text
	}
	if tell {
		j.told = now
	}
	status := j.status
	d.mu.Unlock()
	if tell {
		d.notice(status)
	}
}

// safely turns a panic of the work into an error: one job must not end the
// program under the hands of a crew.
func safely(ctx context.Context, work Work, progress Progress) (result any, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			result, err = nil, fmt.Errorf("a fault of the program stopped this work: %v", fault)
		}
	}()
	return work(ctx, progress)
}

func (d *Desk) change(j *job, alter func(*Status)) {
	d.mu.Lock()
	alter(&j.status)
	status := j.status
	d.mu.Unlock()
	d.notice(status)
}

// drop forgets the oldest ended jobs beyond the limit; d.mu is held.
func (d *Desk) drop() {
	ended := 0
	for i := len(d.order) - 1; i >= 0; i-- {
		id := d.order[i]
		if d.jobs[id].status.State == Running {
			continue
		}
		if ended++; ended > d.limits.Kept {
			delete(d.jobs, id)
			d.order = append(d.order[:i], d.order[i+1:]...)
		}
	}
}

// Get says how a job stands. A job of an earlier start of the program is Stopped.
func (d *Desk) Get(id string) (Status, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if j, ok := d.jobs[id]; ok {
		return j.status, nil
	}
	boot, number, cut := strings.Cut(id, "-")
	if n, err := strconv.Atoi(number); cut && err == nil && n > 0 && boot != "" && boot != d.boot {
		return Status{ID: id, State: Stopped, Text: "the program was started anew since; if this work had not ended, start it again"}, nil
	}
	return Status{}, ErrNotFound
}

// Result gives what the work returned, and how the job stands. The result is nil
// unless the state is Done.
func (d *Desk) Result(id string) (any, Status, error) {
	status, err := d.Get(id)
	if err != nil || status.State != Done {
		return nil, status, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if j, ok := d.jobs[id]; ok {
		return j.result, j.status, nil
	}
	return nil, Status{}, ErrNotFound
}

// Cancel asks a job to stop; it ends soon after. To cancel an ended job changes
// nothing.
func (d *Desk) Cancel(id string) (Status, error) {
	d.mu.Lock()
	if j, ok := d.jobs[id]; ok {
		j.cancel()
	}
	d.mu.Unlock()
	return d.Get(id)
}

// List gives all jobs that are held, newest first.
func (d *Desk) List() []Status {
	d.mu.Lock()
	defer d.mu.Unlock()
	list := make([]Status, 0, len(d.order))
	for i := len(d.order) - 1; i >= 0; i-- {
		list = append(list, d.jobs[d.order[i]].status)
	}
	return list
}

// Close cancels what runs and waits for it to end.
func (d *Desk) Close() {
	d.mu.Lock()
	for _, j := range d.jobs {
		j.cancel()
	}
	d.mu.Unlock()
	d.wait.Wait()
}
