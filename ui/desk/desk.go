package desk

import (
	"strconv"
	"strings"
	"time"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/assigned"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/bringup"
	"endpin/ui/desk/closelook"
	"endpin/ui/desk/drills"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/fingering"
	"endpin/ui/desk/listening"
	"endpin/ui/desk/marking"
	"endpin/ui/desk/mending"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/planned"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/sitting"
	"endpin/ui/desk/weeks"
	"endpin/ui/desk/work"
	"endpin/ui/desk/writing"
)

// Desk is everything on the desk. Its fields are read by views and changed by
// its methods, on one goroutine.
type Desk struct {
	Score    *score.Score
	Work     work.Work
	Settings remembered.Settings

	Judging bool    // a take is being heard
	Heard   float64 // how much of it so far, 0 to 1; -1 for not known

	Chosen
	Result  *Result       // of the take judged last; nil while there is none
	Message string        // one sentence; empty for nothing to say. Say and Fault alone set it
	Trouble bool          // it is of what does not go
	Steps   bringup.Steps // of a bring-up

	Mending *mending.Bench // of one thing that was heard

	*room.Room      // what hears and sounds, and the attempt going on
	closelook.Glass // the closer look
	*weeks.Keeper
	*fingering.Fingering
	Pencil             *marking.Marking
	*assigned.Assigned // homework
	*shelf.Shelf       // the takes

	Plan   *planned.Plan // of the sitting
	Drills *drills.Drills

	Pieces    *pieces.Shelf
	Listening *listening.Listening // to takes played back
	Writing   *writing.Writing
	Volume    playback.Volume // of what is played back
	Puts      int             // how often a piece was laid on the desk
	Strings   func()          // brings the check of the strings; nil for none

	means   Means
	kept    remembered.Settings // as they are on disk: without what holds for this time only
	changed []func()
	taps    work.Taps
	done    func(*finding.Hearing)

	sitting sitting.Sitting
	began   time.Time     // when the sitting did
	round   attempt.Round // of an echo

	playing *shelf.Take     // the one that is played, or was last; nil where none is kept
	judging *shelf.Take     // the one being heard
	hearing *errand.Errand  // in the background
	laid    map[string]laid // the pieces that lay here before, by what they are known by
}

// New sets out a desk with a piece on it.
func New(s *score.Score, m Means) *Desk {
	if m.Now == nil {
		m.Now = time.Now
	}
	d := &Desk{Score: s, means: m, Settings: remembered.Default(), laid: map[string]laid{}}
	d.Listening, d.Plan = listening.New(host{d}), planned.New(host{d})
	d.Room, d.Glass = room.New(host{d}, &d.means.Computer), closelook.New(host{d})
	d.Mending = mending.New(host{d})
	d.Pencil, d.Drills = marking.New(host{d}, m.Pencil), drills.New(host{d}, m.Drills)
	d.Assigned, d.Keeper = assigned.New(host{d}, m.Homework), weeks.NewKeeper(host{d})
	if m.Settings != "" {
		var err error
		if d.Settings, err = remembered.Load(m.Settings); err != nil {
			d.fault(err.Error())
		}
	}
	d.kept, d.began = d.Settings, d.means.Now()
	d.lay(s)
	m.Pieces.Worked = func(player string) (map[string]*pieces.Worked, error) { return worked(m, player) }
	var err error
	if d.Pieces, err = pieces.New(host{d}, m.Pieces); err != nil {
		d.fault(said.Joined(d.Message, said.Sentence(err)))
	}
	d.Writing = writing.New(host{d}, m.Writing)
	return d
}

// Now is the time of day.
func (d *Desk) Now() time.Time { return d.means.Now() }

// OnChange has a function called after every change, on the desk's goroutine.
func (d *Desk) OnChange(f func()) { d.changed = append(d.changed, f) }

func (d *Desk) tell() {
	for _, f := range d.changed {
		f()
	}
}

// Finished has a function called when a take has been judged; the hearing is
// nil where nothing of the piece was heard.
func (d *Desk) Finished(f func(*finding.Hearing)) { d.done = f }

