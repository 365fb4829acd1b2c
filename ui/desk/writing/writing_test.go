package writing_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sound"
	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/manuscript"
	"endpin/piece/notation"
	"endpin/piece/transcription"
	linewriting "endpin/piece/writing"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/score"
	"endpin/ui/desk/writing"
)

type host struct {
	said   string
	opened []string
	posted chan func()
	card   *sound.Card

	microphone *sound.Card
	taken      time.Duration
}

func (h *host) Post(f func())         { h.posted <- f }
func (h *host) Changed()              {}
func (h *host) Say(sentence string)   { h.said = sentence }
func (h *host) Fault(sentence string) { h.Say(sentence) }
func (h *host) Busy(string) bool      { return false }
func (h *host) Now() time.Time {
	h.taken += time.Second
	return time.Date(2026, 11, 30, 9, 0, 0, 0, time.UTC).Add(h.taken)
}
func (h *host) Player() playback.Player { return playback.Player{Card: h.card} }
func (h *host) Microphone() (*sound.Microphone, string, error) {
	if h.microphone == nil {
		return nil, "", errors.New("no microphone")
	}
	m, err := h.microphone.Microphone("")
	return m, "", err
}
func (h *host) Latency(*sound.Microphone, *sound.Loudspeaker) sound.Latency { return sound.Latency{} }
func (h *host) OpenWritten(path, _ string)                                  { h.opened = append(h.opened, path) }

func (h *host) pump(t *testing.T, until func() bool) {
	t.Helper()
	for end := time.After(time.Minute); !until(); {
		select {
		case f := <-h.posted:
			f()
		case <-end:
			t.Fatal("nothing more happened")
		}
	}
}

func laid(t *testing.T) (*host, *writing.Writing, writing.Means) {
	t.Helper()
	h := &host{posted: make(chan func(), 1000)}
	folder := t.TempDir()
	m := writing.Means{Folder: filepath.Join(folder, "written"), Journal: filepath.Join(folder, "writing.json")}
	return h, writing.New(h, m), m
}

func typed(w *writing.Writing, keys string) {
	for _, k := range keys {
		w.Press(manuscript.Key(k), manuscript.Held{})
	}
}

// What a crash leaves is the journal as it was written last: Leave only waits for that.
func TestAPageIsThereAgainAtTheNextStartWithItsHalfWrittenMeasure(t *testing.T) {
	_, w, m := laid(t)
	w.Do(func(p *manuscript.Manuscript) { p.SetTitle("Late Bus") })
	typed(w, "cdefg8a")
	was := w.Page.Piece()
	w.Leave()
	again := writing.New(&host{}, m)
	assert.Equal(t, was, again.Page.Piece())
	assert.Equal(t, "eighth", again.Page.Hand.Value)
	assert.False(t, again.Kept())
	again.Leave()
}

func TestAJournalThatCannotBeReadIsPutAsideAndSaid(t *testing.T) {
	_, w, m := laid(t)
	w.Leave()
	require.NoError(t, os.WriteFile(m.Journal, []byte(`{"page":{"endpin_page":1,"Bars":[{"Due":-1}]}}`), 0o600))
	h := &host{}
	w = writing.New(h, m)
	assert.Contains(t, h.said, "writing.json.unreadable")
	assert.Zero(t, w.Page.Notes())
	assert.FileExists(t, m.Journal+".unreadable")
}

func TestAPageIsKeptUnderItsTitleAndPlayedFrom(t *testing.T) {
	h, w, m := laid(t)
	w.Do(func(p *manuscript.Manuscript) { p.SetTitle("Late / Bus?") })
	w.Play()
	assert.Equal(t, "No note is written yet.", h.said)
	typed(w, "cdef")
	w.Play()
	path := filepath.Join(m.Folder, "Late Bus.musicxml")
	assert.Equal(t, []string{path}, h.opened)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	p, err := notation.Read(path, data)
	require.NoError(t, err)
	assert.Equal(t, "Late / Bus?", p.Title)
	assert.Len(t, p.Measures[0].Notes, 4)
	typed(w, "g")
	_, ok := w.Keep()
	require.True(t, ok)
	files, _ := os.ReadDir(m.Folder)
	assert.Len(t, files, 1, "the same page goes into the same file")
	w.Leave()
}

