package job

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
)

// Class is a folder of recordings to be heard against one piece.
type Class struct {
	Piece     *piece.Piece
	PieceFile string
	Folder    string
	Roster    []class.Entry // nil for none
	NotThese  []string      // files that may lie in the folder and are no recordings: the roster
	Options   finding.Options

	// Keep is a folder that keeps what was heard of each file, so that a second run
	// picks up where the first ended; "" keeps nothing. Afresh hears all again.
	Keep    string
	Afresh  bool
	NoSound bool // keep none of the children's sound

	// Told is called as files are heard, from one goroutine at a time; nil for none.
	Told func(ClassProgress)
}

// ClassProgress is how far a class has been heard.
type ClassProgress struct {
	Done, Of int
	Heard    float64 // share of all sound, 0 to 1, about
	File     string  // the file that was just finished; "" while none was
	Result   *class.Result
}

// Moment is a stretch of a student's own sound, to be played on the page.
type Moment struct {
	Finding int    `json:"finding"` // index into the hearing's findings
	WAV     []byte `json:"wav"`     // mono, 16-bit, 8000 samples a second
}

// Played is what was heard of one file, with the moments that show it.
type Played struct {
	class.Result
	Moments []Moment

	listened bool // to the end, whether or not the piece was heard
}

// HearClass hears every recording of a folder, on all cores, and gathers the
// sheet. One file that cannot be heard never stops the others. Where the context
// ends first, the sheet holds what was heard so far and the error is the
// context's.
func HearClass(ctx context.Context, c Class) (*class.Sheet, map[string]Played, error) {
	files, leftOut, err := inFolder(c.Folder, append([]string{c.PieceFile}, c.NotThese...))
	if err != nil {
		return nil, nil, err
	}
	r := &classRun{Class: c, shares: make([]float64, len(files)), played: map[string]Played{}}
	if c.Keep != "" {
		if err := os.MkdirAll(c.Keep, 0o700); err != nil {
			return nil, nil, fmt.Errorf("%s: cannot be made: %w", c.Keep, Cause(err))
		}
	}
	// The largest first, so that no core is left with one long file at the end.
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(files[b].size>>10) - int(files[a].size>>10) })
	next := make(chan int)
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), max(1, len(files))) {
		all.Add(1)
		go func() {
			defer all.Done()
			for i := range next {
				r.finish(ctx, i, files[i].name)
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
	all.Wait()

	names := make([]string, len(files))
	for i := range files {
		names[i] = files[i].name
	}
	var results []class.Result
	for _, p := range r.played {
		results = append(results, p.Result)
	}
	title := c.Piece.Title
	if title == "" {
		title = filepath.Base(c.PieceFile)
	}
	sheet := class.Gather(c.Piece, title, class.Seats(names, c.Roster, title), results, leftOut)
	r.forgetUnshown(sheet)
	return sheet, r.played, ctx.Err()
}

type entry struct {
	name string
	size int64
}

// inFolder parts a folder's recordings from what is none. Folders in it are not
// entered.
func inFolder(folder string, known []string) (files []entry, leftOut []class.LeftOut, err error) {
	all, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", folder, Cause(err))
	}
	for _, e := range all {
		name := e.Name()
		info, err := os.Stat(filepath.Join(folder, name))
		same := func(path string) bool {
			other, err := os.Stat(path)
			return err == nil && info != nil && os.SameFile(info, other)
		}
		switch {
		case len(known) > 0 && same(known[0]):
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: "the piece"})
		case slices.ContainsFunc(known, same):
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: "the roster"})
		case strings.HasPrefix(name, "."):
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: "a hidden file"})
		case err != nil:
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: Cause(err).Error()})
		case info.IsDir():
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: "a folder, which was not looked into: move its recordings up"})
		case !info.Mode().IsRegular():
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: "not a plain file"})
		case class.IsMedia(name) || soundsLike(filepath.Join(folder, name)):
			files = append(files, entry{name, info.Size()})
		default:
			leftOut = append(leftOut, class.LeftOut{File: name, Reason: "not a recording"})
		}
	}
	return files, leftOut, nil
}

// soundsLike looks into a file whose name does not tell that it is a recording.
func soundsLike(path string) bool {
	r, err := recording.Open(path)
	if err != nil {
		return false
	}
	defer r.Close()
	buf := make([]float32, 4096)
	_, err = r.Read(buf)
	return err == nil
}

// classRun is a class being heard.
type classRun struct {
	Class
	mutex  sync.Mutex
	shares []float64
	done   int
	played map[string]Played
}

func (r *classRun) tell(i int, share float64, file string, p *class.Result) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if share >= 0 {
		r.shares[i] = share
	}
	if p != nil {
		r.done++
	}
	if r.Told == nil {
		return
	}
	sum := 0.0
	for _, s := range r.shares {
		sum += s
	}
	r.Told(ClassProgress{Done: r.done, Of: len(r.shares), Heard: sum / float64(len(r.shares)), File: file, Result: p})
}