// SetWay chooses a way to work. Nothing changes while an attempt goes on; so
// with all that follows.
func (d *Desk) SetWay(w work.Way) {
	if d.Running {
		return
	}
	before := d.Work.Way
	d.Work.Way = w
	if before == work.BringUp && w != before { // a bring-up's tempo is its own
		if d.Work.QPM = d.Work.Apart; d.Work.QPM == 0 {
			d.Work.QPM = d.Score.Tempo(d.Work.First, 0)
		}
	}
	if w == work.BringUp {
		if before != w {
			d.Work.Apart = d.Work.QPM
		}
		d.Steps = d.newSteps()
		d.Work.QPM = d.Steps.Tempo
	}
	d.tell()
}

// SetRange chooses measures by index, in either order.
func (d *Desk) SetRange(first, last int) {
	if d.Running {
		return
	}
	if first > last {
		first, last = last, first
	}
	n := len(d.Score.Piece.Measures)
	first, last = max(0, min(n-1, first)), max(0, min(n-1, last))
	if other := first != d.Work.First || last != d.Work.Last; other {
		d.leaveMending()
		d.Work.First, d.Work.Last = first, last
		d.stepsAnew()
	}
	d.tell()
}

// TypeRange chooses measures by their printed numbers; empty, or "all", is the
// whole piece. The error is the sentence for the user.
func (d *Desk) TypeRange(text string) error {
	text = strings.TrimSpace(text)
	if text == "" || strings.EqualFold(text, "all") {
		d.SetRange(0, len(d.Score.Piece.Measures)-1)
		return nil
	}
	first, last, err := d.Score.Piece.Select(text)
	if err != nil {
		d.Fault(said.Typed(words.Told(err)))
		return err
	}
	d.say("")
	d.SetRange(first, last)
	return nil
}

// Range is the range as it would be typed.
func (d *Desk) Range() string { return d.Score.Range(d.Work.First, d.Work.Last) }

// measures is the range as a take names it: empty for the whole piece.
func (d *Desk) measures() string {
	if d.Score.Whole(d.Work.First, d.Work.Last) {
		return ""
	}
	return d.Range()
}

// Move takes the range on by as many measures as it is long, or back.
func (d *Desk) Move(by int) {
	if d.Running {
		return
	}
	n, long := len(d.Score.Piece.Measures), d.Work.Last-d.Work.First+1
	first := d.Work.First + by*long
	first = max(0, min(n-long, first))
	d.SetRange(first, first+long-1)
}

// SetQPM chooses the tempo, within what can be asked.
func (d *Desk) SetQPM(qpm float64) {
	if d.Running {
		return
	}
	d.Work.QPM = max(score.LowestQPM, min(score.HighestQPM, qpm))
	d.stepTo(d.Work.QPM)
	d.tell()
}

// TypeQPM chooses the tempo as it is typed.
func (d *Desk) TypeQPM(text string) error {
	qpm, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !(qpm >= score.LowestQPM && qpm <= score.HighestQPM) {
		err = score.NoTempo(text)
		d.Fault(err.Error())
		return err
	}
	d.say("")
	d.SetQPM(qpm)
	return nil
}

// Tap is one tap of the tempo.
func (d *Desk) Tap() {
	if qpm, ok := d.taps.Tap(d.means.Now()); ok {
		d.SetQPM(qpm)
	}
}

// Say puts one sentence on the desk; empty takes away what was said.
func (d *Desk) Say(sentence string) {
	d.say(sentence)
	d.tell()
}

// Fault puts a sentence there about what does not go, with its mend.
func (d *Desk) Fault(sentence string) {
	d.fault(sentence)
	d.tell()
}

// say and fault are those in the middle of a change that is told at its end.
func (d *Desk) say(sentence string)   { d.Message, d.Trouble = sentence, false }
func (d *Desk) fault(sentence string) { d.Message, d.Trouble = sentence, true }

// add is say behind what was said already.
func (d *Desk) add(sentence string) { d.Message = said.Joined(d.Message, sentence) }

// ForNow changes settings for this time only: they are not remembered.
func (d *Desk) ForNow(f func(*remembered.Settings)) {
	f(&d.Settings)
	d.Settings.Mend()
}

// Change changes the settings and remembers them.
func (d *Desk) Change(f func(*remembered.Settings)) {
	bow, player := d.Settings.Bow(), d.Settings.Player
	f(&d.Settings)
	f(&d.kept)
	d.Settings.Mend()
	d.kept.Mend()
	if d.Settings.Bow() != bow {
		d.stepsAnew() // slow enough for other bows
	}
	if d.Settings.Player != player {
		d.sitting = sitting.Sitting{} // another's bass, perhaps
	}
	d.Steps.Choose(d.Settings.Step, d.Settings.CleanTimes)
	d.Work.CountIn = d.Settings.CountIn
	if !d.Mending.On() {
		d.Work.Silence = d.Settings.Silence
	}
	if d.means.Settings != "" {
		if err := d.kept.Save(d.means.Settings); err != nil {
			d.fault(words.Say("desk.settings.not-kept", "err", err))
		}
	}
	d.tell()
}

