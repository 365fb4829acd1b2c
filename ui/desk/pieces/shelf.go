package pieces

import (
	"cmp"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"endpin/piece/fingerboard"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
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
	Busy(deed string) bool // something else goes on before the deed; it says so
	Now() time.Time
	Owner() string // whose desk it is; "" for nobody's
	Score() *score.Score
	Put(s *score.Score) // lays it on the desk
}

// Means is what the shelf is given from outside. Its functions are called from any
// goroutine.
type Means struct {
	Folder string // where the pieces are remembered; "" for nowhere
	// Read reads a piece from a file: a part of it, "" for the one that fits, for an
	// instrument by its word.
	Read func(path, part, instrument string) (*score.Score, error)
	Demo func() (*score.Score, error) // the piece that comes with Endpin; nil for none
	// Worked is the work of a player on each piece, by its content; nil for not known.
	Worked func(player string) (map[string]*Worked, error)
}

// Shelf is the pieces, of which one stands ready. It belongs to the desk's goroutine.
type Shelf struct {
	Search  string  // what was typed to find a piece
	Reading string  // the name of the file that is being read, or looked for; "" for none
	Asking  *Choice // what is asked before a piece is opened; nil for nothing

	host   Host
	means  Means
	all    []*Piece // opened last first, then those not yet opened by title
	demo   *Piece
	list   []*Piece // of these, those found by what was typed
	at     int      // in the list, the one that stands ready
	laid   bool     // one of them lies on the desk
	errand *errand.Errand
	worked *errand.Errand
	by     map[string]*Worked
}

// New reads what stands on the shelf. What the error says is for the user; the shelf
// serves all the same.
func New(h Host, m Means) (*Shelf, error) {
	s := &Shelf{host: h, means: m, demo: &Piece{Demo: true}}
	var aside []string
	if m.Folder != "" {
		s.all, aside = load(m.Folder)
	}
	if m.Demo != nil {
		if d, err := m.Demo(); err == nil {
			s.demo = of(d)
		}
	}
	s.order()
	if len(aside) > 0 {
		return s, words.Fault("desk.pieces.aside", "folder", m.Folder, "file", aside[0])
	}
	return s, nil
}

// order sorts the pieces, and lists those that are found.
func (s *Shelf) order() {
	ready := s.Ready()
	slices.SortStableFunc(s.all, func(a, b *Piece) int {
		return cmp.Or(b.Opened.Compare(a.Opened), strings.Compare(fold(a.Title), fold(b.Title)), strings.Compare(a.Content, b.Content))
	})
	s.find()
	s.at = max(0, slices.Index(s.list, ready))
}

// find lists the pieces in which all words stand that were typed.
func (s *Shelf) find() {
	typed := strings.Fields(fold(s.Search))
	s.list = s.list[:0:0]
	for _, p := range append(s.all[:len(s.all):len(s.all)], s.demo) {
		if p.found(typed) && (s.means.Demo != nil || !p.Demo) {
			s.list = append(s.list, p)
		}
	}
}

// List are the pieces that are found by what was typed, the demo last.
func (s *Shelf) List() []*Piece { return s.list }

// Count is how many stand on the shelf, without the demo.
func (s *Shelf) Count() int { return len(s.all) }

// Ready is the piece that stands ready to be opened; nil for none.
func (s *Shelf) Ready() *Piece {
	if s.at < 0 || s.at >= len(s.list) {
		return nil
	}
	return s.list[s.at]
}

// At is its index in the list.
func (s *Shelf) At() int { return s.at }

// Type looks for pieces by what is typed.
func (s *Shelf) Type(text string) {
	if text == s.Search {
		return
	}
	s.Search, s.at = text, 0
	s.find()
	s.host.Changed()
}

// Choose has another piece of the list stand ready.
func (s *Shelf) Choose(i int) {
	if i = max(0, min(len(s.list)-1, i)); i != s.at {
		s.at = i
		s.host.Changed()
	}
}

// Next goes on to the next, and after the last to the first, as a pedal does.
func (s *Shelf) Next() {
	if n := len(s.list); n > 0 {
		s.Choose((s.at + 1) % n)
	}
}

