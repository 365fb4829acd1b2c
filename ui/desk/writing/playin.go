package writing

import (
	"io"
	"os"
	"path/filepath"
	"slices"

	"endpin/dsp/sound"
	"endpin/piece/manuscript"
	"endpin/piece/transcription"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/said"
	"endpin/ui/desk/tape"
)

// asked is what is known before a recording is written down.
func (w *Writing) asked() (a transcription.Asked) {
	b := w.Page.Here()
	t, k := b.Time, b.Key
	if w.AsSet {
		a.Time, a.Key, a.QPM = &t, &k, w.Page.Tempo()
	}
	return a
}

// Take writes down what is played in a recording, in the background: a page of its own, in
// whose doubts one is led. The page that lay here is kept before.
func (w *Writing) Take(path string) { w.take(path, w.asked(), func(_, _ bool) string { return "" }) }

// take writes down a recording; after does what is to be done with it, as a page came of it or
// not, and gives what to say of that, where the file is named already or is not.
func (w *Writing) take(path string, asked transcription.Asked, after func(page, named bool) string) {
	if w.Busy() || w.means.Transcribe == nil || w.host.Busy("piece") {
		return
	}
	w.StopSounding()
	w.host.Say("")
	w.Hearing = 0
	instrument, transcribe := w.Page.Head.Instrument, w.means.Transcribe
	w.hearing = errand.Send(w.host.Post, func(e *errand.Errand) func() {
		written, err := transcribe(e, path, instrument, asked, func(share float64) {
			e.Tell(func() { w.Hearing = share; w.host.Changed() })
		})
		stopped := e.Err() != nil
		return func() {
			w.hearing, w.Hearing = nil, -1
			switch {
			case stopped:
				w.host.Say(sentences(words.Say("desk.hearing.stopped"), after(false, false)))
			case err != nil:
				w.host.Fault(sentences(said.Sentence(err), after(false, true)))
			default:
				w.heard(written, after)
			}
			w.host.Changed()
		}
	})
	w.host.Changed()
}

func (w *Writing) heard(written *transcription.Written, after func(page, named bool) string) {
	title, composer := w.Page.Head.Title, w.Page.Head.Composer
	if w.Page.Notes() > 0 { // those of another page
		title, composer = "", ""
	}
	m := manuscript.Heard(written, w.Page.Head.Instrument)
	if !w.put(m, "") {
		return
	}
	m.Head.Title, m.Head.Composer = title, composer
	w.clean = false
	lies := after(true, false)
	w.note()
	notes := words.Many("desk.writing.notes", m.Notes())
	says := []string{notes.String()}
	if n := len(m.Doubts()); n > 0 {
		says[0] = words.Many("desk.writing.doubts", n, "notes", notes).String()
	}
	for _, why := range written.Said {
		says = append(says, why.String())
	}
	w.host.Say(sentences(append(says, lies)...))
}

// sentences are those that say something.
func sentences(all ...string) string {
	return words.Sentences(slices.DeleteFunc(all, func(s string) bool { return s == "" })...).String()
}

// clicked is what is known of what is played with the click.
func (w *Writing) clicked() transcription.Asked {
	a := w.asked()
	t := w.Page.Here().Time
	a.Time, a.QPM = &t, w.Paced()
	return a
}

// CancelHearing ends the hearing of a recording.
func (w *Writing) CancelHearing() { w.hearing.Stop() }

// taping is a recording that is being made.
type taping struct {
	mic     *sound.Microphone
	speaker *sound.Loudspeaker // that the click sounds on; nil for none
	click   int64              // the position on it of the click's first beat
	latency sound.Latency      // of both, as it was measured
	path    string
	asked   transcription.Asked
}

func (t *taping) close() {
	t.mic.Close()
	if t.speaker != nil {
		t.speaker.Close()
	}
}

// mostPlayedIn is the longest that is recorded, s.
const mostPlayedIn = 15 * 60

// PlayIn records what is played until it is asked again; then it is written down.
func (w *Writing) PlayIn() {
	if w.tape != nil {
		w.StopPlayingIn()
		return
	}
	if w.Busy() || w.means.Transcribe == nil || w.means.Folder == "" || w.host.Busy("piece") {
		return
	}
	w.StopSounding()
	mic, instead, err := w.host.Microphone()
	if err != nil {
		w.host.Fault(said.Sentence(err))
		w.host.Changed()
		return
	}
	fail := func(err error) {
		mic.Close()
		w.host.Fault(said.Sentence(err))
		w.host.Changed()
	}
	w.dropSpare()
	folder := w.playedIn()
	if err := os.MkdirAll(folder, 0o700); err != nil {
		fail(err)
		return
	}
	path := filepath.Join(folder, w.host.Now().Format("2006-01-02 15.04.05")+".wav")
	rec, err := tape.New(tape.NewFile, path, mic.Rate())
	if err != nil {
		fail(err)
		return
	}
	t := &taping{mic: mic, path: path, asked: w.asked()}
	if w.Click {
		if t.speaker, t.click, err = w.clicking(); err != nil {
			_ = rec.Close()
			_ = os.Remove(path) // nothing was played
			fail(err)
			return
		}
		t.asked, t.latency = w.clicked(), w.host.Latency(mic, t.speaker)
	}
	w.tape, w.Records, w.spare = t, 0, path
	w.note() // it is known after a crash
	w.host.Say(instead)
	go w.record(t, rec)
	w.host.Changed()
}

func (w *Writing) record(t *taping, rec *tape.Recorder) {
	rate := float64(t.mic.Rate())
	buf := make([]float32, int(rate/4))
	seconds := 0.0
	var trouble error
	for seconds < mostPlayedIn {
		n, err := t.mic.Read(buf)
		rec.Write(buf[:n])
		seconds += float64(n) / rate
		now := seconds
		w.host.Post(func() {
			if w.tape == t {
				w.Records = now
				w.host.Changed()
			}
		})
		if err != nil {
			if err != io.EOF {
				trouble = err
			}
			break
		}
		if rec.Full() {
			break
		}
	}
	t.asked.Click = t.clicked()
	t.close()
	if err := rec.Close(); err != nil && trouble == nil {
		trouble = err
	}
	w.host.Post(func() {
		if w.tape != t {
			return
		}
		w.tape, w.Records = nil, -1
		if trouble != nil {
			w.host.Fault(said.Sentence(trouble))
			w.host.Changed()
		}
		if seconds > 0 {
			w.take(t.path, t.asked, func(page, named bool) string { return w.played(t.path, page, named) })
		} else {
			w.dropSpare() // nothing was played
		}
	})
}

// StopPlayingIn ends the recording; what was recorded is written down.
func (w *Writing) StopPlayingIn() {
	if w.tape != nil {
		w.tape.mic.Close() // what was heard before is still read
	}
}
