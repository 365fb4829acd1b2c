package desk

import (
	"errors"
	"sync"
	"syscall"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/said"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// run is an attempt with its sound: one goroutine reads, listens and writes the
// take to disk, another looks at what was heard so far.
type run struct {
	source  dsp.Source
	mic     *sound.Microphone // nil where something plays in its place
	speaker speaker
	without *voice.Without // takes a drone out again; nil for none
	meter   *sound.Meter   // nil where nobody listens
	attempt *attempt.Attempt
	take    *shelf.Take
	began   float64 // when the take's first sample was heard, s of the attempt; -1 before that
	rec     *tape.Recorder
	blocked bool              // no more can be written
	cued    *attempt.Cued     // of bowing silently; nil before they are asked for
	before  []finding.Finding // what stands under the measures until the player's turn

	stop chan struct{}
	once sync.Once
}

// Start begins an attempt at the work chosen.
func (d *Desk) Start() {
	if d.Running || d.Judging {
		return
	}
	d.StopPlaying()
	d.WriteHeld()
	d.say("")
	d.CutOff, d.Chosen.at = nil, 0
	d.EndMicrophoneTrial()
	r, err := d.begin()
	if err != nil {
		d.round = round{}
		d.Say(said.Sentence(err))
		return
	}
	if r.take != nil {
		r.take.Player, r.take.Instead = d.Settings.Player, r.mic == nil
		_ = r.take.Save() // it is written again with what was heard
	}
	if d.Work.Way == work.Echo {
		r.before = d.round.begin(d.Shown)
	}
	d.run, d.Running = r, true
	d.Live = r.live()
	go d.listen(r)
	d.tell()
}

// Stop ends the attempt; the take so far is kept and judged.
func (d *Desk) Stop() {
	d.round.on = false
	if d.run != nil {
		d.run.end()
	}
	d.tell()
}

func (r *run) end() { r.once.Do(func() { close(r.stop) }) }

func (r *run) close() {
	if r.mic != nil {
		r.mic.Close()
	}
	r.speaker.close()
	if r.rec != nil {
		r.rec.Close()
	}
}

const (
	blockSeconds = 0.01 // of sound at once
	tellSeconds  = 0.5  // between two tidings to the views where there is no news
	lookShare    = 12   // a look may take one twelfth of a core
)

// listen is the goroutine of an attempt.
func (d *Desk) listen(r *run) {
	rate := r.source.Rate()
	buf := make([]float32, max(1, int(blockSeconds*float64(rate))))
	seen := make(chan looked, 1)
	looking, every, told := false, 0.0, 0.0
	if d.means.Listening != nil {
		d.means.Listening()
	}
	var posted attempt.Live // that the views know of
	var trouble error
	for r.attempt.Phase() != attempt.Ended {
		select {
		case <-r.stop:
			r.attempt.Stop()
			continue
		case s := <-seen:
			looking, every = false, lookShare*s.took
			r.attempt.See(s.Seen)
		default:
		}
		r.keepTime()
		n, err := r.source.Read(buf)
		if err != nil {
			trouble = err
			break
		}
		r.attempt.Push(buf[:n])
		if r.rec != nil && r.attempt.Wanted() {
			if r.began < 0 {
				r.began = r.attempt.Time() - float64(n)/float64(rate)
			}
			r.rec.Write(buf[:n])
			if said := r.mindDisk(d.means.Folder); said != "" {
				d.means.Post(func() { d.Say(said) })
			}
		}
		if said := r.mendSpeaker(); said != "" {
			d.means.Post(func() { d.Say(said) })
		}
		if !looking {
			if look := r.attempt.Look(every); look != nil {
				looking = true
				go func() { seen <- timed(look, d.means.Now) }()
			}
		}
		live := r.live()
		if now := r.attempt.Time(); now-told >= tellSeconds || live.News(&posted) {
			told, posted = now, live
			loud := loudness(r.meter)
			d.means.Post(func() {
				if d.run == r {
					d.Live, d.Loud = live, loud
					d.tell()
				}
			})
		}
	}
	heard := r.attempt.Heard()
	lost := r.lost()
	r.close()
	d.means.Post(func() { d.ended(r, heard, lost, trouble) })
}

// mindDisk says in a sentence that the take can be written no more, or again; "" while
// nothing changes. Where no more can be held either, the take ends.
func (r *run) mindDisk(folder string) string {
	if r.rec.Full() {
		r.end()
	}
	err := r.rec.Err()
	if (err != nil) == r.blocked {
		return ""
	}
	if r.blocked = err != nil; r.blocked {
		if errors.Is(err, syscall.ENOSPC) {
			return words.Say("desk.take.full", "folder", folder)
		}
		return words.Say("desk.take.blocked", "folder", folder, "err", said.Bare(err))
	}
	return words.Say("desk.take.room")
}

// live is what a view needs to know, with what was found before in its place
// until it is the player's turn.
func (r *run) live() attempt.Live {
	l := r.attempt.Live()
	if !r.attempt.Wanted() {
		l.Findings = r.before
	}
	return l
}

// lost says in a sentence what the sound card or this computer lost, "" for
// nothing.
func (r *run) lost() string {
	if r.mic == nil {
		return ""
	}
	samples, reports := r.mic.Lost()
	seconds := float64(samples) / float64(r.mic.Rate())
	if r.take != nil {
		r.take.Lost, r.take.Reports = seconds, reports
	}
	switch {
	case samples > 0:
		return words.Say("desk.lost.computer", "seconds", words.Fixed(seconds, 1))
	case reports > 0:
		return words.Say("desk.lost.card")
	}
	return ""
}

// clicked has the take remember where the click lay.
func (r *run) clicked() {
	if r.mic != nil && r.speaker.out != nil && r.began >= 0 {
		at := r.attempt.Began() + r.attempt.Table().Turn - r.began
		r.take.Click = &at
	}
}

// ended puts an attempt away and has its take judged.
func (d *Desk) ended(r *run, heard bool, lost string, trouble error) {
	d.Running, d.run, d.Loud = false, nil, Loudness{}
	if trouble != nil {
		d.round.on = false
		d.say(said.Sentence(trouble))
	} else if lost != "" && heard {
		d.say(lost)
	}
	if r.rec != nil && r.rec.Err() != nil {
		d.round.on = false
		d.say(words.Say("desk.take.not-written", "err", r.rec.Err()))
		if r.take.Held = r.rec.Held(); r.take.Held != nil {
			d.say(r.take.Held.Say())
		}
	}
	switch {
	case r.take == nil:
		d.again()
	case !heard:
		r.take.Discard()
		d.round.unanswered++
		if d.Message == "" && !(d.round.on && d.round.unanswered < mostUnanswered) {
			d.round.on = false
			if r.began >= 0 { // else it never was the player's turn
				d.say(words.Say("desk.take.nothing"))
			}
		}
		if d.done != nil {
			d.done(nil)
		}
		d.again()
	default:
		d.round.unanswered = 0
		r.clicked()
		d.Takes = append([]*shelf.Take{r.take}, d.Takes...)
		d.judge(r.take)
	}
	d.tell()
}

// looked is what a look came to and how long it took, s.
type looked struct {
	attempt.Seen
	took float64
}

func timed(l *attempt.Look, now func() time.Time) looked {
	began := now()
	s := l.Judge()
	return looked{s, now().Sub(began).Seconds()}
}