func TestNoFileOfAnotherPageIsWrittenOver(t *testing.T) {
	h, w, m := laid(t)
	w.Do(func(p *manuscript.Manuscript) { p.SetTitle("Late Bus") })
	typed(w, "cdef")
	path, _ := w.Keep()
	require.NoError(t, os.WriteFile(path, []byte("mine"), 0o600))
	typed(w, "g")
	second, ok := w.Keep()
	require.True(t, ok, h.said)
	assert.Equal(t, filepath.Join(m.Folder, "Late Bus 2.musicxml"), second)
	now, _ := os.ReadFile(path)
	assert.Equal(t, "mine", string(now))
	w.Fresh()
	w.Do(func(p *manuscript.Manuscript) { p.SetTitle("Late Bus") })
	typed(w, "c")
	third, _ := w.Keep()
	assert.Equal(t, filepath.Join(m.Folder, "Late Bus 3.musicxml"), third)
	w.Leave()
}

func TestAFreshPageKeepsTheOneThatLayThere(t *testing.T) {
	_, w, m := laid(t)
	typed(w, "cde")
	w.Fresh()
	assert.Zero(t, w.Page.Notes())
	assert.FileExists(t, filepath.Join(m.Folder, "Without a title.musicxml"))
	w.Leave()
}

func TestANoteThatTheInstrumentLacksIsSaidAsItIsWritten(t *testing.T) {
	h, w, _ := laid(t)
	typed(w, "e")
	assert.Empty(t, h.said)
	typed(w, "O")
	assert.Empty(t, h.said, "the lowest string")
	typed(w, "d")
	assert.Empty(t, h.said, "the nearest D that there is")
	typed(w, "O")
	assert.Contains(t, h.said, "D1 lies below the lowest note of the double bass, E1")
	w.SetInstrument(fingerboard.Instruments()[slices.IndexFunc(fingerboard.Instruments(), func(in fingerboard.Named) bool { return in.Word == "bass-c-extension" })])
	assert.Empty(t, h.said)
	w.Leave()
}

func TestAnOpenedPieceIsEditedAndItsFileStays(t *testing.T) {
	h, w, m := laid(t)
	file := filepath.Join("..", "..", "..", "testdata", "pieces", "lantern_row.abc")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := notation.Read(file, data)
	require.NoError(t, err)
	w.Edit(score.New(p, file))
	w.Page.Begin()
	w.Press(manuscript.Up, manuscript.Held{})
	path, ok := w.Keep()
	require.True(t, ok, h.said)
	assert.Equal(t, m.Folder, filepath.Dir(path))
	now, _ := os.ReadFile(file)
	assert.Equal(t, string(data), string(now))
	w.Leave()
}

func TestTheFingeringProposedIsPencilledIn(t *testing.T) {
	_, w, _ := laid(t)
	typed(w, "gabc")
	w.Do(func(m *manuscript.Manuscript) {
		m.Choose(piece.At{}, false)
		m.Finger("4")
		m.End()
	})
	w.Propose()
	fingers := 0
	for _, n := range w.Page.Bars[0].Notes {
		if n.Marks.Finger != "" {
			fingers++
		}
	}
	assert.Greater(t, fingers, 1)
	assert.Equal(t, "4", w.Page.Bars[0].Notes[0].Marks.Finger, "what stands there is kept")
	w.Page.Undo()
	assert.Empty(t, w.Page.Bars[0].Notes[3].Marks.Finger)
	w.Leave()
}

