package listening

import (
	"errors"

	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
)

// Host is the desk on which is listened. Its methods are called on the desk's goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Playing() bool         // an attempt goes on
	Hearing() bool         // a take is being heard
	Player() playback.Player

	Listened() *Take                                                // the take shown; nil for none
	Others() []Choice                                               // takes that could be heard in turn with it
	HearOther(sound string, then func(*Take, error)) *errand.Errand // hears one of them
}

// Choice is a take to be chosen.
type Choice struct{ Sound, Name string }

// Place is where the music is.
type Place struct {
	Measure int     // index into Piece.Measures; -1 for nowhere
	Share   float64 // of the measure gone by
}

// Listening plays takes back. It belongs to the desk's goroutine.
type Listening struct {
	Open    bool // somebody listens, or would
	Place   Place
	Of      string  // the name of the take that sounds
	Loop    bool    // over the measures First to Last
	Slowly  bool    // at the same pitch
	Line    bool    // the written line sounds along, softly
	Other   *Choice // the take in turn with it; nil for none
	Waiting bool    // for the other take to be heard

	First, Last int // measures of the loop

	host    Host
	of      *Take // that is listened to
	track   *track
	other   *track
	at      float64 // s of the recording of the take; where it goes on
	playing *errand.Errand
	waiting *errand.Errand
}

// New is one with nothing to listen to.
func New(h Host) *Listening { return &Listening{host: h, Place: Place{Measure: -1}} }

// Playing reports whether something sounds.
func (l *Listening) Playing() bool { return l.playing != nil }

// May reports whether there is a take to listen to.
func (l *Listening) May() bool {
	return l.host.Listened() != nil && !l.host.Playing() && !l.host.Hearing()
}

// From listens from a measure on, -1 for the beginning. Where the take is not about it, the
// desk says so.
func (l *Listening) From(measure int) {
	if !l.May() || !l.take() {
		return
	}
	at := l.track.begin
	if measure >= 0 {
		turns := l.track.turns(measure, measure)
		if len(turns) == 0 {
			l.host.Say(words.Say("desk.closer.elsewhere", "measure", l.of.Piece.Measures[measure].Number))
			l.host.Changed()
			return
		}
		at, _, _ = l.track.span(turns[0])
		if l.Loop && (measure < l.First || measure > l.Last) {
			l.Loop = false
		}
	}
	l.Open = true
	l.play(at)
}

// take lays the take shown out, where it is not yet.
func (l *Listening) take() bool {
	t := l.host.Listened()
	if l.of == nil || t.Hearing != l.of.Hearing {
		l.Close()
		l.of, l.track = t, lay(t)
		l.Last = len(t.Piece.Measures) - 1
	}
	if l.track == nil {
		l.host.Fault(words.Say("desk.listening.nothing"))
		l.host.Changed()
		return false
	}
	return true
}

// Range loops over some measures, and plays them; from the first to the last of the piece
// there is no loop.
func (l *Listening) Range(first, last int) {
	if !l.May() || !l.take() {
		return
	}
	l.First, l.Last, l.Loop = first, last, !l.of.Whole(first, last)
	turns := l.track.turns(first, last)
	if len(turns) == 0 {
		l.Loop = false
		return
	}
	l.Open = true
	at, _, _ := l.track.span(turns[0])
	l.play(at)
}

// Toggle plays, or stops what plays.
func (l *Listening) Toggle() {
	if l.Playing() {
		l.Stop()
		return
	}
	if l.May() && l.take() {
		l.Open = true
		l.play(l.at)
	}
}

// Neighbour goes on to the next measure, or the one before.
func (l *Listening) Neighbour(by int) {
	if l.track == nil {
		return
	}
	m := l.track.place(l.at).Measure + by
	if by < 0 && l.track.place(l.at).Share > 0.3 {
		m++ // first to the beginning of this one
	}
	l.From(max(0, min(len(l.of.Piece.Measures)-1, m)))
}

