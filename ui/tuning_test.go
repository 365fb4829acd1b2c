package ui

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/fingerboard"
	"endpin/piece/tuning"
	"endpin/ui/desk"
	"endpin/ui/desk/room"
	"endpin/ui/desk/tuner"
	"endpin/ui/ink"
	"endpin/ui/prose"
	"endpin/ui/uitest"
)

// strung is a window on a desk with a sound card that pretends, and a bass whose
// pitch track is given; how sound becomes one is tested in ui/desk.
type strung struct {
	win    fyne.Window
	desk   *desk.Desk
	card   *sound.Pretend
	posted chan func()
	tuner  *tuner.Tuner
	check  *tuning.Check
	at     float64 // s of the pitch track
	lately int
}

const strungRate = 44100

func newStrung(t *testing.T) *strung {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(ink.Look{})
	s := &strung{card: sound.NewPretend(strungRate), posted: make(chan func(), 10000), check: tuning.New(fingerboard.DoubleBass(), 440, 10)}
	s.desk = desk.New(uitest.DemoScore(t), desk.Means{
		Post: func(f func()) { s.posted <- f }, Folder: t.TempDir(), Computer: room.Computer{Card: sound.New(s.card)},
	})
	s.win = test.NewTempWindow(t, widget.NewLabel(""))
	s.desk.Settings.CautionSeen = true
	s.tuner = New(s.desk, s.win, false).tuning.Tuner
	s.win.Resize(fyne.NewSize(1280, 800))
	t.Cleanup(s.tuner.Leave)
	return s
}

// hear lets a string sound, or nothing for hz 0, and shows what the check makes of it.
func (s *strung) hear(hz, seconds float64) {
	for range int(100 * seconds) {
		s.at += 0.01
		f := dsp.Frame{Time: s.at, Aperiodicity: 1, Level: -70}
		if hz > 0 {
			f = dsp.Frame{Time: s.at, Voiced: true, Freq: hz, Aperiodicity: 0.01, Level: -20}
		}
		s.check.Push(f)
		if n := s.check.Now().String; n != 0 {
			s.lately = n
		}
	}
	s.tuner.Live = tuner.Live{Now: s.check.Now(), Strings: s.check.Strings(), Pair: s.check.Pair(), Outcome: s.check.Outcome(), Lately: s.lately}
	s.desk.Say("")
}

func (s *strung) key(k fyne.KeyName) { s.win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k}) }

func TestAStudentTunesBeforeTheFirstTake(t *testing.T) {
	s := newStrung(t)
	assert.True(t, uitest.Written(s.win, "Are the strings in tune?"))
	uitest.Press(t, s.win, "Check the strings")
	s.hear(0, 0.8)
	assert.True(t, uitest.Written(s.win, "Play one string."))
	s.hear(73.4162*dsp.Cents(-100), 2)
	uitest.Keep(t, s.win, "tuning")
	assert.True(t, uitest.Written(s.win, "100 cents flat"))
	assert.True(t, uitest.Written(s.win, "Bring it up by about a semitone."))
	for _, hz := range []float64{41.2034, 55, 73.4162, 97.9989} {
		s.hear(hz, 1.5)
		s.hear(0, 0.5)
	}
	assert.True(t, uitest.Written(s.win, "All four are in tune."))
	assert.True(t, uitest.Written(s.win, "in tune, 0 cents"))
	uitest.Press(t, s.win, "Page")
	assert.False(t, s.desk.Running, "leaving begins nothing")
	assert.False(t, uitest.Written(s.win, "Are the strings in tune?"), "offered once")
}

func TestTheReferenceAndTheTonesAreAtHand(t *testing.T) {
	s := newStrung(t)
	uitest.Press(t, s.win, "Tuning")
	uitest.Press(t, s.win, "+")
	uitest.Press(t, s.win, "+")
	assert.Equal(t, 442.0, s.desk.Settings.A4)
	assert.True(t, uitest.Written(s.win, "442 Hz"))
	uitest.Press(t, s.win, "Tone of G")
	assert.True(t, uitest.Written(s.win, "the tone sounds"))
	assert.True(t, uitest.Written(s.win, "stop the tone"))
	uitest.Press(t, s.win, "Stop")
	assert.False(t, uitest.Written(s.win, "the tone sounds"))
	s.key(fyne.KeyPageUp) // after G: back to the page
	s.key(fyne.KeyPageDown)
	assert.False(t, uitest.Written(s.win, "Reference A"), "the page stands there")
}

