package room

import (
	"errors"
	"sync"
	"syscall"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/words"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/said"
	"endpin/ui/desk/tape"
)

// run is an attempt with its sound: one goroutine reads, listens and writes to the tape,
// another looks at what was heard so far.
type run struct {
	asked   Asked
	source  dsp.Source
	mic     *sound.Microphone // nil where something plays in its place
	speaker speaker
	without *voice.Without // takes a drone out again; nil for none
	meter   *sound.Meter   // nil where nobody listens
	attempt *attempt.Attempt
	rec     *tape.Recorder
	along   *ear.Along
	began   float64       // when the tape's first sample was heard, s of the attempt; -1 before that
	blocked bool          // no more can be written
	cued    *attempt.Cued // of bowing silently; nil before they are asked for
	seen    chan looked   // what a look came to
	looking bool          // one goes on
	every   float64       // s until the next may begin
	told    float64       // s at which the views were told last
	posted  attempt.Live  // that the views know of

	stop chan struct{}
	once sync.Once
}

// Played is what came of an attempt.
type Played struct {
	Heard   bool       // the instrument has sounded
	Turn    bool       // the player's turn had come
	Click   *float64   // when the first click of the player's turn was heard, s of the tape; nil for not known
	Lost    float64    // s of sound that are silent on the tape
	Reports int64      // times that the sound card told of a loss besides
	Held    *tape.Held // what of the tape could not be written; nil for nothing
	Along   *ear.Along // what was heard of the tape while it was played; nil for nothing
	Err     error      // what ended it: a device that went away; nil where it came to its end
	Disk    error      // what kept the tape from being written; nil for nothing
}

// Trouble is the sentence about what went wrong, the worst of it; "" for nothing.
func (p *Played) Trouble() string {
	switch {
	case p.Held != nil:
		return p.Held.Say()
	case p.Disk != nil:
		return words.Say("desk.take.not-written", "err", p.Disk)
	case p.Err != nil:
		return said.Sentence(p.Err)
	case p.Heard && p.Lost > 0:
		return words.Say("desk.lost.computer", "seconds", words.Fixed(p.Lost, 1))
	case p.Heard && p.Reports > 0:
		return words.Say("desk.lost.card")
	}
	return ""
}

func (r *run) end() { r.once.Do(func() { close(r.stop) }) }

func (r *run) close() {
	if r.mic != nil {
		r.mic.Close()
	}
	r.speaker.close()
	r.along.End()
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
func (m *Room) listen(r *run, ended func(Played)) {
	if m.computer.Listening != nil {
		m.computer.Listening()
	}
	buf := make([]float32, max(1, int(blockSeconds*float64(r.source.Rate()))))
	var trouble error
	for r.goesOn() {
		r.keepTime()
		n, err := r.source.Read(buf)
		if err != nil {
			trouble = err
			break
		}
		r.attempt.Push(buf[:n])
		m.tell(r.keep(buf[:n]))
		m.tell(r.mendSpeaker())
		r.look()
		m.show(r)
	}
	p := Played{Heard: r.attempt.Heard(), Turn: r.began >= 0, Click: r.click(), Err: trouble}
	if r.mic != nil {
		lost, reports := r.mic.Lost()
		p.Lost, p.Reports = float64(lost)/float64(r.mic.Rate()), reports
	}
	r.close()
	if r.rec != nil {
		p.Disk, p.Held, p.Along = r.rec.Err(), r.rec.Held(), r.along
	}
	m.host.Post(func() {
		m.Running, m.run, m.Loud = false, nil, Loudness{}
		ended(p)
	})
}

// goesOn reports whether an attempt goes on, which may have been stopped.
func (r *run) goesOn() bool {
	select {
	case <-r.stop:
		r.attempt.Stop()
	default:
	}
	return r.attempt.Phase() != attempt.Ended
}

// tell says a sentence of an attempt going on, if there is one.
func (m *Room) tell(sentence string) {
	if sentence != "" {
		m.host.Post(func() { m.host.Fault(sentence); m.host.Changed() })
	}
}

// show gives the views what is new.
func (m *Room) show(r *run) {
	live, now := r.live(), r.attempt.Time()
	if now-r.told < tellSeconds && !live.News(&r.posted) {
		return
	}
	r.told, r.posted = now, live
	loud := loudness(r.meter)
	m.host.Post(func() {
		if m.run == r {
			m.Live, m.Loud = live, loud
			m.host.Changed()
		}
	})
}

// keep writes to the tape what belongs to it, and says that it can be written no more,
// or again; "" while nothing changes. Where no more can be held either, the attempt ends.
func (r *run) keep(block []float32) string {
	if r.rec == nil || !r.attempt.Wanted() {
		return ""
	}
	if r.began < 0 {
		r.began = r.attempt.Time() - float64(len(block))/float64(r.source.Rate())
	}
	r.along.Write(block)
	if r.rec.Write(block); r.rec.Full() {
		r.end()
	}
	err := r.rec.Err()
	if (err != nil) == r.blocked {
		return ""
	}
	switch r.blocked = err != nil; {
	case !r.blocked:
		return words.Say("desk.take.room")
	case errors.Is(err, syscall.ENOSPC):
		return words.Say("desk.take.full", "folder", r.asked.Folder)
	}
	return words.Say("desk.take.blocked", "folder", r.asked.Folder, "err", said.Bare(err))
}

// looked is what a look came to and how long it took, s.
type looked struct {
	attempt.Seen
	took float64
}

// look takes in what the last look came to, and judges anew beside the sound what was
// heard so far, where that can tell something new.
func (r *run) look() {
	select {
	case s := <-r.seen:
		r.looking, r.every = false, lookShare*s.took
		r.attempt.See(s.Seen)
	default:
	}
	if r.looking {
		return
	}
	if look := r.attempt.Look(r.every); look != nil {
		r.looking = true
		go func() {
			began := time.Now()
			s := look.Judge()
			r.seen <- looked{s, time.Since(began).Seconds()}
		}()
	}
}

// live is what a view needs to know, with what was found before in its place
// until it is the player's turn.
func (r *run) live() attempt.Live {
	l := r.attempt.Live()
	if !r.attempt.Wanted() {
		l.Findings = r.asked.Before
	}
	return l
}

// click is where the click lay on the tape, where that is known.
func (r *run) click() *float64 {
	if r.mic == nil || r.speaker.out == nil || r.began < 0 {
		return nil
	}
	at := r.attempt.Began() + r.attempt.Table().Turn - r.began
	return &at
}