// Enter looks anew how far the pieces are, in the background. The one that was opened
// last stands ready.
func (s *Shelf) Enter() {
	if s.Search != "" {
		s.Search = ""
		s.find()
	}
	s.at = 0
	if s.laid {
		s.at = max(0, slices.IndexFunc(s.list, func(p *Piece) bool { return p.Content == s.host.Score().Content }))
	}
	s.host.Changed()
	if s.means.Worked == nil {
		return
	}
	s.worked.Drop()
	player, worked := s.host.Owner(), s.means.Worked
	s.worked = errand.Send(s.host.Post, func(*errand.Errand) func() {
		by, err := worked(player)
		return func() {
			if err != nil {
				s.host.Fault(said.Sentence(err))
			}
			s.by = by
			s.tell()
		}
	})
}

// tell works out how far each piece is.
func (s *Shelf) tell() {
	for _, p := range append(s.all[:len(s.all):len(s.all)], s.demo) {
		if w := s.by[p.Content]; w != nil {
			p.Progress = p.progress(*w)
		} else {
			p.Progress = Progress{}
		}
	}
	s.host.Changed()
}

// instrument is the one that a new piece is read for: of the piece opened last.
func (s *Shelf) instrument() string {
	if len(s.all) > 0 && s.all[0].Instrument != "" {
		return s.all[0].Instrument
	}
	return fingerboard.Instruments()[0].Word
}

// OpenReady opens the piece that stands ready.
func (s *Shelf) OpenReady() { s.openKnown(s.Ready()) }

// Again opens a piece that lay on the desk before, wherever its file lies now.
func (s *Shelf) Again(sc *score.Score) {
	if i := slices.IndexFunc(s.all, func(p *Piece) bool { return p.File() == sc.File && p.Part == sc.Part }); i >= 0 {
		s.openKnown(s.all[i])
		return
	}
	if sc.Demo {
		s.openKnown(s.demo)
	}
}

func (s *Shelf) openKnown(p *Piece) {
	switch {
	case p == nil || s.host.Busy("piece"):
	case p.Demo:
		s.read(words.Say("desk.pieces.demo"), func(context.Context) (*score.Score, error) { return s.means.Demo() }, nil)
	default:
		s.open(p)
	}
}

// open opens a piece of the shelf, wherever its file lies now.
func (s *Shelf) open(p *Piece) {
	folders := s.folders(p)
	of := func(path string) (*score.Score, error) { return s.means.Read(path, p.Part, p.Instrument) }
	asked, lay := p.Opened.IsZero(), p.File() // its part was not chosen yet
	s.read(filepath.Base(p.File()), func(ctx context.Context) (*score.Score, error) {
		sc, err := of(p.File())
		if err == nil {
			return sc, nil
		}
		if found := find(ctx, p, folders, of); found != nil {
			return found, nil
		}
		if _, gone := os.Stat(p.File()); gone != nil {
			return nil, words.Fault("desk.pieces.gone", "title", p.Title, "file", p.File())
		}
		return nil, err
	}, func(sc *score.Score) {
		if asked && s.asks(sc, "", p.Instrument) {
			return
		}
		s.lay(sc)
		if sc.File != lay {
			s.host.Say(words.Say("desk.pieces.moved", "title", p.Title, "folder", filepath.Dir(sc.File)))
		}
	})
}

// folders are those in which a file that moved is looked for: where the piece lay, then
// where others lie.
func (s *Shelf) folders(of *Piece) (all []string) {
	for _, p := range append([]*Piece{of}, s.all...) {
		for _, f := range p.Files {
			if folder := filepath.Dir(f); !slices.Contains(all, folder) {
				all = append(all, folder)
			}
		}
	}
	return all
}

// wanted is a piece that is to be opened.
type wanted struct {
	path, part, instrument string
	given                  bool // the instrument is, so that nothing is asked
}

// wants is what is wanted of a file: part and instrument as they were chosen for it, where
// neither is given.
func (s *Shelf) wants(path, part, instrument string) wanted {
	w := wanted{whole(path), part, instrument, instrument != ""}
	for _, p := range s.all {
		if !w.given && part == "" && p.File() == w.path && !p.Opened.IsZero() {
			return wanted{w.path, p.Part, p.Instrument, true}
		}
	}
	if !w.given {
		w.instrument = s.instrument()
	}
	return w
}

func (s *Shelf) readAs(w wanted) (*score.Score, error) {
	return s.means.Read(w.path, w.part, w.instrument)
}

// came is a piece that was wanted and read: it is laid on the desk, unless something is
// to be asked before.
func (s *Shelf) came(w wanted, sc *score.Score) {
	if w.given || !s.asks(sc, w.part, w.instrument) {
		s.lay(sc)
	}
}

