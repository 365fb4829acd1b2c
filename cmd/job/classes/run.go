package classes

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"endpin/cmd/job"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// classRun is a class being heard.
type classRun struct {
	Class
	files   []string
	seats   []class.Seat
	asked   []class.Question // whose files are not heard
	leftOut []class.LeftOut

	mutex  sync.Mutex
	shares []float64 // of each file that were heard
	now    []int     // the files that are being heard
	done   int
	played map[string]Played
	keys   []string // names of what is kept of this run
	once   sync.Once
	pieces string // see content
}

// all hears some files, each core one at a time. While they are heard the next are opened, a few
// small ones together: so ffmpeg starts once for them, and decodes while others are heard.
func (r *classRun) all(ctx context.Context, order []int) {
	next := make(chan *ready)
	var cores sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(order)) {
		cores.Add(1)
		go func() {
			defer cores.Done()
			for x := range next {
				r.finish(ctx, x)
			}
		}()
	}
	var few []*ready
	most, size := 1, int64(0) // the first alone, so that nobody waits for others
	hand := func() {
		r.open(few)
		for _, x := range few {
			next <- x
		}
		few, most, size = nil, mostTogether, 0
	}
	for _, i := range order {
		if ctx.Err() != nil {
			break
		}
		x := r.begin(i)
		if len(few) == most || size+x.size > largestTogether {
			hand()
		}
		few, size = append(few, x), size+x.size
	}
	hand()
	close(next)
	cores.Wait()
}

// How many files are opened together, and of how many bytes: what ffmpeg decodes is held until it
// is heard, some twenty times as much.
const (
	mostTogether    = 4
	largestTogether = 2 << 20
)

// ready is a file that is to be heard, or was before.
type ready struct {
	i     int
	p     Played
	path  string
	size  int64                // bytes; 0 for one that was heard before
	where string               // what was heard of it is kept; "" for nowhere
	kept  bool                 // it is
	rec   *recording.Recording // nil where it need not, or cannot, be heard
}

// begin looks at file i, and takes what was kept of it.
func (r *classRun) begin(i int) *ready {
	file := r.files[i]
	path := filepath.Join(r.Folder, file)
	x := &ready{i: i, path: path, p: Played{Result: class.Result{File: file}, Of: -1}}
	x.p.At, x.p.By = job.PlayedAt(path)
	if r.Keep != "" {
		if key, err := r.key(file); err == nil {
			x.where = filepath.Join(r.Keep, key+".json")
			r.mutex.Lock()
			r.keys = append(r.keys, key+".json")
			r.mutex.Unlock()
		}
	}
	r.mutex.Lock()
	muted := r.played[file].silenced
	r.mutex.Unlock()
	if !r.Afresh && x.where != "" && !muted {
		if x.kept = fetch(x.where, &x.p); x.kept {
			return x
		}
	}
	if info, err := os.Stat(path); err == nil {
		x.size = info.Size()
	}
	return x
}

// open opens those of some files that have to be heard.
func (r *classRun) open(few []*ready) {
	few = slices.DeleteFunc(slices.Clone(few), func(x *ready) bool { return x.kept })
	defer func() {
		if fault := recover(); fault != nil {
			for _, x := range few {
				x.p.Reason = words.Say("job.class.own-fault", "fault", fault)
			}
		}
	}()
	var paths []string
	for _, x := range few {
		paths = append(paths, x.path)
	}
	recs, errs := job.OpenTakes(paths)
	for k, x := range few {
		if x.rec = recs[k]; errs[k] != nil {
			x.p.Reason, _ = words.Reason(errs[k], x.path)
		}
	}
}

// sheets gathers what was heard so far, a sheet a piece: of several pieces, what was heard in none
// of them is in the sheet of the one that its name names.
func (r *classRun) sheets() (all []*class.Sheet) {
	for k := range r.Pieces {
		all = append(all, r.sheet(k))
	}
	class.Elsewhere(all, r.unplaced())
	return all
}

func (r *classRun) sheet(k int) *class.Sheet {
	var results []class.Result
	belongs := map[string]bool{}
	for _, f := range r.files {
		played, heard := r.played[f]
		if belongs[f] = len(r.Pieces) == 1 || heard && r.of(&played) == k; belongs[f] && heard {
			results = append(results, played.Result)
		}
	}
	seats := slices.Clone(r.seats)
	for i := range seats {
		seats[i].Files = slices.DeleteFunc(slices.Clone(seats[i].Files), func(f string) bool { return !belongs[f] })
	}
	s := class.Gather(r.Pieces[k].Piece, r.Titles()[k], seats, results, r.leftOut)
	s.Ask(r.asked)
	return s
}

