package desk

import (
	"context"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/closelook"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
	"endpin/ui/desk/weeks"
	"endpin/ui/desk/work"
)

// Score is the piece on the desk.
type Score = score.Score

// NewScore lays a piece on it.
func NewScore(p *piece.Piece, file string) *Score { return score.New(p, file) }

// Desk is everything on the desk. Its fields are read by views and changed by
// its methods, on one goroutine.
type Desk struct {
	Score    *Score
	Work     work.Work
	Settings Settings
	Takes    []*Take // the newest first
	CutOff   *Take   // a take that the program was cut off in, to be offered; nil for none

	Running bool // an attempt goes on
	Live    Live // of the attempt going on
	Loud    Loudness

	Judging bool    // a take is being heard
	Heard   float64 // how much of it so far, 0 to 1; -1 for not known

	Shown *Shown // the take whose findings stand on the page; nil for none
	Chosen
	Message string // one sentence; empty for nothing to say. Say alone sets it
	Steps   Steps  // of a bring-up

	closelook.Glass // the closer look
	*weeks.Keeper

	means   Means
	kept    Settings // as they are on disk: without what holds for this time only
	changed []func()
	run     *run
	round   round // of an echo

	trial     *trial    // the microphone, open to see its level
	measuring measuring // of the delay

	cancel context.CancelFunc
	taps   taps
	cued   cued
	done   func(*finding.Hearing)

	judging *Take // the one being heard
}

// Shown is a take with all that was heard in it.
type Shown struct {
	Take    *Take
	Hearing *finding.Hearing
	Heard   *dsp.Heard
	Beside  finding.ClickOffset // where the player stood beside the click
}

// New sets out a desk with a piece on it.
func New(s *Score, m Means) *Desk {
	if m.Now == nil {
		m.Now = time.Now
	}
	d := &Desk{Score: s, means: m, Settings: DefaultSettings()}
	d.Glass, d.Keeper = closelook.New(host{d}), weeks.NewKeeper(host{d})
	if m.Settings != "" {
		var err error
		if d.Settings, err = LoadSettings(m.Settings); err != nil {
			d.say(err.Error())
		}
	}
	d.kept = d.Settings
	d.Work = work.Work{Way: work.PlayAlong, QPM: s.QPM(), CountIn: d.Settings.CountIn, Silence: d.Settings.Silence, Last: len(s.Piece.Measures) - 1}
	if m.Folder != "" {
		d.Takes = ownTakes(s, Takes(m.Folder))
	}
	for _, t := range d.Takes {
		if !t.Complete && same(t.Piece, s.File) {
			d.CutOff = t
			break
		}
	}
	return d
}

func same(a, b string) bool {
	x, _ := filepath.Abs(a)
	y, _ := filepath.Abs(b)
	return a == b || x == y
}

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
	d.Work.Way = w
	if w == work.BringUp {
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
		d.Say(said.Typed(words.Told(err)))
		return err
	}
	d.say("")
	d.SetRange(first, last)
	return nil
}

// Range is the range as it would be typed.
func (d *Desk) Range() string { return d.Score.Range(d.Work.First, d.Work.Last) }

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
		d.Say(err.Error())
		return err
	}
	d.say("")
	d.SetQPM(qpm)
	return nil
}

// Tap is one tap of the tempo.
func (d *Desk) Tap() {
	if qpm, ok := d.taps.tap(d.means.Now()); ok {
		d.SetQPM(qpm)
	}
}

// Say puts one sentence on the desk; empty takes away what was said.
func (d *Desk) Say(sentence string) {
	d.say(sentence)
	d.tell()
}

// say is Say in the middle of a change that is told at its end.
func (d *Desk) say(sentence string) { d.Message = sentence }

// add is say behind what was said already.
func (d *Desk) add(sentence string) { d.say(said.Joined(d.Message, sentence)) }

// ForNow changes settings for this time only: they are not remembered.
func (d *Desk) ForNow(f func(*Settings)) {
	f(&d.Settings)
	d.Settings.mend()
}

// Change changes the settings and remembers them.
func (d *Desk) Change(f func(*Settings)) {
	bow := d.Settings.Bow()
	f(&d.Settings)
	f(&d.kept)
	d.Settings.mend()
	d.kept.mend()
	if d.Settings.Bow() != bow {
		d.stepsAnew() // slow enough for other bows
	}
	d.Steps.choose(d.Settings)
	d.Work.CountIn, d.Work.Silence = d.Settings.CountIn, d.Settings.Silence
	if d.means.Settings != "" {
		if err := d.kept.Save(d.means.Settings); err != nil {
			d.say(words.Say("desk.settings.not-kept", "err", err))
		}
	}
	d.tell()
}