// Open opens the piece in a file, in the background. Part and instrument are asked where
// there is a choice and neither was remembered nor is given; "" is not given.
func (s *Shelf) Open(path, part, instrument string) {
	if s.host.Busy("piece") {
		return
	}
	w := s.wants(path, part, instrument)
	s.read(filepath.Base(path), func(context.Context) (*score.Score, error) { return s.readAs(w) }, func(sc *score.Score) { s.came(w, sc) })
}

// Begin is Open as the desk is set out, before there is a window: it waits. The error was
// said.
func (s *Shelf) Begin(path, part, instrument string) error {
	w := s.wants(path, part, instrument)
	sc, err := s.readAs(w)
	if err != nil {
		s.host.Fault(said.Sentence(err))
		return err
	}
	s.came(w, sc)
	return nil
}

func whole(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// read has a piece read in the background; then is what is done with it, nil for laying
// it on the desk.
func (s *Shelf) read(name string, read func(context.Context) (*score.Score, error), then func(*score.Score)) {
	s.errand.Drop()
	s.Reading, s.Asking = name, nil
	s.host.Say("")
	s.errand = errand.Send(s.host.Post, func(e *errand.Errand) func() {
		sc, err := read(e)
		return func() {
			s.Reading = ""
			switch {
			case err != nil:
				s.host.Fault(said.Sentence(err))
			case then != nil:
				then(sc)
			default:
				s.lay(sc)
			}
			s.host.Changed()
		}
	})
	s.host.Changed()
}

// Cancel reads and asks no more; it reports whether something was.
func (s *Shelf) Cancel() bool {
	was := s.Reading != "" || s.Asking != nil
	s.errand.Drop()
	if s.Reading, s.Asking = "", nil; was {
		s.host.Changed()
	}
	return was
}

// lay lays a piece on the desk, unless something began there meanwhile, and remembers it.
func (s *Shelf) lay(sc *score.Score) {
	if s.host.Busy("piece") {
		return
	}
	s.laid = true
	s.host.Put(sc)
	if sc.Demo {
		return
	}
	p := s.put(sc)
	p.Opened = s.host.Now()
	s.save(p)
	s.order()
	s.at = max(0, slices.Index(s.list, p))
}

// Kept remembers the piece on the desk as it lies in its file now.
func (s *Shelf) Kept(sc *score.Score) {
	s.laid = true
	p := s.put(sc)
	p.Opened = s.host.Now()
	s.save(p)
	s.order()
}

// put is the piece of a score on the shelf. One whose file holds other notes now goes
// from there: its takes stay, and it is the same again where its notes come back.
func (s *Shelf) put(sc *score.Score) *Piece {
	for _, other := range slices.Clone(s.all) {
		if other.Content == sc.Content || other.Part != sc.Part && !other.Opened.IsZero() {
			continue
		}
		if other.Files = slices.DeleteFunc(other.Files, func(f string) bool { return f == sc.File }); len(other.Files) == 0 {
			s.drop(other)
		}
	}
	for _, p := range s.all {
		if p.Content == sc.Content {
			p.take(sc)
			return p
		}
	}
	p := of(sc)
	if w := s.by[p.Content]; w != nil {
		p.Progress = p.progress(*w)
	}
	s.all = append(s.all, p)
	return p
}

func (s *Shelf) save(p *Piece) {
	if s.means.Folder == "" {
		return
	}
	if err := p.save(s.means.Folder); err != nil {
		s.host.Fault(words.Say("desk.pieces.not-kept", "title", p.Title, "err", said.Bare(err)))
	}
}

// drop takes a piece from the shelf.
func (s *Shelf) drop(p *Piece) {
	if p.notes != "" {
		_ = os.Remove(p.notes)
	}
	s.all = slices.DeleteFunc(s.all, func(x *Piece) bool { return x == p })
}

// Forget takes a piece from the shelf. Its file and its takes stay where they are.
func (s *Shelf) Forget(p *Piece) {
	if p == nil || p.Demo {
		return
	}
	at := s.at
	s.drop(p)
	s.order()
	s.at = max(0, min(at, len(s.list)-1))
	s.host.Say(words.Say("desk.pieces.forgotten", "title", p.Title))
	s.host.Changed()
}

// Leave reads no more, because the window closes.
func (s *Shelf) Leave() {
	s.errand.Drop()
	s.worked.Drop()
}