// SetLoop, SetSlowly and SetLine choose how it is played; what plays goes on so.
func (l *Listening) SetLoop(yes bool) {
	if l.Loop = yes; yes && l.track != nil {
		if m := l.track.place(l.at).Measure; m < l.First || m > l.Last || l.of.Whole(l.First, l.Last) {
			l.First, l.Last = m, m
		}
	}
	l.goOn()
}
func (l *Listening) SetSlowly(yes bool) { l.Slowly = yes; l.goOn() }
func (l *Listening) SetLine(yes bool)   { l.Line = yes; l.goOn() }

// goOn plays on from where it is, if it played.
func (l *Listening) goOn() {
	if l.Playing() {
		l.play(l.at)
		return
	}
	l.host.Changed()
}

// Others are the takes that can be heard in turn with the one listened to.
func (l *Listening) Others() []Choice { return l.host.Others() }

// InTurn plays another take in turn with it, measure by measure; "" for none.
func (l *Listening) InTurn(sound string) {
	l.waiting.Drop()
	l.waiting, l.Waiting, l.Other, l.other = nil, false, nil, nil
	for _, c := range l.host.Others() {
		if sound != "" && c.Sound == sound {
			l.Other = &c
		}
	}
	if l.Other == nil {
		l.goOn()
		return
	}
	l.Waiting = true
	l.host.Say(words.Say("desk.listening.waiting", "take", l.Other.Name))
	l.waiting = l.host.HearOther(sound, func(t *Take, err error) {
		l.waiting, l.Waiting = nil, false
		l.host.Say("")
		if err == nil {
			if l.other = lay(t); l.other == nil {
				err = words.Fault("desk.listening.nothing")
			}
		}
		if err != nil {
			l.Other = nil
			l.host.Fault(said.Sentence(err))
		}
		l.goOn()
	})
	l.host.Changed()
}

// Stop ends what plays; where it was stays.
func (l *Listening) Stop() {
	if l.playing == nil {
		return
	}
	l.playing.Drop()
	l.playing = nil
	l.host.Changed()
}

// Close is the end of listening.
func (l *Listening) Close() {
	was := l.Open || l.Waiting
	l.Stop()
	l.waiting.Drop()
	l.Open, l.Waiting, l.Other, l.Loop, l.Place, l.at = false, false, nil, false, Place{Measure: -1}, 0
	l.of, l.track, l.other, l.waiting, l.First, l.Last = nil, nil, nil, nil, 0, 0
	if was {
		l.host.Changed()
	}
}

// play plays from a moment of the recording on, in the background.
func (l *Listening) play(at float64) {
	l.playing.Drop()
	l.playing, l.at = nil, at
	from := l.host.Player()
	if from.Card == nil {
		l.host.Fault(words.Say("desk.play.no-loudspeaker"))
		l.host.Changed()
		return
	}
	l.host.Say("")
	l.Place, l.Of = l.track.place(at), l.track.Name
	p := &player{Player: from, legs: l.legs(at), times: 1, line: l.Line, reels: map[*track]*playback.Reel{}}
	if l.Slowly {
		p.times = slower
	}
	own := l.track
	l.playing = errand.Send(l.host.Post, func(e *errand.Errand) func() {
		p.tell = func(on *track, at float64) {
			e.Tell(func() {
				l.Place, l.Of = on.place(at), on.Name
				if on == own {
					l.at = at
				}
				l.host.Changed()
			})
		}
		err := p.play(e)
		return func() {
			if errors.Is(err, errElsewhere) {
				l.play(l.at)
				l.host.Say(words.Say("desk.listening.softer"))
				return
			}
			if l.playing = nil; err != nil { // it goes on from where it was
				l.host.Fault(said.Sentence(err))
			} else {
				l.at = own.begin
			}
			l.host.Changed()
		}
	})
	l.host.Changed()
}