// Again opens a take of the list.
func (d *Desk) Again(t *shelf.Take) {
	if d.Running || d.Judging {
		return
	}
	d.CutOff = nil
	d.say("")
	d.judge(t, nil)
}

// judge hears a take in the background by the code of `endpin hear`, and only to its end
// what was heard along.
func (d *Desk) judge(t *shelf.Take, along *ear.Along) { d.judgeBy(t, along, d.optionsOf(t)) }

// optionsOf are what a take is judged by.
func (d *Desk) optionsOf(t *shelf.Take) finding.Options {
	opts := d.Settings.Judging()
	opts.Measures = t.Measures
	if t.Own() {
		opts.QPM, opts.Given = t.QPM, t.Given
	}
	return opts
}

func (d *Desk) judgeBy(t *shelf.Take, along *ear.Along, opts finding.Options) {
	d.Listening.Close()
	d.Judging, d.judging, d.Heard, d.Chosen.at = true, t, 0, 0
	score := d.Score
	d.hearing = errand.Send(d.means.Post, func(e *errand.Errand) func() {
		if along != nil {
			defer time.AfterFunc(unseen, func() { e.Tell(d.tell) }).Stop()
		}
		told := func(share float64) { e.Tell(func() { d.Heard = share; d.tell() }) }
		h, sound, err := d.means.Take(e, score, t.Sound, t.Held, along, opts, told)
		cancelled := e.Err() != nil
		return func() {
			if err == nil && !cancelled && t.Held == nil && !t.Early(score, h) {
				d.remember(t, opts, h)
			}
			d.judged(t, h, sound, err, cancelled)
		}
	})
	if along == nil {
		d.tell()
	}
}

// unseen is how long a hearing may take of which nothing is told, since drawing that it goes
// on would keep what it comes to from being drawn.
const unseen = 400 * time.Millisecond

func (d *Desk) judged(t *shelf.Take, h *finding.Hearing, sound *dsp.Heard, err error, cancelled bool) {
	d.Judging, d.hearing = false, nil
	switch {
	case cancelled:
		d.say(words.Say("desk.hearing.stopped"))
	case err != nil:
		d.fault(t.Trouble(err))
		if !t.Complete && t.Own() {
			t.Complete, t.Found = true, words.Say("desk.found.no-piece")
			d.Note(t)
		}
	default:
		if x := d.Shown; x != nil && x.Take.Made.Before(t.Made) {
			h.Rank(x.Hearing)
		}
		beside, early := t.Beside(d.Score, h), t.Early(d.Score, h)
		d.learn(t, h)
		d.Show(&shelf.Shown{Take: t, Hearing: h, Heard: sound, Beside: beside, Early: early})
		d.deliver(t, h, beside)
		if early {
			d.Result = &Result{Says: words.Say("desk.echo.early")} // and no round is judged by it
		} else {
			d.mended(t, h)
		}
		t.Said = d.Result.Says
		d.Note(t)
		if d.Work.Way == work.BringUp && t.Way == work.BringUp {
			d.Steps.Heard(d.Score.Piece, h, func(f *finding.Finding) bool { _, set := t.Reason(f); return set })
			d.Work.QPM = d.Steps.Tempo
		}
	}
	d.tell()
	if d.done != nil && !cancelled {
		d.done(h)
	}
	if t.Way == work.Echo && t.Own() && !cancelled {
		d.again()
	}
}

// Cancel ends the hearing of a take.
func (d *Desk) Cancel() { d.hearing.Stop() }

// Leave ends what goes on, because the window closes. The take so far stays on
// disk and is offered the next time.
func (d *Desk) Leave() {
	d.Cancel()
	d.EndMeasuring()
	d.EndMicrophoneTrial()
	d.StopExample()
	d.Listening.Close()
	d.Pieces.Leave()
	d.Writing.Leave()
	d.Pencil.PutAway()
	d.Stop()
	d.writeHeld()
	d.Await()
}
