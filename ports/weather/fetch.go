package weather

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"pappus/air/grib2"
)

// together runs work in a few lanes. After the first error no more is begun,
// and what is under way is cut off; the error that began it is answered.
func together(ctx context.Context, lanes, count int, work func(ctx context.Context, i int) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(lanes, count) {
		wait.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= count {
					return
				}
				if err := work(ctx, i); err != nil {
					cancel(err)
				}
			}
		})
	}
	wait.Wait()
	return context.Cause(ctx)
}

// byRanges fetches whole messages piece by piece, and makes each file once its
// last piece is there.
func (g *getter) byRanges(ctx context.Context) error {
	type task struct {
		sheet *sheet
		of    *remote
		piece int
	}
	var tasks []task
	left := map[*sheet]*atomic.Int64{}
	for _, s := range g.sheets {
		if s.kept || s.staged {
			continue
		}
		left[s] = new(atomic.Int64)
		for i, r := range s.remotes {
			if err := g.sameIndex(s, i); err != nil {
				return err
			}
			for n := range r.pieces {
				tasks = append(tasks, task{s, r, n})
				left[s].Add(1)
				g.meter.expect(r.pieces[n].octets(), g.partial(s, r, n))
			}
		}
	}
	g.meter.begin(g, len(left))
	return together(ctx, g.client.Settings.Connections, len(tasks), func(ctx context.Context, i int) error {
		t := tasks[i]
		if err := g.bringPiece(ctx, t.sheet, t.of, t.piece); err != nil {
			return err
		}
		if left[t.sheet].Add(-1) > 0 {
			return nil
		}
		return g.assemble(t.sheet)
	})
}

// piecePath names a piece by what it is, so that the next run finds it.
func (g *getter) piecePath(s *sheet, r *remote, n int) string {
	p := r.pieces[n]
	name := fmt.Sprintf("%s.%d.%d-%d.piece", strings.TrimSuffix(s.String(), ".grib2"), slices.Index(s.remotes, r), p.From, p.To)
	return filepath.Join(g.folder, name)
}

func (g *getter) partial(s *sheet, r *remote, n int) int64 {
	info, err := os.Stat(g.piecePath(s, r, n))
	if err != nil {
		return 0 // nothing there, or nothing that helps
	}
	return min(info.Size(), r.pieces[n].octets())
}

// sameIndex forgets the pieces of an earlier run when the archive's index has
// changed since: they are of another file.
func (g *getter) sameIndex(s *sheet, i int) error {
	stem := fmt.Sprintf("%s.%d.", strings.TrimSuffix(s.String(), ".grib2"), i)
	path := filepath.Join(g.folder, stem+"idx")
	old, err := os.ReadFile(path)
	if err == nil && bytes.Equal(old, s.remotes[i].text) {
		return nil
	}
	pieces, err := filepath.Glob(filepath.Join(globEscape(g.folder), stem+"*.piece"))
	if err != nil {
		return diskError(g.folder, err)
	}
	for _, piece := range pieces {
		if err := os.Remove(piece); err != nil {
			return diskError(piece, err)
		}
	}
	return writeWhole(path, s.remotes[i].text)
}

// globEscape keeps letters of a folder's name from being taken for a pattern.
func globEscape(text string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(text)
}

// bringPiece fetches a piece and checks it. A piece that is not what the index
// says is fetched once more from its beginning: the part of an earlier run may
// be to blame.
func (g *getter) bringPiece(ctx context.Context, s *sheet, r *remote, n int) error {
	path := g.piecePath(s, r, n)
	p := r.pieces[n]
	for try := 1; ; try++ {
		if err := g.client.piece(ctx, r.address, span{p.From, p.To}, path, g.meter.add); err != nil {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return diskError(path, err)
		}
		if _, err = p.check(data, target{r.address, s.Step, s.Member}); err == nil {
			return nil
		}
		g.meter.add(-int64(len(data)))
		if gone := os.Remove(path); gone != nil {
			return diskError(path, gone)
		}
		var web *PageError
		if try == 2 || errors.As(err, &web) {
			return err
		}
	}
}

// assemble cuts the messages of a sheet's pieces to the area and writes the file.
func (g *getter) assemble(s *sheet) error {
	var out []byte
	left := maps.Clone(s.wish)
	for _, r := range s.remotes {
		for n, p := range r.pieces {
			path := g.piecePath(s, r, n)
			data, err := os.ReadFile(path)
			if err != nil {
				return diskError(path, err)
			}
			t := target{r.address, s.Step, s.Member}
			fields, err := p.check(data, t)
			if err != nil {
				return err
			}
			if out, err = g.cut(out, data, fields, left, t); err != nil {
				return err
			}
		}
	}
	return g.stage(s, out, left)
}

// cut appends the wanted fields, cut to the window, and crosses them off.
func (g *getter) cut(out, data []byte, fields []grib2.Field, left wish, t target) ([]byte, error) {
	for i := range fields {
		f := &fields[i]
		m, ok := fieldMark(f)
		if !ok || !left[m] {
			continue
		}
		part, err := g.window.part(f.Grid)
		if err != nil {
			return nil, &DamageError{t.address, fmt.Sprintf("%s at %s: %v", f.Parameter(), f.Level(), err)}
		}
		message, err := grib2.Crop(data, f, part)
		if err != nil {
			return nil, &DamageError{t.address, fmt.Sprintf("%s at %s: %v", f.Parameter(), f.Level(), err)}
		}
		delete(left, m)
		out = append(out, message...)
	}
	return out, nil
}

