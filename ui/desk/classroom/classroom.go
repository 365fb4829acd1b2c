package classroom

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Class is a folder of students' recordings on the desk: what is to be heard and
// how, how far that has come, and what came of it. All goes as in `endpin class`.
type Class struct {
	Asked Asked

	Going   bool
	Stopped bool        // the last run was stopped before its end
	Told    Told        // of the run going on, or the last one
	Heard   *class.Term // all heard so far, a sheet a piece asked for, in which the same students stand; nil where nothing was heard yet
	Written string      // the class sheet; "" while it was not written
	Message string      // one sentence; empty for nothing to say
	Chosen  int         // index of the student looked at; -1 for none
	Piece   int         // index of the piece that is looked at
	Playing int         // index of the finding that sounds; -1 for none

	host    Host
	hearing *errand.Errand // of the class; nil for none
	playing *errand.Errand // of a moment of a recording; nil for none
	adding  int            // how many of the teacher's additions are being written
	last    int            // finding played last; -1 for none
	page    *score.Score   // on the page when it was last looked at
}

// Asked is what of a class is to be heard, and how.
type Asked struct {
	Scores   []*score.Score // one at least
	Folder   string         // "" while none was chosen
	Roster   string         // a file; "" for none
	Out      string         // the folder that pages are written into
	Measures string         // "" for all; of one piece alone
	QPM      float64
	Level    string
	NoSound  bool // put none of the students' sound into the pages
	Weeks    bool // keep what is heard from week to week; where it is kept that goes on
	Afresh   bool // hear again what was heard before
}

// Told is how far a class has been heard.
type Told struct {
	Done, Of int
	Heard    float64     // share of all, 0 to 1, about
	Hearing  []string    // the files that are being heard
	So       *class.Term // so far; nil for no change
}

// New sets a desk out for a class, with the desk's own piece.
func New(h Host) *Class {
	return &Class{host: h, page: h.Score(), Asked: Asked{Scores: []*score.Score{h.Score()}, Level: h.Level()}, Chosen: -1, Playing: -1, last: -1}
}

// Host is the desk that a class lies on. Its methods are called on the desk's
// goroutine.
type Host interface {
	Post(func())              // on that goroutine
	Changed()                 // what is seen is another
	Playing() bool            // an attempt goes on
	Score() *score.Score      // on the page
	Level() string            // at which the desk judges
	Judging() finding.Options // and how
	Player() playback.Player  // of recordings
	HearClass() Hear          // nil where no class can be heard
	AddToClass() Add          // nil where nothing can be added to pages
	ReadScore() ReadScore     // nil where no piece can be read
	Open(Recording) bool      // puts all that is heard in it on the page; false where it cannot now
}

// Hear hears a folder of recordings and writes its pages, as `endpin class` does;
// written is the class sheet. Where the context ends first, sheet and pages hold what
// was heard so far.
type Hear = func(ctx context.Context, c Asked, o finding.Options, told func(Told)) (heard *class.Term, written string, err error)

// Add changes what the teacher adds to the page of a student or, "", to all, and writes the
// pages of the class heard last anew.
type Add = func(ctx context.Context, student string, change func(*class.Remarks, *class.Page)) (heard *class.Term, written string, err error)

// ReadScore reads a piece from a file.
type ReadScore = func(path string) (*score.Score, error)

// Recording is a student's that is to be opened by itself, judged as the class was.
type Recording struct {
	Score           *score.Score // that it is of
	Student, Path   string
	Level, Measures string // "" for all
	Options         finding.Options
}

// Follow takes the piece on the page for the class's, where the class was to play the one
// that lay there before and none of it was heard yet.
func (c *Class) Follow() {
	before, now := c.page, c.host.Score()
	if c.page = now; len(c.Asked.Scores) == 1 && c.Asked.Scores[0] == before && now != before && c.Heard == nil {
		c.Ask(func(a *Asked) { a.Scores, a.Measures, a.QPM = []*score.Score{now}, "", 0 })
	}
}

// Ask changes what is to be heard. Nothing changes while a class is being heard.
func (c *Class) Ask(change func(*Asked)) {
	if c.Going {
		return
	}
	before := c.Asked
	change(&c.Asked)
	if before.Folder != c.Asked.Folder && before.Out == besides(before.Folder) {
		c.Asked.Out = besides(c.Asked.Folder)
	}
	c.Message = ""
	if before.Folder != c.Asked.Folder || !slices.Equal(before.Scores, c.Asked.Scores) {
		c.Heard, c.Written, c.Stopped, c.Told, c.Chosen, c.Piece = nil, "", false, Told{}, -1, 0
	}
	c.host.Changed()
}

