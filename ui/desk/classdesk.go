package desk

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
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Class is a folder of students' recordings on the desk: what is to be heard and
// how, how far that has come, and what came of it. All goes as in `endpin class`.
type Class struct {
	Asked ClassAsked

	Going   bool
	Stopped bool         // the last run was stopped before its end
	Told    ClassTold    // of the run going on, or the last one
	Sheet   *class.Sheet // of all heard so far; nil where nothing was heard yet
	Written string       // the class sheet; "" while it was not written
	Message string       // one sentence; empty for nothing to say
	Chosen  int          // index of the student looked at; -1 for none
	Playing int          // index of the finding that sounds; -1 for none

	desk    *Desk
	cancel  context.CancelFunc
	playing int // counts what was played
	stop    context.CancelFunc
	last    int // finding played last; -1 for none
}

// ClassAsked is what of a class is to be heard, and how.
type ClassAsked struct {
	Score    *Score
	Folder   string // "" while none was chosen
	Roster   string // a file; "" for none
	Out      string // the folder that pages are written into
	Measures string // "" for all
	QPM      float64
	Level    string
	NoSound  bool // put none of the students' sound into the pages
	Afresh   bool // hear again what was heard before
}

// ClassTold is how far a class has been heard.
type ClassTold struct {
	Done, Of int
	Heard    float64      // share of all, 0 to 1, about
	Hearing  []string     // the files that are being heard
	Sheet    *class.Sheet // so far; nil for no change
}

// NewClass sets a desk out for a class, with the desk's own piece.
func NewClass(d *Desk) *Class {
	return &Class{desk: d, Asked: ClassAsked{Score: d.Score, Level: d.Settings.Level}, Chosen: -1, Playing: -1, last: -1}
}

// Ask changes what is to be heard. Nothing changes while a class is being heard.
func (c *Class) Ask(change func(*ClassAsked)) {
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
			c.Sheet, c.Written, c.Stopped, c.Told, c.Chosen = nil, "", false, ClassTold{}, -1
		}
	}
	c.desk.tell()
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
		c.Ask(func(a *ClassAsked) { a.Folder = path })
	case ext == ".csv" || ext == ".tsv" || ext == ".txt":
		c.Ask(func(a *ClassAsked) { a.Roster = path })
	case c.desk.means.ReadScore != nil:
		s, err := c.desk.means.ReadScore(path)
		if err != nil {
			c.say(said.Sentence(err))
			return
		}
		c.Ask(func(a *ClassAsked) { a.Score = s })
	}
}

// TypeTempo sets the tempo asked for as it is typed; empty is the piece's own.
func (c *Class) TypeTempo(text string) {
	qpm, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	switch {
	case strings.TrimSpace(text) == "":
		c.Ask(func(a *ClassAsked) { a.QPM = 0 })
	case err != nil || !(qpm >= LowestQPM && qpm <= HighestQPM):
		c.say(score.NoTempo(text).Error())
	default:
		c.Ask(func(a *ClassAsked) { a.QPM = qpm })
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
	c.Ask(func(a *ClassAsked) { a.Measures = text })
}

func (c *Class) say(sentence string) {
	c.Message = sentence
	c.desk.tell()
}

// Options are how the class is judged.
func (c *Class) Options() finding.Options {
	o := c.desk.Settings.Judging()
	o.Measures, o.QPM = c.Asked.Measures, c.Asked.QPM
	if l, err := finding.LevelByName(c.Asked.Level); err == nil {
		o.Level = l
	}
	return o
}

// Start hears the class in the background; it goes on where an earlier run into
// the same place ended. Stop ends it.
func (c *Class) Start() {
	d := c.desk
	switch {
	case c.Going || d.means.HearClass == nil:
		return
	case d.Running:
		c.say(words.Say("desk.class.playing"))
		return
	case c.Asked.Folder == "":
		c.say(words.Say("desk.class.no-folder"))
		return
	}
	ctx, cancel := context.WithCancel(context.Background())
	c.StopPlaying()
	c.Going, c.Stopped, c.cancel, c.Message, c.Written = true, false, cancel, "", ""
	c.Told, c.Sheet, c.Chosen = ClassTold{}, nil, -1
	asked, opts := c.Asked, c.Options()
	told := func(t ClassTold) {
		d.means.Post(func() {
			if c.Told = t; t.Sheet != nil {
				c.Sheet = t.Sheet
			}
			d.tell()
		})
	}
	go func() {
		sheet, written, err := d.means.HearClass(ctx, asked, opts, told)
		stopped := ctx.Err() != nil
		d.means.Post(func() { c.ended(sheet, written, err, stopped) })
	}()
	d.tell()
}

func (c *Class) ended(sheet *class.Sheet, written string, err error, stopped bool) {
	c.cancel()
	c.Going, c.cancel, c.Written, c.Told.Hearing = false, nil, written, nil
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
	c.desk.tell()
}

// Stop ends the hearing of a class. What was heard is kept.
func (c *Class) Stop() {
	if c.cancel != nil {
		c.cancel()
	}
}

// Choose looks at a student; -1 at none.
func (c *Class) Choose(i int) {
	if c.Sheet == nil || i < -1 || i >= len(c.Sheet.Students) || i == c.Chosen {
		return
	}
	c.StopPlaying()
	c.Chosen, c.last = i, -1
	c.desk.tell()
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
	s, d := c.Student(), c.desk
	if s == nil || s.Hearing == nil || c.Asked.Score != d.Score || d.Running || d.Judging {
		return false
	}
	c.StopPlaying()
	path := filepath.Join(c.Asked.Folder, *s.Recording)
	t := d.recordingAt(path)
	t.Player, t.Level, t.Measures = s.Name, c.Asked.Level, c.Asked.Measures
	d.CutOff = nil
	d.say("")
	d.judgeBy(t, c.Options())
	return true
}