// of is the piece that a recording belongs to: that which was heard in it, else the one of
// which its name holds the title; -1 for none.
func (r *classRun) of(p *Played) int {
	if p.Of >= 0 {
		return p.Of
	}
	return r.named(p.File)
}

// named is the piece whose title, or file's name, stands in a recording's name; -1 for none.
func (r *classRun) named(file string) int {
	for k, p := range r.Pieces {
		if class.Names(file, p.Title()) || class.Names(file, strings.TrimSuffix(filepath.Base(p.File), filepath.Ext(p.File))) {
			return k
		}
	}
	return -1
}

// unplaced are the recordings that belong to none of several pieces.
func (r *classRun) unplaced() (all []class.Unplaced) {
	if len(r.Pieces) == 1 {
		return nil
	}
	for _, seat := range r.seats {
		for _, f := range seat.Files {
			switch p, heard := r.played[f]; {
			case !heard:
				all = append(all, class.Unplaced{Student: seat.Name, Recording: f, Reason: words.Say("class.not-yet"), NotYet: true})
			case r.of(&p) < 0:
				all = append(all, class.Unplaced{Student: seat.Name, Recording: f, Reason: p.Reason})
			}
		}
	}
	return all
}

// sofar is all that was heard so far, without its weeks.
func (r *classRun) sofar() *class.Term {
	return &class.Term{Sheets: r.sheets(), Questions: r.asked, Unplaced: r.unplaced(), LeftOut: r.leftOut}
}

// begins, goesOn and ends are what is told of file i: how much of it was heard, and what
// came of it, nil where it was broken off.
func (r *classRun) begins(i int) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.now = append(r.now, i)
	r.tell("", nil)
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
		r.tell(r.files[i], r.sofar())
	}
}

func (r *classRun) heard(i int) bool { _, ok := r.played[r.files[i]]; return ok }

// tell tells how far all is; whoever calls it holds the mutex.
func (r *classRun) tell(file string, so *class.Term) {
	if r.Told == nil {
		return
	}
	p := Progress{Done: r.done, Of: len(r.files), File: file, So: so}
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
func (r *classRun) finish(ctx context.Context, x *ready) {
	if x.rec != nil {
		defer x.rec.Close()
	}
	if ctx.Err() != nil {
		return
	}
	r.begins(x.i)
	var heard *Played
	defer func() { r.ends(x.i, heard) }()
	p := &x.p
	func() {
		defer func() {
			if fault := recover(); fault != nil {
				p.Hearing, p.Moments, p.Of = nil, nil, -1
				p.Reason = words.Say("job.class.own-fault", "fault", fault)
			}
		}()
		if x.rec != nil {
			r.hear(ctx, x.i, x.rec, p)
		}
	}()
	whole := p.Hearing != nil || p.listened
	if ctx.Err() != nil && !whole && !x.kept {
		return // broken off, not heard
	}
	if x.where != "" && !x.kept && whole { // a file that could not be opened may open next time
		// A result that cannot be kept is only heard again next time.
		_ = p.keep(x.where)
	}
	heard = p
}

func (r *classRun) hear(ctx context.Context, i int, rec *recording.Recording, p *Played) {
	path := filepath.Join(r.Folder, p.File)
	var tape *keepsake
	listen := func(src dsp.Source, c dsp.Config) (*dsp.Heard, error) {
		if r.NoSound {
			return dsp.Listen(src, c)
		}
		tape = keep(src)
		return dsp.Listen(tape, c)
	}
	sound, err := job.Whole(ctx, rec, job.Listening(r.Options.Instrument), listen, func(share float64) { r.goesOn(i, share) })
	if err != nil {
		p.Reason, _ = words.Reason(err, path)
		return
	}
	h, err := r.judge(rec, p.File, sound, p)
	if nothing := (job.NotHeard{}); errors.As(err, &nothing) {
		p.Reason, p.listened = nothing.Why(job.ForClass).String(), true
		return
	}
	if err != nil {
		p.Reason, _ = words.Reason(err, path)
		return
	}
	p.Hearing, p.Doubt, p.told = h, job.Doubtful(rec).String(), map[string]told{}
	for _, tag := range words.Languages() {
		w, _ := words.Best(tag)
		p.told[tag] = told{h.Told(w), job.Doubtful(rec).In(w)}
	}
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
		if !playingAlone(sound, max(0, at-momentLead), h) || recording.WriteWAV(&b, keptRate, sound) != nil {
			continue
		}
		p.Moments = append(p.Moments, Moment{f, b.Bytes()})
	}
}