func TestWhatIsPlayedInBecomesAPageWhoseDoubtsAreSettledInOrder(t *testing.T) {
	h, _, m := laid(t)
	var asked transcription.Asked
	m.Transcribe = func(_ context.Context, path, _ string, a transcription.Asked, told func(float64)) (*transcription.Written, error) {
		told(0.5)
		asked = a
		if path == "none.wav" {
			return nil, errors.New("none.wav: only 2 notes are heard")
		}
		var line []linewriting.Note
		for i := range 8 {
			line = append(line, linewriting.Note{Start: piece.Ticks(i) * piece.Quarter, Length: piece.Quarter, MIDI: 43, Spelling: piece.Spelling{Step: "G", Octave: 3}})
		}
		p := linewriting.Page(line, linewriting.Frame{Time: piece.Time{Beats: 4, Unit: 4}, Staff: linewriting.StaffOf(fingerboard.DoubleBass())})
		return &transcription.Written{Piece: p, Doubts: []transcription.Doubt{
			{At: piece.At{Measure: 1, Note: 2}, About: transcription.OfRhythm, Chance: 0.4},
			{At: piece.At{Measure: 0, Note: 1}, About: transcription.OfPitch, Chance: 0.2},
		}}, nil
	}
	w := writing.New(h, m)
	typed(w, "cd")
	w.Take("none.wav")
	h.pump(t, func() bool { return !w.Busy() })
	assert.Contains(t, h.said, "only 2 notes")
	assert.Equal(t, 2, w.Page.Notes(), "and the page stays")
	w.AsSet = true
	w.Take("take.wav")
	assert.False(t, w.Press("e", manuscript.Held{}), "the page waits")
	h.pump(t, func() bool { return !w.Busy() })
	require.NotNil(t, asked.Time)
	assert.Equal(t, "8 notes are written down. 2 are in doubt, the most doubtful is chosen: change it, or Return says that it is right and goes on.", h.said)
	assert.Equal(t, piece.At{Measure: 1, Note: 2}, w.Page.At)
	data, _ := os.ReadFile(filepath.Join(m.Folder, "Without a title.musicxml"))
	assert.NotEmpty(t, data, "the page that lay there is kept")
	w.Press(manuscript.Return, manuscript.Held{})
	assert.Equal(t, piece.At{Measure: 0, Note: 1}, w.Page.At)
	w.Press("a", manuscript.Held{})
	assert.Empty(t, w.Page.Doubts(), "a note that was changed is settled")
	path, _ := w.Keep()
	data, _ = os.ReadFile(path)
	assert.NotContains(t, string(data), "<words>?</words>")
	w.Leave()
}

// What one plays oneself goes beside the page that was written of it, and is not kept for ever
// where no page came of it.
func TestWhatWasPlayedInIsKeptBesideItsPage(t *testing.T) {
	h, _, m := laid(t)
	heard := errors.New("only 2 notes are heard")
	m.Transcribe = func(context.Context, string, string, transcription.Asked, func(float64)) (*transcription.Written, error) {
		if heard != nil {
			return nil, heard
		}
		line := []linewriting.Note{{Length: 4 * piece.Quarter, MIDI: 43, Spelling: piece.Spelling{Step: "G", Octave: 3}}}
		return &transcription.Written{Piece: linewriting.Page(line, linewriting.Frame{Time: piece.Time{Beats: 4, Unit: 4}, Staff: linewriting.StaffOf(fingerboard.DoubleBass())})}, nil
	}
	w := writing.New(h, m)
	pretend := sound.NewPretend(8000)
	h.microphone = sound.New(pretend)
	recordings := func(of string) []string {
		all, err := filepath.Glob(filepath.Join(m.Folder, of, "*.wav"))
		require.NoError(t, err)
		return all
	}
	play := func() {
		w.PlayIn()
		for range 20000 {
			if w.Records >= 0.5 || !w.Busy() {
				break
			}
			if pretend.Ready(400) {
				pretend.Step(400)
			}
			select {
			case f := <-h.posted:
				f()
			case <-time.After(time.Millisecond):
			}
		}
		w.PlayIn()
		h.pump(t, func() bool { return !w.Busy() })
	}
	play()
	assert.Contains(t, h.said, "It is kept until you play in again or close the desk.")
	assert.Len(t, recordings("played in"), 1)
	heard = nil
	play()
	assert.Contains(t, h.said, "goes beside the page when you save it")
	assert.Len(t, recordings("played in"), 1, "the one before went")
	w.Do(func(p *manuscript.Manuscript) { p.SetTitle("Late Bus") })
	w.Keep()
	assert.Empty(t, recordings("played in"))
	assert.Equal(t, []string{filepath.Join(m.Folder, "Late Bus.wav")}, recordings(""))
	w.Fresh()
	w.Leave()
	assert.Len(t, recordings(""), 1)
}