// besides is where a folder's pages go unless another place is chosen: beside
// it, since in it they would lie among the recordings.
func besides(folder string) string {
	if folder == "" {
		return ""
	}
	return filepath.Clean(folder) + " - class sheet"
}

// Drop takes what was dropped or chosen for what it is: a folder of recordings, a
// roster, a piece more, or a folder of pieces.
func (c *Class) Drop(path string) {
	info, err := os.Stat(path)
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case c.Going:
		c.say(words.Say("desk.class.going"))
	case err != nil:
		c.say(words.Say("desk.class.no-file", "path", path))
	case info.IsDir():
		if files := piecesAlone(path); len(files) > 0 {
			c.add(files)
			return
		}
		c.Ask(func(a *Asked) { a.Folder = path })
	case ext == ".csv" || ext == ".tsv" || ext == ".txt":
		c.Ask(func(a *Asked) { a.Roster = path })
	default:
		c.add([]string{path})
	}
}

// piecesAlone are the pieces in a folder that holds no recording: homework may have one in it.
func piecesAlone(folder string) (files []string) {
	all, _ := os.ReadDir(folder)
	for _, e := range all {
		if path := filepath.Join(folder, e.Name()); class.IsMedia(path) || strings.EqualFold(filepath.Ext(path), ".endpin") {
			return nil
		} else if piece.IsNamed(path) {
			files = append(files, path)
		}
	}
	return files
}

// add has the class play some pieces more. The demo piece, which no class plays, gives way.
func (c *Class) add(files []string) {
	if c.host.ReadScore() == nil {
		return
	}
	now := slices.DeleteFunc(slices.Clone(c.Asked.Scores), func(s *score.Score) bool { return s.Demo })
	for _, file := range files {
		s, err := c.host.ReadScore()(file)
		if err != nil {
			c.say(said.Sentence(err))
			return
		}
		if !slices.ContainsFunc(now, func(x *score.Score) bool { return x.Content == s.Content }) {
			now = append(now, s)
		}
	}
	c.askFor(now)
}

// LeaveOut has the class play all but piece i: one stays.
func (c *Class) LeaveOut(i int) {
	if now := slices.Delete(slices.Clone(c.Asked.Scores), i, i+1); len(now) > 0 {
		c.askFor(now)
	}
}

func (c *Class) askFor(now []*score.Score) {
	c.Ask(func(a *Asked) {
		if a.Scores = now; len(now) > 1 {
			a.Measures = ""
		}
	})
}

// TypeTempo sets the tempo asked for as it is typed; empty is the piece's own.
func (c *Class) TypeTempo(text string) {
	qpm, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	switch {
	case strings.TrimSpace(text) == "":
		c.Ask(func(a *Asked) { a.QPM = 0 })
	case err != nil || !(qpm >= score.LowestQPM && qpm <= score.HighestQPM):
		c.say(score.NoTempo(text).Error())
	default:
		c.Ask(func(a *Asked) { a.QPM = qpm })
	}
}

// TypeMeasures sets the measures to be heard as they are typed; empty is all.
func (c *Class) TypeMeasures(text string) {
	text = strings.TrimSpace(text)
	if text != "" && !strings.EqualFold(text, "all") && len(c.Asked.Scores) == 1 {
		if _, _, err := c.Asked.Scores[0].Piece.Select(text); err != nil {
			c.say(said.Sentence(err))
			return
		}
	} else {
		text = ""
	}
	c.Ask(func(a *Asked) { a.Measures = text })
}

func (c *Class) say(sentence string) {
	c.Message = sentence
	c.host.Changed()
}

// Options are how the class is judged.
func (c *Class) Options() finding.Options {
	o := c.host.Judging()
	o.Measures, o.QPM = c.Asked.Measures, c.Asked.QPM
	if l, err := finding.LevelByName(c.Asked.Level); err == nil {
		o.Level = l
	}
	return o
}

// Start hears the class in the background; it goes on where an earlier run into
// the same place ended. Stop ends it.
func (c *Class) Start() {
	hear := c.host.HearClass()
	switch {
	case c.Going || hear == nil:
		return
	case c.host.Playing():
		c.say(words.Say("desk.class.playing"))
		return
	case c.Asked.Folder == "":
		c.say(words.Say("desk.class.no-folder"))
		return
	}
	c.StopPlaying()
	c.Going, c.Stopped, c.Message, c.Written = true, false, "", ""
	c.Told, c.Heard, c.Chosen, c.Piece = Told{}, nil, -1, 0
	asked, opts := c.Asked, c.Options()
	c.hearing = errand.Send(c.host.Post, func(e *errand.Errand) func() {
		heard, written, err := hear(e, asked, opts, func(t Told) {
			e.Tell(func() {
				if c.Told = t; t.So != nil {
					c.Heard = t.So
				}
				c.host.Changed()
			})
		})
		stopped := e.Err() != nil
		return func() { c.ended(heard, written, err, stopped) }
	})
	c.host.Changed()
}

