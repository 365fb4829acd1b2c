package writing

import (
	"bytes"
	"context"
	"image"
	"os"
	"time"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/dsp/voice"
	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/fingerboard"
	"endpin/piece/manuscript"
	"endpin/piece/transcription"
	"endpin/piece/words"
	"endpin/piece/writing"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Host is the desk that one writes at. Its methods are called on the desk's goroutine.
type Host interface {
	Post(func())
	Changed()
	Say(sentence string)
	Fault(sentence string) // likewise; what does not go, and the mend
	Busy(deed string) bool
	Now() time.Time
	Player() playback.Player
	Microphone() (m *sound.Microphone, instead string, err error)
	Latency(m *sound.Microphone, l *sound.Loudspeaker) sound.Latency // as it was measured, if it was
	OpenWritten(path, instrument string)                             // lays the piece in a file on the desk
}

// Means is what reaches into files; the folder empty, or the function nil, for none.
type Means struct {
	Folder  string // where pages are kept as MusicXML
	Journal string // the file of the page that lies here

	// Transcribe writes down what is played in a recording, for an instrument by its word.
	Transcribe func(ctx context.Context, path, instrument string, asked transcription.Asked, told func(share float64)) (*transcription.Written, error)
}

// Writing is the page on the desk. It belongs to the desk's goroutine.
type Writing struct {
	Page    *manuscript.Manuscript
	Picture string // of the page to write from, its file; "" for none
	Scan    image.Image
	Sounds  bool // the page sounds
	At      piece.At
	Hearing float64 // how much of a recording is heard, 0 to 1; below 0 while none is
	Records float64 // s of what is being played in; below 0 while nothing is

	AsSet bool // a recording is written down in the page's key, metre and tempo, else those are found
	Click bool // what is played in is played with a click, in the page's metre and tempo

	host    Host
	means   Means
	file    string // where the page was kept, "" where it was not yet
	kept    []byte // what was written there
	clean   bool   // nothing changed since
	sound   string // the file of what was played in that the page is of; "" for none
	spare   string // … that no page came of
	journal *journal
	playing *errand.Errand
	hearing *errand.Errand
	tape    *taping
}

// New lays out the page that lay here when the desk was left.
func New(h Host, m Means) *Writing {
	w := &Writing{host: h, means: m, Hearing: -1, Records: -1, clean: true}
	w.Page = empty(fingerboard.Instruments()[0])
	w.restore()
	return w
}

func empty(in fingerboard.Named) *manuscript.Manuscript {
	return manuscript.New(in.Word, writing.StaffOf(in.Instrument))
}

// Instrument is the one that the page is for.
func (w *Writing) Instrument() fingerboard.Named {
	all := fingerboard.Instruments()
	for _, in := range all {
		if in.Word == w.Page.Head.Instrument {
			return in
		}
	}
	return all[0]
}

// Strings are the names of its strings, the highest first.
func (w *Writing) Strings() (names []string) {
	for _, s := range w.Instrument().Strings {
		names = append(names, s.Name)
	}
	return names
}

// Press does what a key does; it reports whether it does something.
func (w *Writing) Press(k manuscript.Key, held manuscript.Held) bool {
	did := false
	w.Do(func(m *manuscript.Manuscript) { did = m.Press(k, held, w.Strings()) })
	return did
}

// Do changes the page, and keeps it against a crash.
func (w *Writing) Do(change func(*manuscript.Manuscript)) {
	if w.Busy() {
		return
	}
	w.Page.Lowest, w.Page.Highest = w.Instrument().Range()
	change(w.Page)
	w.clean = false
	w.note()
	w.host.Say("")
	if i, k := w.Page.At.Measure, w.Page.At.Note; i < len(w.Page.Bars) {
		b := w.Page.Bars[i]
		if says, off := w.Page.SayOff(i); off {
			w.host.Say(says.String())
		} else if k >= 0 && k < len(b.Notes) && !b.Notes[k].Rest {
			if says, is := w.Instrument().Beyond(b.Notes[k].MIDI, b.Number); is {
				w.host.Say(says.String())
			}
		}
	}
	w.host.Changed()
}

// Busy reports whether a recording is being heard or made, so that the page waits.
func (w *Writing) Busy() bool { return w.hearing != nil || w.tape != nil }

// SetInstrument has the page be for another.
func (w *Writing) SetInstrument(in fingerboard.Named) {
	w.Do(func(m *manuscript.Manuscript) { m.SetInstrument(in.Word, writing.StaffOf(in.Instrument)) })
}

// Loud writes how loud at the note.
func (w *Writing) Loud(text string) bool {
	ok := false
	w.Do(func(m *manuscript.Manuscript) { ok = m.Loud(text) })
	if !ok {
		w.host.Fault(words.Say("desk.writing.loud", "typed", words.Quoted(text)))
		w.host.Changed()
	}
	return ok
}

// Propose pencils in Endpin's own fingering where the hand moves: of the notes chosen, or
// all. Marks that stand there are kept.
func (w *Writing) Propose() {
	p := w.Page.Piece()
	if w.Page.Notes() == 0 {
		return
	}
	s := score.For(p, "", w.Instrument())
	marked := s.On.For(p).Marked(p, s.Line, s.Plan, fingerboard.Options{QPM: s.QPM()}, fingerboard.WhereTheHandMoves)
	w.Do(func(m *manuscript.Manuscript) {
		m.Pencil(func(a piece.At) (piece.Marks, bool) {
			return marked.Measures[a.Measure].Notes[a.Note].Marks, true
		})
	})
}

// Fresh begins an empty page. The one that lay here is kept before.
func (w *Writing) Fresh() {
	if w.Busy() || !w.put(empty(w.Instrument()), "") {
		return
	}
	w.host.Changed()
}

// Edit takes up a piece that was opened. The file that it came from stays as it is: what is
// written is kept as one of its own, unless it is one that was written here.
func (w *Writing) Edit(s *score.Score) {
	if w.Busy() {
		return
	}
	m := manuscript.Of(s.Piece, s.On.Word)
	file := ""
	if w.ours(s.File) {
		file = s.File
	}
	if !w.put(m, file) {
		return
	}
	if n := len(s.Piece.NotPlayed); n > 0 {
		w.host.Say(words.Say("desk.writing.left-out", "what", words.Sentences(s.Piece.NotPlayed...)))
	}
	w.host.Changed()
}

// put lays another page here, once the one that lay here is kept.
func (w *Writing) put(m *manuscript.Manuscript, file string) bool {
	w.StopSounding()
	w.host.Say("")
	if !w.clean && w.Page.Notes() > 0 {
		if _, ok := w.Keep(); !ok {
			return false
		}
	}
	w.dropSound()
	w.Page, w.file, w.kept, w.clean = m, file, nil, true
	if file != "" {
		w.kept, _ = os.ReadFile(file)
	}
	w.note()
	return true
}

// written is the page as MusicXML, with a question mark over each doubt.
func (w *Writing) written() ([]byte, error) {
	var b bytes.Buffer
	err := export.MusicXML(&b, w.Page.Piece(), export.Options{Questions: w.Page.Doubts()})
	return b.Bytes(), err
}

// Play keeps the page and lays it on the desk, to be played from.
func (w *Writing) Play() {
	if w.Busy() || w.host.Busy("piece") {
		return
	}
	if w.Page.Notes() == 0 {
		w.host.Say(words.Say("desk.writing.empty"))
		w.host.Changed()
		return
	}
	if path, ok := w.Keep(); ok {
		w.host.OpenWritten(path, w.Page.Head.Instrument)
	}
}

// Sound has the page sound from the note chosen on, what is chosen, or all; or it stops.
func (w *Writing) Sound() {
	if w.playing != nil {
		w.StopSounding()
		return
	}
	from := w.host.Player()
	if from.Card == nil {
		w.host.Fault(words.Say("desk.play.no-loudspeaker"))
		w.host.Changed()
		return
	}
	p := w.Page.Piece()
	notes, at := w.line(p)
	if len(notes) == 0 {
		return
	}
	w.Sounds, w.At = true, at[0]
	w.playing = errand.Send(w.host.Post, func(e *errand.Errand) func() {
		err := play(e, from, notes, func(s float64) {
			e.Tell(func() {
				now := w.At
				for i, n := range notes {
					if n.Onset <= s {
						now = at[i]
					}
				}
				if now != w.At { // the page is drawn anew for each note, and not each time that it is told
					w.At = now
					w.host.Changed()
				}
			})
		})
		return func() {
			w.Sounds, w.playing = false, nil
			if err != nil {
				w.host.Fault(said.Sentence(err))
			}
			w.host.Changed()
		}
	})
	w.host.Changed()
}

// StopSounding ends it.
func (w *Writing) StopSounding() {
	if w.playing != nil {
		w.playing.Drop()
		w.Sounds, w.playing = false, nil
		w.host.Changed()
	}
}

// line is what sounds, and of which notes it is: of several chosen those, else all from the
// one chosen on.
func (w *Writing) line(p *piece.Piece) (notes []voice.Note, at []piece.At) {
	line, _ := p.Line()
	from, to := w.Page.Range()
	some := w.Page.Some
	began := false
	now, zero := 0.0, 0.0
	last := piece.Ticks(0)
	qpm := float64(piece.Unhurried)
	for i := range line {
		e := &line[i]
		now += (e.Onset - last).Quarters() * 60 / qpm
		last = e.Onset
		if marked := p.TempoAt(e.Measure, p.Measures[e.Measure].Notes[e.Note].Start); marked > 0 {
			qpm = marked
		}
		a := piece.At{Measure: e.Measure, Note: e.Note}
		if some && !began && a != from && a.Before(from) {
			continue
		}
		if some && from != to && to.Before(a) {
			if began {
				break
			}
			continue
		}
		if !began {
			began, zero = true, now
		}
		notes = append(notes, voice.Note{Onset: now - zero, Length: e.Length.Quarters() * 60 / qpm, MIDI: float64(e.MIDI), Slurred: e.Slurred && len(notes) > 0})
		at = append(at, a)
	}
	return notes, at
}

// play sounds notes on the loudspeaker chosen, and tells how far it is, s.
func play(ctx context.Context, from playback.Player, notes []voice.Note, told func(float64)) error {
	speaker, err := from.Loudspeaker()
	if err != nil {
		return err
	}
	defer speaker.Close()
	rate := speaker.Rate()
	x := voice.Line(rate, notes, dsp.ReferenceA)
	s := speaker.Start(x, speaker.Next()+int64(playback.Soonest*float64(rate)))
	return playback.Out(ctx, speaker, s.At+int64(len(x)), []*sound.Playing{s}, func(now int64) {
		told(float64(now-s.At) / float64(rate))
	})
}

// Leave ends what goes on and writes what is not yet written, because the window closes.
func (w *Writing) Leave() {
	w.StopSounding()
	if !w.Busy() { // what is in the midst of being written down is offered when the desk is there again
		w.dropSpare()
	}
	w.hearing.Drop()
	w.hearing = nil
	w.StopPlayingIn()
	w.journal.close()
}

// Choose chooses a note, or all up to it. In a measure without any one writes on.
func (w *Writing) Choose(a piece.At, more bool) {
	if w.Busy() {
		return
	}
	if a.Note < 0 {
		w.Page.End()
	} else {
		w.Page.Choose(a, more)
	}
	w.host.Changed()
}
