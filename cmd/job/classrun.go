package job

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"runtime"
	"slices"
	"sync"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/class"
	"endpin/piece/words"
)

// classRun is a class being heard.
type classRun struct {
	Class
	files   []string
	seats   []class.Seat
	asked   []class.Question // whose files are not heard
	leftOut []class.LeftOut
	title   string

	mutex  sync.Mutex
	shares []float64 // of each file that were heard
	now    []int     // the files that are being heard
	done   int
	played map[string]Played
	keys   []string // names of what is kept of this run
}

// all hears some files, each core one at a time.
func (r *classRun) all(ctx context.Context, order []int) {
	next := make(chan int)
	var cores sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(order)) {
		cores.Add(1)
		go func() {
			defer cores.Done()
			for i := range next {
				r.finish(ctx, i)
			}
		}()
	}
	for _, i := range order {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	cores.Wait()
}

// sheet gathers what was heard so far.
func (r *classRun) sheet() *class.Sheet {
	var results []class.Result
	for _, p := range r.played {
		results = append(results, p.Result)
	}
	s := class.Gather(r.Piece, r.title, r.seats, results, r.leftOut)
	s.Questions = r.asked
	return s
}

// begins, goesOn and ends are what is told of file i: whether it was heard before
// and its sound taken away; how much of it was heard; and what came of it, nil
// where it was broken off.
func (r *classRun) begins(i int) (muted bool) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.now = append(r.now, i)
	r.tell("", nil)
	return r.played[r.files[i]].silenced
}

func (r *classRun) goesOn(i int, share float64) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if share >= 0 {
		r.shares[i] = share
		r.tell("", nil)
	}
}

func (r *classRun) ends(i int, p *Played) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.now = slices.DeleteFunc(r.now, func(k int) bool { return k == i })
	if p == nil {
		return
	}
	if r.shares[i] = 1; !r.heard(i) {
		r.done++
	}
	r.played[r.files[i]] = *p
	if r.Told != nil {
		r.tell(r.files[i], r.sheet())
	}
}

func (r *classRun) heard(i int) bool { _, ok := r.played[r.files[i]]; return ok }

// tell tells how far all is; whoever calls it holds the mutex.
func (r *classRun) tell(file string, sheet *class.Sheet) {
	if r.Told == nil {
		return
	}
	p := ClassProgress{Done: r.done, Of: len(r.files), File: file, Sheet: sheet}
	for _, s := range r.shares {
		p.Heard += s / float64(len(r.shares))
	}
	for _, i := range r.now {
		p.Hearing = append(p.Hearing, r.files[i])
	}
	r.Told(p)
}

// finish hears file i, or takes what was kept of it, and files the result. A
// fault of our own in one file is that file's reason.
func (r *classRun) finish(ctx context.Context, i int) {
	file := r.files[i]
	if ctx.Err() != nil {
		return
	}
	muted := r.begins(i)
	var heard *Played
	defer func() { r.ends(i, heard) }()
	p := Played{Result: class.Result{File: file}}
	p.At, p.By = PlayedAt(filepath.Join(r.Folder, file))
	where, kept := "", false
	func() {
		defer func() {
			if fault := recover(); fault != nil {
				p.Hearing, p.Moments = nil, nil
				p.Reason = words.Say("job.class.own-fault", "fault", fault)
			}
		}()
		if r.Keep != "" {
			if key, err := r.key(file); err == nil {
				where = filepath.Join(r.Keep, key+".json")
				r.mutex.Lock()
				r.keys = append(r.keys, key+".json")
				r.mutex.Unlock()
			}
		}
		if !r.Afresh && where != "" && !muted {
			if kept = fetch(where, &p); kept {
				return
			}
		}
		r.hear(ctx, i, file, &p)
	}()
	whole := p.Hearing != nil || p.listened
	if ctx.Err() != nil && !whole && !kept {
		return // broken off, not heard
	}
	if where != "" && !kept && whole { // a file that could not be opened may open next time
		// A result that cannot be kept is only heard again next time.
		_ = p.keep(where)
	}
	heard = &p
}

func (r *classRun) hear(ctx context.Context, i int, file string, p *Played) {
	path := filepath.Join(r.Folder, file)
	rec, err := OpenTake(path)
	if err != nil {
		p.Reason, _ = words.Reason(err, path)
		return
	}
	defer rec.Close()
	var tape *keepsake
	listen := func(src dsp.Source, c dsp.Config) (*dsp.Heard, error) {
		if r.NoSound {
			return dsp.Listen(src, c)
		}
		tape = keep(src)
		return dsp.Listen(tape, c)
	}
	h, _, err := hearWith(ctx, r.Piece, r.PieceFile, rec, r.Options, listen, func(share float64) { r.goesOn(i, share) })
	if nothing := (NotHeard{}); errors.As(err, &nothing) {
		nothing.Piece = r.title
		p.Reason, p.listened = nothing.Why(ForClass).String(), true
		return
	}
	if err != nil {
		p.Reason, _ = words.Reason(err, path)
		return
	}
	p.Hearing, p.Doubt = h, doubtful(rec)
	if tape == nil {
		return
	}
	for _, f := range class.MayBeWorthFixing(h) {
		at := h.Findings[f].At
		if !class.Shows(&h.Findings[f]) {
			continue
		}
		var b bytes.Buffer
		sound := tape.between(at-momentLead, at-momentLead+momentLong)
		if sound == nil || recording.WriteWAV(&b, keptRate, sound) != nil {
			continue
		}
		p.Moments = append(p.Moments, Moment{f, b.Bytes()})
	}
}

// A moment begins a little before what it shows: the ear wants the note before.
const (
	momentLead = 0.6 // s
	momentLong = 2.0
)
