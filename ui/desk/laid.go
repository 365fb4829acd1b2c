package desk

import (
	"slices"

	"endpin/piece"
	"endpin/piece/practice"
	"endpin/ui/desk/bringup"
	"endpin/ui/desk/fingering"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/planned"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
)

// laid is a piece with all that lay beside it, so that it lies there again when it comes
// back: the measures, way and tempo chosen, what was being mended, its takes, and the one
// shown with what it came to.
type laid struct {
	score   *score.Score
	work    work.Work
	steps   bringup.Steps
	mending *practice.Mending
	plan    *planned.Planned
	takes   *shelf.Shelf
	result  *Result
}

// Put lays another piece on the desk, or the same one read anew. It is not called while
// something goes on; the one that lay there comes back as it was.
func (d *Desk) Put(s *score.Score) {
	d.StopPlaying()
	d.Listening.Close()
	d.LookAway()
	if s.File != d.Score.File || s.Part != d.Score.Part {
		d.Pencil.PutAway()
	}
	d.laid[d.Score.Content] = laid{d.Score, d.Work, d.Steps, d.Mending.Now, d.Plan.Now, d.Shelf, d.Result}
	if h := d.Score.Homework; h != nil && h.Level != "" {
		d.ForNow(func(x *remembered.Settings) { x.Level = d.kept.Level }) // it held for the homework
	}
	d.lay(s)
	d.Puts++
	d.say("")
	d.tell()
}

// lay lays a piece out, as it lay before or afresh.
func (d *Desk) lay(s *score.Score) {
	s = d.Pencil.As(s)
	d.Fingering = fingering.New(host{d}, s)
	d.Score, d.playing, d.Chosen.at, d.Plan.Now = fingering.On(s, d.Settings.Fingerings[s.Content]), nil, 0, nil
	before, was := d.laid[s.Content]
	alike := func(a, b piece.Measure) bool { return a.Number == b.Number }
	if was && slices.EqualFunc(before.score.Piece.Measures, s.Piece.Measures, alike) {
		d.Work, d.Steps, d.Mending.Now, d.Shelf, d.Result = before.work, before.steps, before.mending, before.takes, before.result
		d.Plan.Now = before.plan
	} else {
		was, d.Mending.Now, d.Result, d.Shelf = false, nil, nil, shelf.New(host{d}, d.means.Folder)
		d.Work = work.Work{Way: work.PlayAlong, QPM: s.QPM(), CountIn: d.Settings.CountIn, Silence: d.Settings.Silence, Last: len(s.Piece.Measures) - 1}
	}
	if !was || before.score.File != s.File {
		d.takeUpHomework()
	}
}

// scoreOf is the piece that a take is of, as it lies or lay on the desk.
func (d *Desk) scoreOf(t *shelf.Take) *score.Score {
	if l, was := d.laid[t.Content]; was && t.Content != d.Score.Content {
		return l.score
	}
	return d.Score
}

// writeHeld tries whether takes that are held can be written now, of every piece that
// lay on the desk.
func (d *Desk) writeHeld() {
	d.WriteHeld()
	for _, l := range d.laid {
		l.takes.WriteHeld()
	}
}

// worked is the work of a player on each piece: by the takes in a folder and by the diary.
func worked(m Means, player string) (map[string]*pieces.Worked, error) {
	by := map[string]*pieces.Worked{}
	var err error
	if m.Practised != nil && player != "" {
		if by, err = m.Practised(player); by == nil {
			by = map[string]*pieces.Worked{}
		}
	}
	if m.Folder == "" {
		return by, err
	}
	for _, t := range shelf.Noted(m.Folder) {
		if t.Player != player || t.Instead {
			continue
		}
		if by[t.Content] == nil {
			by[t.Content] = &pieces.Worked{}
		}
		by[t.Content].Add(t.Made, t.Tempo(), t.Clean, t.Told)
	}
	return by, err
}