// ring is how long a note is left to sound on after its end, s: a plucked one, or the room.
const ring = 0.4

// playingAlone silences what of a moment was not playing, so that no page holds talk: all but
// the notes heard, each a little before it begins and until it has rung. from is where it begins,
// s. It reports whether anything sounds.
func playingAlone(sound []float32, from float64, h *finding.Hearing) (sounds bool) {
	const fade = keptRate / 50
	gain := 0
	last := -1.0 // until when a note sounds
	next := 0
	notes := certain(h)
	for i := range sound {
		at := from + float64(i)/keptRate
		for next < len(notes) && notes[next].on-0.05 <= at {
			last = max(last, notes[next].off+ring)
			next++
		}
		if at <= last {
			gain = min(fade, gain+1)
		} else {
			gain = max(0, gain-1)
		}
		sound[i] *= float32(gain) / fade
		sounds = sounds || gain > 0
	}
	return sounds
}

// span is from when to when a note sounds, s.
type span struct{ on, off float64 }

// certain are the notes that are playing for certain: those of the page whose pitch was measured,
// and those beside them. One without, far from all others, may be a word.
func certain(h *finding.Hearing) (notes []span) {
	var near []bool // pitched ones, then all that hang together with one
	for _, n := range slices.SortedFunc(slices.Values(h.Notes), func(a, b finding.Note) int { return cmp.Compare(onset(a), onset(b)) }) {
		if n.Onset == nil || n.State == finding.StateExtra {
			continue
		}
		s := span{*n.Onset, *n.Onset}
		if n.Offset != nil {
			s.off = *n.Offset
		}
		notes, near = append(notes, s), append(near, n.Cents != nil)
	}
	for i := 1; i < len(notes); i++ {
		near[i] = near[i] || near[i-1] && notes[i].on-notes[i-1].off <= ring
	}
	for i := len(notes) - 2; i >= 0; i-- {
		near[i] = near[i] || near[i+1] && notes[i+1].on-notes[i].off <= ring
	}
	var kept []span
	for i, s := range notes {
		if near[i] {
			kept = append(kept, s)
		}
	}
	return kept
}

func onset(n finding.Note) float64 {
	if n.Onset == nil {
		return 0
	}
	return *n.Onset
}

// A moment begins a little before what it shows: the ear wants the note before.
const (
	momentLead = 0.6 // s
	momentLong = 2.0
)

// judge finds the piece that was played and judges the take as one of it. Where two of several
// pieces explain it as well and its name names neither, the error says so.
func (r *classRun) judge(rec *recording.Recording, file string, sound *dsp.Heard, p *Played) (best *finding.Hearing, err error) {
	most, next, second := -1.0, -1.0, -1
	named := r.named(file)
	titles := r.Titles()
	for k, piece := range r.Pieces {
		h, e := job.Judged(piece.Piece, piece.File, rec, sound, r.Options)
		if e != nil {
			if nothing := (job.NotHeard{}); err == nil || !errors.As(e, &nothing) {
				err = e
			}
			continue
		}
		fits := class.Explains(h)
		if k == named {
			fits += alikeFits
		}
		if fits > most {
			best, p.Of, most, next, second = h, k, fits, most, p.Of
		} else if fits > next {
			next, second = fits, k
		}
	}
	switch nothing := (job.NotHeard{}); {
	case best != nil && second >= 0 && most-next < alikeFits:
		both := words.Row(titles[p.Of], titles[second])
		p.Of, p.listened = -1, true
		return nil, words.Fault("job.class.either", "pieces", both)
	case best != nil:
		return best, nil
	case errors.As(err, &nothing):
		nothing.Piece = words.Row(titles...).String()
		return nil, nothing
	}
	return nil, err
}

// alikeFits is by how much of a take one piece has to explain more than another, where the name does
// not say which it is (share of its notes; of tunes in one key by chance a quarter).
const alikeFits = 0.1