// stage writes a whole file beside its place; nothing of it may be missing.
func (g *getter) stage(s *sheet, out []byte, left wish) error {
	if len(left) > 0 {
		var names []string
		for m := range left {
			names = append(names, m.text())
		}
		slices.Sort(names)
		return &DamageError{s.remotes[0].address, fmt.Sprintf("%d of %d fields did not come: %s", len(left), len(s.wish), strings.Join(names[:min(3, len(names))], ", "))}
	}
	if err := writeWhole(filepath.Join(g.folder, s.String()), out); err != nil {
		return err
	}
	s.staged = true
	g.meter.file()
	return nil
}

func (m mark) text() string {
	if m.kind == atPressure {
		return fmt.Sprintf("%s at %g hPa", m.variable, float64(m.pressure)/1000/100)
	}
	return m.variable + " near the ground"
}

// mostRegion bounds the answer of a service that cuts out areas.
const mostRegion = 512 << 20

// byRegion lets a service cut out the area, one request for each file of the
// archive.
func (g *getter) byRegion(ctx context.Context) error {
	var todo []*sheet
	for _, s := range g.sheets {
		if !s.kept && !s.staged {
			todo = append(todo, s)
		}
	}
	g.meter.begin(g, len(todo))
	return together(ctx, g.client.Settings.Connections, len(todo), func(ctx context.Context, i int) error {
		s := todo[i]
		left := maps.Clone(s.wish)
		var out []byte
		for _, r := range s.remotes {
			if len(r.wanted) == 0 {
				continue
			}
			var err error
			if out, err = g.regionFile(ctx, s, r, out, left); err != nil {
				return err
			}
		}
		return g.stage(s, out, left)
	})
}

// regionFile asks for the area of one file of the archive and checks what came:
// every field is held against the cycle, step and member asked for.
func (g *getter) regionFile(ctx context.Context, s *sheet, r *remote, out []byte, left wish) ([]byte, error) {
	address := g.regionAddress(s, r)
	data, err := g.client.text(ctx, address, mostRegion)
	if err != nil {
		return nil, err
	}
	g.meter.add(int64(len(data)))
	if !bytes.HasPrefix(data, []byte("GRIB")) {
		return nil, &DamageError{address, "what came is no forecast file"}
	}
	fields, faults := grib2.Scan(data)
	if len(faults) > 0 {
		return nil, &DamageError{address, faults[0].Error()}
	}
	for i := range fields {
		f := &fields[i]
		if _, known := fieldMark(f); !known {
			continue
		}
		if !f.Reference.Equal(s.Cycle) || f.Product.ForecastSeconds != s.Step || s.Member >= 0 && f.Product.Member != s.Member {
			return nil, &DamageError{address, fmt.Sprintf("%s at %s is of another cycle, step or member than was asked for", f.Parameter(), f.Level())}
		}
	}
	return g.cut(out, data, fields, left, target{address, s.Step, s.Member})
}

// regionAddress names the wanted variables and levels the way the public
// service expects: var_UGRD=on, lev_500_mb=on (from memory).
func (g *getter) regionAddress(s *sheet, r *remote) string {
	set := map[string]bool{}
	for _, m := range r.wanted {
		for _, line := range m.Fields {
			if k, _, ok := line.mark(s.Step); ok && s.wish[k] {
				set["var_"+line.Variable+"=on"] = true
				set["lev_"+strings.ReplaceAll(line.Level, " ", "_")+"=on"] = true
			}
		}
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	w := g.window
	return g.job.Source.address(r.region, g.cycle, int(s.Step/3600), s.Member,
		"{fields}", strings.Join(slices.Sorted(maps.Keys(set)), "&"),
		"{north}", number(w.NorthDeg), "{south}", number(w.SouthDeg), "{west}", number(w.WestDeg), "{east}", number(w.EastDeg))
}

// meter counts what has come and guesses how long the rest takes.
type meter struct {
	lock          sync.Mutex
	tell          func(Progress)
	now           func() time.Time
	start         time.Time
	progress      Progress
	before, fresh int64
}

func (m *meter) expect(whole, partial int64) {
	m.progress.WholeOctets += whole
	m.progress.Octets += partial
	m.before += partial
}

func (m *meter) begin(g *getter, files int) {
	m.lock.Lock()
	defer m.lock.Unlock()
	m.tell, m.now, m.start = g.job.Tell, g.client.Now, g.client.Now()
	m.progress.Files, m.progress.WholeFiles = 0, files
}

func (m *meter) file() {
	m.lock.Lock()
	defer m.lock.Unlock()
	m.progress.Files++
	m.say()
}

func (m *meter) add(n int64) {
	m.lock.Lock()
	defer m.lock.Unlock()
	m.progress.Octets += n
	m.fresh += max(n, 0)
	m.say()
}

func (m *meter) say() {
	if m.tell == nil {
		return
	}
	p := m.progress
	spent := m.now().Sub(m.start).Seconds()
	switch done := float64(p.Octets - m.before); {
	case p.WholeOctets > 0 && done > 0:
		p.Left = seconds(spent * float64(p.WholeOctets-p.Octets) / done)
	case p.WholeOctets == 0 && p.Files > 0:
		p.Left = seconds(spent * float64(p.WholeFiles-p.Files) / float64(p.Files))
	}
	m.tell(p)
}

// seconds is a stretch of time that no rounding makes negative or endless.
func seconds(s float64) time.Duration {
	const most = 1e7
	return time.Duration(math.Min(math.Max(s, 0), most) * float64(time.Second))
}

func (m *meter) brought() int64 {
	m.lock.Lock()
	defer m.lock.Unlock()
	return m.fresh
}
