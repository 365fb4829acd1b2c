package shelf

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"time"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Host is the desk that the shelf stands by. Its methods are called on the desk's
// goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Now() time.Time
	Score() *score.Score
	Player() playback.Player              // opens recordings
	Busy(deed string) bool                // something else goes on before the deed; it says so
	LookAway()                            // the take shown goes from the page
	Remember(t *Take, h *finding.Hearing) // a take goes into its player's diary
}

// Shelf holds the takes of the piece on the desk. It belongs to the desk's goroutine.
type Shelf struct {
	Takes  []*Take // the newest first
	CutOff *Take   // a take that the program was cut off in, to be offered; nil for none
	Shown  *Shown  // the take whose findings stand on the page; nil for none

	host   Host
	folder string
}

// Shown is a take with all that was heard in it.
type Shown struct {
	Take    *Take
	Hearing *finding.Hearing
	Heard   *dsp.Heard
	Beside  finding.ClickOffset // where the player stood beside the click
	Early   bool                // an answer that began before its turn: nothing else is told of it
}

// New reads what takes of the piece lie in a folder; "" for none, in which nothing is
// kept either.
func New(h Host, folder string) *Shelf {
	s := &Shelf{host: h, folder: folder}
	if folder != "" {
		s.Takes = ofPiece(h.Score(), Read(folder))
	}
	for _, t := range s.Takes {
		if !t.Complete && (t.Content != "" || same(t.Piece, h.Score().File)) {
			s.CutOff = t
			break
		}
	}
	return s
}

// say and fault say a sentence that is shown at once.
func (s *Shelf) say(sentence string)   { s.host.Say(sentence); s.host.Changed() }
func (s *Shelf) fault(sentence string) { s.host.Fault(sentence); s.host.Changed() }

// Known is the take that is known of a recording, with what was put aside in it; nil for none.
func (s *Shelf) Known(path string) *Take {
	for _, t := range s.Takes {
		if t.Sound == path {
			return t
		}
	}
	return nil
}

// Show puts a take that was judged on the page, into the list and on disk.
func (s *Shelf) Show(x *Shown) {
	s.Shown = x
	t, h := x.Take, x.Hearing
	t.Complete, t.Seconds, t.Heard = true, h.Duration, h.TempoHeard
	if x.Early {
		h.Findings, h.WorthFixing = nil, nil
		t.Found, t.Clean, t.Told = words.Say("desk.found.early"), nil, nil
	} else {
		t.Found = found(s.host.Score().Piece, h, t.Dismissed)
		t.went(s.host.Score().Piece, x.Agreed())
	}
	s.list(t)
	s.Note(t)
}

// list puts a take that was opened among the takes.
func (s *Shelf) list(t *Take) {
	for _, x := range s.Takes {
		if x == t {
			return
		}
	}
	if t.Elsewhere() && s.folder != "" && t.notes == "" {
		t.notes = s.newNotes(s.host.Now())
	}
	at := sort.Search(len(s.Takes), func(i int) bool { return s.Takes[i].Made.Before(t.Made) })
	s.Takes = append(s.Takes[:at:at], append([]*Take{t}, s.Takes[at:]...)...)
}

// newNotes is a path for the notes of a recording opened now, that nothing has yet.
func (s *Shelf) newNotes(now time.Time) string {
	return wholefile.Free(filepath.Join(s.folder, now.Format(stamp)+" opened.json"))
}

// Note writes down what is known of a take.
func (s *Shelf) Note(t *Take) {
	if err := t.Save(); err != nil && t.Held == nil { // of a full disk was told already
		s.host.Fault(words.Say("desk.take.not-kept", "err", err))
	}
}

// Dismiss puts a finding of the take shown aside, with a reason that is kept;
// an empty reason takes it back.
func (s *Shelf) Dismiss(i int, reason string) {
	if s.Shown == nil || i < 0 || i >= len(s.Shown.Hearing.Findings) {
		return
	}
	f, t := &s.Shown.Hearing.Findings[i], s.Shown.Take
	kept := t.Dismissed[:0:0]
	for _, x := range t.Dismissed {
		if !x.of(f) {
			kept = append(kept, x)
		}
	}
	if reason != "" {
		kept = append(kept, Dismiss{f.Measure, f.Pass, f.Beat, f.Kind, reason})
	}
	t.Dismissed = kept
	t.Found = found(s.host.Score().Piece, s.Shown.Hearing, kept)
	t.went(s.host.Score().Piece, s.Shown.Agreed())
	s.Note(t)
	s.host.Changed()
}

// Dismissed gives the reason for which finding i of the take shown was dismissed.
func (s *Shelf) Dismissed(i int) (reason string, ok bool) {
	return s.Shown.Take.Reason(&s.Shown.Hearing.Findings[i])
}

// First is the finding of the take shown that is to be mended first; -1 for none.
func (s *Shelf) First() int {
	if s.Shown != nil {
		for _, i := range s.Shown.Hearing.WorthFixing {
			if _, aside := s.Dismissed(i); !aside {
				return i
			}
		}
	}
	return -1
}

// Remove takes a take away for good: its sound and what was found in it. Of a
// recording made elsewhere only the notes go.
func (s *Shelf) Remove(t *Take) {
	if s.host.Busy("remove") {
		return
	}
	for _, path := range t.files() {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			s.fault(words.Say("desk.take.not-removed", "path", path, "err", said.Bare(err)))
			return
		}
	}
	for i, x := range s.Takes {
		if x == t {
			s.Takes = append(s.Takes[:i:i], s.Takes[i+1:]...)
			break
		}
	}
	if s.CutOff == t {
		s.CutOff = nil
	}
	if s.Shown != nil && s.Shown.Take == t {
		s.host.LookAway()
		s.Shown = nil
	}
	s.host.Changed()
}
