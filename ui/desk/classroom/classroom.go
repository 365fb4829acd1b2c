package classroom

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

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
	Stopped bool         // the last run was stopped before its end
	Told    Told         // of the run going on, or the last one
	Sheet   *class.Sheet // of all heard so far; nil where nothing was heard yet
	Written string       // the class sheet; "" while it was not written
	Message string       // one sentence; empty for nothing to say
	Chosen  int          // index of the student looked at; -1 for none
	Playing int          // index of the finding that sounds; -1 for none

	host    Host
	hearing *errand.Errand // of the class; nil for none
	playing *errand.Errand // of a moment of a recording; nil for none
	last    int            // finding played last; -1 for none
	page    *score.Score   // on the page when it was last looked at
}

// Asked is what of a class is to be heard, and how.
type Asked struct {
	Score    *score.Score
	Folder   string // "" while none was chosen
	Roster   string // a file; "" for none
	Out      string // the folder that pages are written into
	Measures string // "" for all
	QPM      float64
	Level    string
	NoSound  bool // put none of the students' sound into the pages
	Afresh   bool // hear again what was heard before
}

// Told is how far a class has been heard.
type Told struct {
	Done, Of int
	Heard    float64      // share of all, 0 to 1, about
	Hearing  []string     // the files that are being heard
	Sheet    *class.Sheet // so far; nil for no change
}

// New sets a desk out for a class, with the desk's own piece.
func New(h Host) *Class {
	return &Class{host: h, page: h.Score(), Asked: Asked{Score: h.Score(), Level: h.Level()}, Chosen: -1, Playing: -1, last: -1}
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
type Hear = func(ctx context.Context, c Asked, o finding.Options, told func(Told)) (sheet *class.Sheet, written string, err error)

// Add changes what the teacher adds to the page of a student or, "", to all, and writes the
// pages of the class heard last anew.
type Add = func(ctx context.Context, student string, change func(*class.Remarks, *class.Page)) (sheet *class.Sheet, written string, err error)

// ReadScore reads a piece from a file.
type ReadScore = func(path string) (*score.Score, error)

// Recording is a student's that is to be opened by itself, judged as the class was.
type Recording struct {
	Student, Path   string
	Level, Measures string // "" for all
	Options         finding.Options
}

// Follow takes the piece on the page for the class's, where the class was to play the one
// that lay there before and none of it was heard yet.
func (c *Class) Follow() {
	before, now := c.page, c.host.Score()
	if c.page = now; c.Asked.Score == before && now != before && c.Sheet == nil {
		c.Ask(func(a *Asked) { a.Score, a.Measures, a.QPM = now, "", 0 })
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
	if c.Asked != before {
		c.Message = ""
		if before.Folder != c.Asked.Folder || before.Score != c.Asked.Score {
			c.Sheet, c.Written, c.Stopped, c.Told, c.Chosen = nil, "", false, Told{}, -1
		}
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
// roster, or a piece.
func (c *Class) Drop(path string) {
	info, err := os.Stat(path)
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case c.Going:
		c.say(words.Say("desk.class.going"))
	case err != nil:
		c.say(words.Say("desk.class.no-file", "path", path))
	case info.IsDir():
		c.Ask(func(a *Asked) { a.Folder = path })
	case ext == ".csv" || ext == ".tsv" || ext == ".txt":
		c.Ask(func(a *Asked) { a.Roster = path })
	case c.host.ReadScore() != nil:
		s, err := c.host.ReadScore()(path)
		if err != nil {
			c.say(said.Sentence(err))
			return
		}
		c.Ask(func(a *Asked) { a.Score = s })
	}
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
	if text != "" && !strings.EqualFold(text, "all") {
		if _, _, err := c.Asked.Score.Piece.Select(text); err != nil {
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
	c.Told, c.Sheet, c.Chosen = Told{}, nil, -1
	asked, opts := c.Asked, c.Options()
	c.hearing = errand.Send(c.host.Post, func(e *errand.Errand) func() {
		sheet, written, err := hear(e, asked, opts, func(t Told) {
			e.Tell(func() {
				if c.Told = t; t.Sheet != nil {
					c.Sheet = t.Sheet
				}
				c.host.Changed()
			})
		})
		stopped := e.Err() != nil
		return func() { c.ended(sheet, written, err, stopped) }
	})
	c.host.Changed()
}

func (c *Class) ended(sheet *class.Sheet, written string, err error, stopped bool) {
	c.Going, c.hearing, c.Written, c.Told.Hearing = false, nil, written, nil
	if sheet != nil {
		c.Sheet = sheet
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

// Choose looks at a student; -1 at none.
func (c *Class) Choose(i int) {
	if c.Sheet == nil || i < -1 || i >= len(c.Sheet.Students) || i == c.Chosen {
		return
	}
	c.StopPlaying()
	c.Chosen, c.last = i, -1
	c.host.Changed()
}

// Student is the one looked at; nil for none.
func (c *Class) Student() *class.Student {
	if c.Sheet == nil || c.Chosen < 0 {
		return nil
	}
	return &c.Sheet.Students[c.Chosen]
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
// heard on the desk's page, judged as the class was. It reports false where
// there is none, or the class played another piece than lies on the desk.
func (c *Class) OpenOnPage() bool {
	s := c.Student()
	if s == nil || s.Hearing == nil || c.Asked.Score != c.host.Score() || c.host.Playing() {
		return false
	}
	if !c.host.Open(Recording{s.Name, filepath.Join(c.Asked.Folder, *s.Recording), c.Asked.Level, c.Asked.Measures, c.Options()}) {
		return false
	}
	c.StopPlaying()
	return true
}