func (c *Class) ended(heard *class.Term, written string, err error, stopped bool) {
	c.Going, c.hearing, c.Written, c.Told.Hearing = false, nil, written, nil
	if heard != nil {
		c.Heard = heard
	}
	switch {
	case stopped:
		c.Stopped, c.Message = true, words.Say("desk.class.stopped")
	case err != nil:
		c.Message = said.Sentence(err)
	default:
		c.Asked.Afresh = false
	}
	c.host.Changed()
}

// Stop ends the hearing of a class. What was heard is kept.
func (c *Class) Stop() { c.hearing.Stop() }

// Students are the rows of the class.
func (c *Class) Students() []class.Student {
	if c.Heard == nil || len(c.Heard.Sheets) == 0 {
		return nil
	}
	return c.Heard.Sheets[0].Students
}

// Pieces are the indexes of those of which student i has a recording.
func (c *Class) Pieces(i int) (all []int) {
	for k, s := range c.Heard.Sheets {
		if s.Students[i].Status != class.Missing {
			all = append(all, k)
		}
	}
	return all
}

// Choose looks at a student, in the piece that was looked at or another; -1 at none.
func (c *Class) Choose(i int) {
	if i < -1 || i >= len(c.Students()) || i == c.Chosen {
		return
	}
	c.StopPlaying()
	c.Chosen, c.last = i, -1
	if i >= 0 {
		if played := c.Pieces(i); len(played) > 0 && !slices.Contains(played, c.Piece) {
			c.Piece = played[0]
		}
	}
	c.host.Changed()
}

// Look looks at piece k of the student.
func (c *Class) Look(k int) {
	if c.Heard == nil || k < 0 || k >= len(c.Heard.Sheets) || k == c.Piece {
		return
	}
	c.StopPlaying()
	c.Piece, c.last = k, -1
	c.host.Changed()
}

// Step goes to the student's next piece (1) or the one before (-1), and then to the next student.
func (c *Class) Step(by int) {
	if c.Chosen >= 0 {
		played := c.Pieces(c.Chosen)
		if at := slices.Index(played, c.Piece) + by; len(played) > 1 && at >= 0 && at < len(played) {
			c.Look(played[at])
			return
		}
	}
	to := max(c.Chosen+by, -1)
	if to >= len(c.Students()) || to == c.Chosen {
		return
	}
	c.Choose(to)
	if to < 0 {
		return
	}
	switch played := c.Pieces(to); {
	case len(played) == 0:
	case by > 0:
		c.Look(played[0])
	default:
		c.Look(played[len(played)-1])
	}
}

// Sheet is that of the piece looked at; nil for none.
func (c *Class) Sheet() *class.Sheet {
	if c.Heard == nil || c.Piece >= len(c.Heard.Sheets) {
		return nil
	}
	return c.Heard.Sheets[c.Piece]
}

// Student is the one looked at, in the piece looked at; nil for none.
func (c *Class) Student() *class.Student {
	if c.Sheet() == nil || c.Chosen < 0 {
		return nil
	}
	return &c.Sheet().Students[c.Chosen]
}

// Evidence are the indexes of the student's findings: what is worth fixing first,
// then the others as they come in the music.
func (c *Class) Evidence() []int {
	s := c.Student()
	if s == nil {
		return nil
	}
	all := slices.Clone(s.WorthFixing)
	for i := range s.Findings {
		if !slices.Contains(all, i) && s.Findings[i].Kind != finding.NotSure { // that is the student's Reason
			all = append(all, i)
		}
	}
	return all
}

// PlayNext plays the finding after the one that was played last, or before it.
func (c *Class) PlayNext(by int) {
	all := c.Evidence()
	at := slices.Index(all, c.last)
	if at < 0 && by < 0 {
		at = 0
	}
	for range all {
		at = (at + by + len(all)) % len(all)
		if class.Shows(&c.Student().Findings[all[at]]) {
			c.Play(all[at])
			return
		}
	}
}

// OpenOnPage hears the student's recording again by itself and puts all that is
// heard on the desk's page, judged as the class was. It reports false where there is none.
func (c *Class) OpenOnPage() bool {
	s := c.Student()
	if s == nil || s.Hearing == nil || c.host.Playing() {
		return false
	}
	if !c.host.Open(Recording{c.Asked.Scores[c.Piece], s.Name, filepath.Join(c.Asked.Folder, *s.Recording), c.Asked.Level, c.Asked.Measures, c.Options()}) {
		return false
	}
	c.StopPlaying()
	return true
}
