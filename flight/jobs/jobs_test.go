package jobs

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

func desk(t *testing.T, limits Limits) (*Desk, func(id string) Status) {
	t.Helper()
	var mu sync.Mutex
	ended := map[string]chan Status{}
	channel := func(id string) chan Status {
		mu.Lock()
		defer mu.Unlock()
		if ended[id] == nil {
			ended[id] = make(chan Status, 1)
		}
		return ended[id]
	}
	d := New("b1", func() time.Time { return time.Unix(1000, 0) }, limits, func(s Status) {
		if s.State != Running {
			channel(s.ID) <- s
		}
	})
	t.Cleanup(d.Close)
	return d, func(id string) Status {
		select {
		case s := <-channel(id):
			return s
		case <-time.After(10 * time.Second):
			t.Fatalf("job %s does not end", id)
			return Status{}
		}
	}
}

func TestResultIsKept(t *testing.T) {
	d, end := desk(t, Limits{2, 2})
	s, err := d.Start("odds", "lark", func(_ context.Context, progress Progress) (any, error) {
		progress(0.5, "half")
		return 42, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if s := end(s.ID); s.State != Done || s.Share != 1 || s.Ended.IsZero() {
		t.Errorf("ended as %+v", s)
	}
	if result, _, err := d.Result(s.ID); err != nil || result != 42 {
		t.Errorf("result %v, %v", result, err)
	}
}

func TestCancelFailAndPanic(t *testing.T) {
	d, end := desk(t, Limits{2, 9})
	wait, _ := d.Start("odds", "", func(ctx context.Context, _ Progress) (any, error) {
		<-ctx.Done()
		return nil, ctx.Err()
	})
	if _, err := d.Cancel(wait.ID); err != nil {
		t.Fatal(err)
	}
	if s := end(wait.ID); s.State != Cancelled {
		t.Errorf("cancelled job ended as %+v", s)
	}
	bad, _ := d.Start("odds", "", func(context.Context, Progress) (any, error) { return nil, errors.New("no sky") })
	if s := end(bad.ID); s.State != Failed || s.Text != "no sky" {
		t.Errorf("failing job ended as %+v", s)
	}
	fault, _ := d.Start("odds", "", func(context.Context, Progress) (any, error) { panic("index") })
	if s := end(fault.ID); s.State != Failed || !strings.Contains(s.Text, "fault of the program") {
		t.Errorf("panicking job ended as %+v", s)
	}
	if result, s, err := d.Result(bad.ID); result != nil || s.State != Failed || err != nil {
		t.Errorf("result of a failed job: %v %v %v", result, s, err)
	}
}

func TestRestartAndUnknown(t *testing.T) {
	d, _ := desk(t, Limits{1, 1})
	if s, err := d.Get("b0-7"); err != nil || s.State != Stopped {
		t.Errorf("a job of an earlier start: %+v, %v", s, err)
	}
	for _, id := range []string{"b1-7", "b0-x", "-3", "", "b0"} {
		if _, err := d.Get(id); !errors.Is(err, ErrNotFound) {
			t.Errorf("%q: %v, want ErrNotFound", id, err)
		}
	}
}

func TestLimits(t *testing.T) {
	d, end := desk(t, Limits{1, 1})
	release := make(chan struct{})
	first, _ := d.Start("a", "", func(context.Context, Progress) (any, error) { <-release; return 1, nil })
	if _, err := d.Start("b", "", nil); !errors.Is(err, ErrFull) {
		t.Fatalf("second job beside the first: %v", err)
	}
	close(release)
	end(first.ID)
	quick := func(context.Context, Progress) (any, error) { return 2, nil }
	second, _ := d.Start("b", "", quick)
	end(second.ID)
	third, _ := d.Start("c", "", quick)
	end(third.ID)
	if _, err := d.Get(first.ID); !errors.Is(err, ErrNotFound) {
		t.Errorf("the oldest ended job is still held: %v", err)
	}
	if list := d.List(); len(list) != 2 || list[0].ID != third.ID {
		t.Errorf("list %+v", list)
	}
}

func TestProgressIsNotToldTooOften(t *testing.T) {
	var mu sync.Mutex
	now, told := time.Unix(1000, 0), []float64{}
	d := New("b1", func() time.Time { mu.Lock(); defer mu.Unlock(); return now }, Limits{1, 1}, func(s Status) {
		mu.Lock()
		defer mu.Unlock()
		told = append(told, s.Share)
	})
	if _, err := d.Start("odds", "", func(_ context.Context, progress Progress) (any, error) {
		for n := range 40 { // a step takes 10 ms of this clock, so 100 ms pass every ten
			progress(float64(n)/40, "")
			mu.Lock()
			now = now.Add(10 * time.Millisecond)
			mu.Unlock()
		}
		return nil, nil
	}); err != nil {
		t.Fatal(err)
	}
	d.wait.Wait()
	if want := []float64{0, 0, 0.25, 0.5, 0.75, 1}; !slices.Equal(told, want) {
		t.Errorf("told %v, want %v", told, want)
	}
}