// Again opens a take of the list.
func (d *Desk) Again(t *Take) {
	if d.Running || d.Judging {
		return
	}
	d.CutOff = nil
	d.say("")
	d.judge(t)
}

// judge hears a take in the background by the code of `endpin hear`.
func (d *Desk) judge(t *Take) { d.judgeBy(t, d.optionsOf(t)) }

// optionsOf are what a take is judged by.
func (d *Desk) optionsOf(t *Take) finding.Options {
	opts := d.Settings.Judging()
	opts.Measures = t.Measures
	if t.kept {
		opts.QPM = t.QPM
	}
	return opts
}

func (d *Desk) judgeBy(t *Take, opts finding.Options) {
	ctx, cancel := context.WithCancel(context.Background())
	d.Judging, d.judging, d.Heard, d.cancel = true, t, 0, cancel
	score := d.Score
	told := func(share float64) { d.means.Post(func() { d.Heard = share; d.tell() }) }
	go func() {
		h, sound, err := d.hear(ctx, score, t, opts, told)
		cancelled := ctx.Err() != nil
		d.means.Post(func() {
			if err == nil && !cancelled && t.held == nil {
				d.remember(t, opts, h)
			}
			d.judged(t, h, sound, err, cancelled)
		})
	}()
	d.tell()
}

// hear hears a take, from memory what lies in it.
func (d *Desk) hear(ctx context.Context, s *Score, t *Take, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
	if t.held == nil || d.means.HearSound == nil {
		return d.means.Hear(ctx, s, t.Sound, o, told)
	}
	wav, err := t.held.Open()
	if err != nil {
		return nil, nil, err
	}
	defer wav.Close()
	return d.means.HearSound(ctx, s, t.Sound, wav, o, told)
}

func (d *Desk) judged(t *Take, h *finding.Hearing, sound *dsp.Heard, err error, cancelled bool) {
	d.cancel()
	d.Judging, d.cancel = false, nil
	switch {
	case cancelled:
		d.say(words.Say("desk.hearing.stopped"))
	case err != nil:
		d.say(t.trouble(err))
		if !t.Complete && t.kept {
			t.Complete, t.Found = true, words.Say("desk.found.no-piece")
			d.keep(t)
		}
	default:
		d.Shown = &Shown{Take: t, Hearing: h, Heard: sound, Beside: clickOffset(d.Score, t, h)}
		if d.Message == "" {
			d.say(d.Shown.Beside.Say())
		}
		t.Complete, t.Seconds, t.Found, t.Heard = true, h.Duration, found(h, t.Dismissed), h.TempoHeard
		d.list(t)
		d.keep(t)
		if d.Work.Way == work.BringUp && t.Way == work.BringUp {
			d.Steps.heard(h, t)
			d.Work.QPM = d.Steps.Tempo
		}
	}
	d.tell()
	if d.done != nil && !cancelled {
		d.done(h)
	}
	if t.Way == work.Echo && t.kept && !cancelled {
		d.again()
	}
}

// trouble is what an error in hearing a take comes to. Where a take of the desk's
// own lies is nothing that its player chose: it goes without the path.
func (t *Take) trouble(err error) string {
	if why, its := words.Reason(err, t.Sound); its && t.kept {
		return said.Typed(why)
	}
	return said.Sentence(err)
}

func (d *Desk) keep(t *Take) {
	if err := t.save(); err != nil && t.held == nil { // of a full disk was told already
		d.say(words.Say("desk.take.not-kept", "err", err))
	}
}

// Cancel ends the hearing of a take.
func (d *Desk) Cancel() {
	if d.cancel != nil {
		d.cancel()
	}
}

// Dismiss puts a finding of the take shown aside, with a reason that is kept;
// an empty reason takes it back.
func (d *Desk) Dismiss(i int, reason string) {
	if d.Shown == nil || i < 0 || i >= len(d.Shown.Hearing.Findings) {
		return
	}
	f, t := &d.Shown.Hearing.Findings[i], d.Shown.Take
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
	t.Found = found(d.Shown.Hearing, kept)
	d.keep(t)
	d.tell()
}

// Dismissed gives the reason for which finding i of the take shown was dismissed.
func (d *Desk) Dismissed(i int) (reason string, ok bool) {
	return d.Shown.Take.dismissed(&d.Shown.Hearing.Findings[i])
}

// Leave ends what goes on, because the window closes. The take so far stays on
// disk and is offered the next time.
func (d *Desk) Leave() {
	d.Cancel()
	d.EndMeasuring()
	d.EndMicrophoneTrial()
	d.Stop()
	d.writtenAfterAll()
	d.Await()
}
