package room

import (
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece/words"
	"endpin/ui/desk/said"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// speaker is the loudspeaker of an attempt: opened, kept in time with what is
// heard and, where it stops, opened again. Once the attempt goes on its goroutine
// alone uses it. Without one it goes on: the cursor leads.
type speaker struct {
	out   *sound.Loudspeaker // nil while there is none
	at    int64              // position in its sound of the first click
	delay delay

	// sounds are all that the attempt sounds at a rate of samples, and open opens
	// the same device again: what was chosen as the attempt began.
	sounds func(rate int) []timetable.Entry
	open   func() (*sound.Loudspeaker, error)

	opened chan *sound.Loudspeaker // gives one that was opened again, or nil; nil while nothing is tried
	found  *sound.Loudspeaker      // opened again, and waiting until it runs
	next   float64                 // second of the attempt at which it is tried again
}

const (
	tryAgain = 1.0 // s after a loudspeaker could not be opened, until it is tried again
	runs     = 0.5 // s for which one must have played: a device that sleeps takes a little, too
)

// openSpeaker opens the loudspeaker chosen.
func (m *Room) openSpeaker(r *run) {
	l, instead, err := m.Loudspeaker()
	if err != nil {
		m.host.Fault(said.Sentence(err))
		return
	}
	m.host.Add(instead)
	card := m.computer.Card
	r.speaker = speaker{out: l,
		sounds: func(rate int) []timetable.Entry { return r.asked.Sounds.Entries(rate, r.attempt.Table()) },
		open:   func() (*sound.Loudspeaker, error) { return card.Loudspeaker(l.Name) },
	}
	if r.mic != nil {
		r.speaker.delay = m.host.Chosen().delay(r.mic.Name, l.Name)
	}
}

// sound has the loudspeaker play all that belongs to the attempt, and a drone
// taken out of what the microphone hears.
func (r *run) sound() {
	s := &r.speaker
	rate := s.out.Rate()
	lead := timetable.LeadIn
	if asked := r.asked.Sounds; asked.HasDrone() {
		lead += timetable.DroneLeadIn
		if r.mic != nil {
			r.without = voice.NewWithout(r.source, asked.Drone, 0)
			r.source = r.without
		}
	}
	all := s.sounds(rate) // which takes a while, so before the place is chosen
	s.at = s.out.Next() + int64(lead*float64(rate))
	for _, x := range all {
		s.out.Start(x.Player, s.at+int64(x.At*float64(rate)))
	}
	// Until both devices tell the time, as if both had begun at once.
	r.attempt.Lead(float64(s.at) / float64(rate))
}

// keepTime relates the loudspeaker's time to the microphone's, and has the drone
// listened for by what sounds now.
func (r *run) keepTime() {
	if r.mic != nil && r.speaker.out != nil {
		if at, ok := r.mic.Heard(r.speaker.out, r.speaker.at, r.speaker.delay.Latency); ok {
			r.attempt.Lead(at)
		}
	}
	if r.without == nil {
		return
	}
	now := r.attempt.Time() - r.attempt.Began()
	switch t := r.attempt.Table(); {
	case now < -timetable.LeadIn/2:
		r.without.Heed(voice.Learn)
	case r.attempt.Work().Way == work.Echo && now >= t.Start && now < t.End+timetable.LeadIn:
		r.without.Heed(voice.Hold) // the line may sound the drone's pitch
	default:
		r.without.Heed(voice.Follow)
	}
}

// mendSpeaker opens a loudspeaker that stopped again and again until it plays, and
// has it go on where the beat is by now. It gives what to say of it, "" for
// nothing. Another device is not taken in its place before the next attempt: who
// wore headphones does not want the room to sound.
func (r *run) mendSpeaker() (tell string) {
	s := &r.speaker
	switch {
	case s.open == nil: // there was none, or it stays silent
	case s.out != nil:
		err := s.out.Err()
		if err == nil {
			return ""
		}
		gone := s.out
		s.out, tell = nil, said.Sentence(err)
		s.try(gone)
	case s.opened != nil:
		select {
		case s.found = <-s.opened:
			s.opened, s.next = nil, r.attempt.Time()+tryAgain
		default:
		}
	case s.found != nil:
		if s.found.Err() != nil {
			s.try(s.found)
		} else if at, ok := r.place(s.found); ok {
			s.play(at)
			return words.Say("desk.loudspeaker.again", "name", words.Quoted(s.out.Name))
		}
	case r.attempt.Time() >= s.next:
		s.try(nil)
	}
	return tell
}

// try closes what stopped and opens it again, beside the attempt: either may take
// its time.
func (s *speaker) try(gone *sound.Loudspeaker) {
	opened := make(chan *sound.Loudspeaker, 1)
	s.found, s.opened = nil, opened
	go func() {
		if gone != nil {
			gone.Close()
		}
		l, err := s.open()
		if err != nil {
			l = nil
		}
		opened <- l
	}()
}

// place is where in a loudspeaker's sound the first click would have been for the
// beat to go on as it does. It is not ok before the loudspeaker runs.
func (r *run) place(l *sound.Loudspeaker) (at int64, ok bool) {
	sounding := l.Sounding()
	if float64(sounding) < runs*float64(l.Rate()) {
		return 0, false
	}
	if r.mic != nil {
		if at, ok := r.mic.Position(l, r.attempt.Began(), r.speaker.delay.Latency); ok {
			return at, true
		}
	}
	return sounding - int64((r.attempt.Time()-r.attempt.Began())*float64(l.Rate())), true
}

// play has the loudspeaker that was opened again go on.
func (s *speaker) play(at int64) {
	s.out, s.at, s.found = s.found, at, nil
	rate := float64(s.out.Rate())
	for _, x := range s.sounds(s.out.Rate()) {
		s.out.Join(x.Player, at+int64(x.At*rate))
	}
}

// close waits for what is being opened.
func (s *speaker) close() {
	if s.opened != nil {
		s.found, s.opened = <-s.opened, nil
	}
	for _, l := range []*sound.Loudspeaker{s.out, s.found} {
		if l != nil {
			l.Close()
		}
	}
}