func TestFourThatAgreeElsewhereMayGiveTheReference(t *testing.T) {
	s := newStrung(t)
	uitest.Press(t, s.win, "Tuning")
	s.hear(0, 0.8)
	for _, hz := range []float64{41.2034, 55, 73.4162, 97.9989} {
		s.hear(hz*435/440, 1.5)
		s.hear(0, 0.5)
	}
	assert.True(t, uitest.Written(s.win, "All four agree with each other, at A = 435."))
	uitest.Press(t, s.win, "Take A = 435")
	assert.Equal(t, 435.0, s.desk.Settings.A4)
	assert.True(t, uitest.Written(s.win, "435 Hz"))
}

func TestNeighboursAreComparedByTheHarmonicThatTheyShare(t *testing.T) {
	s := newStrung(t)
	uitest.Press(t, s.win, "Tuning")
	s.hear(0, 0.8)
	s.hear(220, 1.5)
	s.hear(0, 0.5)
	assert.True(t, uitest.Written(s.win, "A is heard."))
	assert.True(t, uitest.Written(s.win, "Next: the harmonic of D, touched at a third of the string."))
	s.hear(221.8, 1.5)
	assert.True(t, uitest.Written(s.win, "beats 1.8 a second"))
	assert.True(t, uitest.Written(s.win, "these two beat 0.2 a second"), "what equal temperament asks for")
	assert.True(t, uitest.Seen(s.win.Content(), func(o fyne.CanvasObject) bool {
		b, ok := o.(*prose.Button)
		return ok && b.Text == "That was the other string"
	}))
}

func TestTheOfferCanBeTurnedDown(t *testing.T) {
	s := newStrung(t)
	uitest.Press(t, s.win, "Not now")
	assert.False(t, uitest.Written(s.win, "Are the strings in tune?"))
}

func TestWithoutAMicrophoneOneSentenceSaysSo(t *testing.T) {
	_, _, win, _ := table(t)
	assert.False(t, uitest.Written(win, "Are the strings in tune?"), "not where work begins at once")
	uitest.Press(t, win, "Tuning")
	assert.True(t, uitest.Written(win, "There is no microphone, so the strings cannot be heard here."))
}

func TestBowingSilentlyShowsWhatBothHandsDo(t *testing.T) {
	s := newStrung(t)
	uitest.Press(t, s.win, "4  Bow silently")
	assert.False(t, uitest.Written(s.win, "next"))
	s.desk.SetQPM(40) // a count-in that lasts until it has been looked at, on any computer
	uitest.Press(t, s.win, "Start")
	(<-s.posted)()
	assert.True(t, uitest.Written(s.win, "get ready"))
	assert.True(t, uitest.Written(s.win, "G string"), "the first note, still to come")
	assert.True(t, uitest.Written(s.win, "these bows are supposed"), "the demo piece has no bow marks")
	uitest.Press(t, s.win, "Stop")
	for s.desk.Running {
		(<-s.posted)()
	}
	s.desk.SetQPM(300)
	s.desk.SetRange(0, 4)
	uitest.Press(t, s.win, "Start")
	shown := false
	for end := time.Now().Add(2 * time.Minute); s.desk.Running && time.Now().Before(end); {
		s.card.Step(strungRate / 50)
		(<-s.posted)()
		if !shown && uitest.Written(s.win, "shift to third position") {
			shown = true
			uitest.Keep(t, s.win, "cues")
		}
	}
	assert.True(t, shown, "the shift of measure 5")
	assert.False(t, s.desk.Running)
	assert.False(t, uitest.Written(s.win, "third position"), "the cues are gone")
}