// finish hears one file, or takes what was kept of it, and files the result. A
// fault of our own in one file is that file's reason.
func (r *classRun) finish(ctx context.Context, i int, file string) {
	if ctx.Err() != nil {
		return
	}
	p := Played{Result: class.Result{File: file}}
	where, kept := "", false
	func() {
		defer func() {
			if fault := recover(); fault != nil {
				p.Hearing, p.Moments = nil, nil
				p.Reason = fmt.Sprintf("a fault of Endpin's own, not of this file: %v; please report it with the recording", fault)
			}
		}()
		if r.Keep != "" {
			if key, err := r.key(file); err == nil {
				where = filepath.Join(r.Keep, key+".json")
			}
		}
		if !r.Afresh && where != "" {
			if kept = fetch(where, &p); kept {
				return
			}
		}
		r.hear(ctx, i, file, &p)
	}()
	if ctx.Err() != nil && !kept {
		return // broken off, not heard
	}
	if where != "" && !kept && (p.Hearing != nil || p.listened) { // a file that could not be opened may open next time
		// A result that cannot be kept is only heard again next time.
		_ = WriteFile(where, func(w io.Writer) error { return json.NewEncoder(w).Encode(keptPlayed{p.Hearing, p.Reason, p.Moments}) })
	}
	r.mutex.Lock()
	r.played[file] = p
	r.mutex.Unlock()
	r.tell(i, 1, file, &p.Result)
}

func (r *classRun) hear(ctx context.Context, i int, file string, p *Played) {
	path := filepath.Join(r.Folder, file)
	say := func(err error) { p.Reason = strings.TrimPrefix(err.Error(), path+": ") }
	rec, err := recording.Open(path)
	if err != nil {
		say(err)
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
	h, _, err := hearWith(ctx, r.Piece, r.PieceFile, rec, r.Options, listen, func(share float64) { r.tell(i, share, "", nil) })
	if nothing := (NotHeard{}); errors.As(err, &nothing) {
		p.Reason, p.listened = nothing.Why, true
		return
	}
	if err != nil {
		say(err)
		return
	}
	p.Hearing = h
	if tape == nil {
		return
	}
	for _, f := range class.WorthFixing(h) {
		at := h.Findings[f].At
		if class.Whole(&h.Findings[f]) && h.Findings[f].Kind != finding.Tuning && !isHand(h.Findings[f].Kind) {
			continue // two seconds do not show a tempo
		}
		var b bytes.Buffer
		sound := tape.stretch(at-momentLead, at-momentLead+momentLong)
		if sound == nil || recording.WriteWAV(&b, keptRate, sound) != nil {
			continue
		}
		p.Moments = append(p.Moments, Moment{f, b.Bytes()})
	}
}

func isHand(k finding.Kind) bool { return k == finding.NarrowHand || k == finding.WideHand }

// A moment begins a little before what it shows: the ear wants the note before.
const (
	momentLead = 0.6 // s
	momentLong = 2.0
)

// keptPlayed is what is kept of a file that was heard.
type keptPlayed struct {
	Hearing *finding.Hearing
	Reason  string
	Moments []Moment
}

// key tells a file's content, the piece, and how both were heard apart from all others.
func (r *classRun) key(file string) (string, error) {
	f, err := os.Open(filepath.Join(r.Folder, file))
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	o := r.Options
	instrument := ""
	if o.Instrument != nil {
		instrument = o.Instrument.Chart()
	}
	o.Instrument = nil
	if err := json.NewEncoder(h).Encode([]any{finding.Listening, keptVersion, file, r.Piece, o.Measures, o.QPM, o.A4, o.Level, o.Intonation.Name, o.Positions, instrument, r.NoSound}); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)[:16]), nil
}

// keptVersion goes up when what is kept of a file changes.
const keptVersion = 1

func fetch(path string, p *Played) bool {
	data, err := os.ReadFile(path)
	if err != nil {
		return false
	}
	var k keptPlayed
	if json.Unmarshal(data, &k) != nil || k.Hearing == nil && k.Reason == "" {
		return false
	}
	p.Hearing, p.Reason, p.Moments = k.Hearing, k.Reason, k.Moments
	return true
}

// forgetUnshown takes the sound of takes that no page shows away from what is
// kept: they are heard again should they come to count.
func (r *classRun) forgetUnshown(s *class.Sheet) {
	for i := range s.Students {
		for _, t := range s.Students[i].Takes {
			p, ok := r.played[t.Recording]
			if !ok || t.Chosen || len(p.Moments) == 0 {
				continue
			}
			p.Moments = nil
			r.played[t.Recording] = p
			if r.Keep == "" {
				continue
			}
			if key, err := r.key(t.Recording); err == nil {
				_ = os.Remove(filepath.Join(r.Keep, key+".json"))
			}
		}
	}
}
