package assigned

import (
	"context"
	"io"

	"endpin/dsp/sound"
	"endpin/piece/homework"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Host is the desk that homework lies on. Its methods are called on the desk's goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Score() *score.Score
	Playing() bool                   // somebody plays
	Player() playback.Player         // plays recordings
	SetOwner(player string)          //
	Marked() func() (Marked, error)  // the piece as it is marked on the desk; called in the background
	ShownSound() string              // of the take on the page, its file; "" for none
	HandInShown(path, player string) // writes the homework with that take

	// Write has a file written in the background.
	Write(path string, write func(io.Writer) error)
}

// Marked is a file of music as it is marked on the desk.
type Marked struct {
	File  []byte // nil where it is marked as it lies on disk
	Alone bool   // it holds the one part alone
}

// Means are what reaches into files; either may be nil.
type Means struct {
	// Example opens the teacher's own recording that lies in a file of homework.
	Example func(homework string) (playback.Recording, error)

	// WriteHomework writes the piece in a file as homework, with a recording; "" for none.
	// What stands in marked goes before the file, where it is not nil.
	WriteHomework func(to io.Writer, pieceFile string, marked []byte, h homework.Homework, example string) error
}

// Assigned is the homework on the desk. It belongs to the desk's goroutine.
type Assigned struct {
	host    Host
	means   Means
	example *errand.Errand // the teacher's recording, playing; nil for none
}

// New sets it out.
func New(h Host, m Means) *Assigned { return &Assigned{host: h, means: m} }

// WriteHomework writes homework of the piece on the desk as it is marked there and fingered,
// in the background, with a recording as the teacher's own; "" for none.
func (a *Assigned) WriteHomework(path string, h homework.Homework, example string) {
	file, marked := a.host.Score().File, a.host.Marked()
	a.host.Write(path, func(to io.Writer) error {
		m, err := marked()
		if err != nil {
			return err
		}
		if m.Alone {
			h.Part = ""
		}
		return a.means.WriteHomework(to, file, m.File, h, example)
	})
}

// MayHandIn says why nothing can be handed in now; "" where it can.
func (a *Assigned) MayHandIn() string {
	switch {
	case a.host.Score().Homework == nil:
		return words.Say("desk.homework.none")
	case a.host.ShownSound() == "":
		return words.Say("desk.homework.no-take")
	}
	return ""
}

// TakeShown is the sound of the take on the page; "" for none.
func (a *Assigned) TakeShown() string { return a.host.ShownSound() }

// HandIn writes the homework on the desk with the take shown, as a player's, in the
// background. The desk becomes that player's where that is wanted.
func (a *Assigned) HandIn(path, player string, owns bool) {
	if a.MayHandIn() != "" {
		return
	}
	if owns {
		a.host.SetOwner(player)
	}
	a.host.HandInShown(path, player)
}

// longestExample is how much of a teacher's recording is played, s.
const longestExample = 300

// Example reports whether the homework on the desk brings the teacher's own recording,
// and whether that plays.
func (a *Assigned) Example() (there, plays bool) {
	h := a.host.Score().Homework
	return h != nil && h.Example != "" && a.means.Example != nil, a.example != nil
}

// PlayExample plays the teacher's own recording in the background, or ends it.
func (a *Assigned) PlayExample() {
	if there, plays := a.Example(); !there || plays || a.host.Playing() {
		a.StopExample()
		return
	}
	from := a.host.Player()
	from.Open = a.means.Example
	file := a.host.Score().File
	a.host.Say("")
	a.example = errand.Send(a.host.Post, func(e *errand.Errand) func() {
		err := play(e, from, file)
		return func() {
			if a.example = nil; err != nil {
				a.host.Fault(said.Sentence(err))
			}
			a.host.Changed()
		}
	})
	a.host.Changed()
}

// StopExample ends it.
func (a *Assigned) StopExample() {
	if a.example != nil {
		a.example.Drop()
		a.example = nil
		a.host.Changed()
	}
}

// play plays a recording from its beginning.
func play(ctx context.Context, from playback.Player, file string) error {
	speaker, err := from.Loudspeaker()
	if err != nil {
		return err
	}
	defer speaker.Close()
	clip, err := from.Excerpt(ctx, file, 0, longestExample, speaker.Rate())
	if err != nil || len(clip) == 0 {
		return err
	}
	s := speaker.Start(clip, speaker.Next()+int64(playback.Soonest*float64(speaker.Rate())))
	return playback.Out(ctx, speaker, s.At+int64(len(clip)), []*sound.Playing{s}, func(int64) {})
}
