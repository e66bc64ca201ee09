package odds

import (
	"runtime"
	"testing"
	"unsafe"

	"pappus/odds/ensemble"
)

// held answers the bytes alive on the heap.
func held() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc)
}

// allocated answers the bytes ever asked for.
func allocated() float64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.TotalAlloc)
}

// tiled answers a run as large as asked for, made of a small one over and over
// with each landing moved a little: flying as many would take long and change
// nothing in what they take up.
func tiled(small *ensemble.Result, members int) *ensemble.Result {
	r := &ensemble.Result{Landings: make([]ensemble.Landing, members), Law: small.Law}
	for i := range r.Landings {
		r.Landings[i] = small.Landings[i%len(small.Landings)]
		r.Landings[i].Lat += 1e-7 * float64(i/len(small.Landings))
	}
	return r
}

// What a run keeps of a member, and what its answer takes up on the way, must
// not grow faster than the number of members.
func TestMemoryPerMember(t *testing.T) {
	q := demoRequest(t, 500)
	fly := func(members int) float64 {
		q.Members = members
		before := held()
		r, err := ensemble.Run(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		after := held()
		runtime.KeepAlive(r)
		return after - before
	}
	kept := (fly(2500) - fly(500)) / 2000
	q.Members = 500
	small, err := ensemble.Run(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	nominal, _ := ensemble.Nominal(q)
	answer := func(members int) (taken, left float64) {
		r := tiled(small, members)
		before, from := held(), allocated()
		a, err := r.Answer(&q, nominal)
		if err != nil {
			t.Fatal(err)
		}
		taken, left = allocated()-from, held()-before
		runtime.KeepAlive(r)
		runtime.KeepAlive(a)
		return taken, left
	}
	answer(1000) // what is allocated once and for all
	smallTaken, smallLeft := answer(10000)
	largeTaken, largeLeft := answer(100000)
	runtime.KeepAlive(q.Sky) // or it would be cleared away before the last count
	taken, left := (largeTaken-smallTaken)/90000, (largeLeft-smallLeft)/90000
	t.Logf("a member keeps %.0f bytes (a landing has %d); its answer asks for %.0f bytes on the way and keeps %.1f", kept, unsafe.Sizeof(ensemble.Landing{}), taken, left)
	// 100 bytes a landing are the aim; the answer's shapes may get a little finer.
	if kept > 100 || left > 1 {
		t.Errorf("a member keeps %.0f bytes and its answer %.1f, want at most 100 and 1", kept, left)
	}
	// Five figures are sorted (8 bytes each), landings and bursts copied (16), weighed,
	// laid flat and ordered (56), and ranked by density in some ten lattices (100 in
	// all); never more than about half of that is alive at once.
	if taken > 400 {
		t.Errorf("the answer asks for %.0f bytes a member on the way", taken)
	}
}
