package desk

import (
	"io"
	"slices"
	"time"

	"endpin/dsp/sound"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/tuning"
	"endpin/ui/desk/assigned"
	"endpin/ui/desk/classroom"
	"endpin/ui/desk/closelook"
	"endpin/ui/desk/fingering"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/tuner"
	"endpin/ui/desk/weeks"
)

// host is what the parts of the desk may ask of it. Each part names those of these
// methods that it needs.
type host struct{ desk *Desk }

// NewTuner makes the check of a desk's strings, NewClass sets a desk out for a class,
// and NewWeeks is the screen of a player's weeks on it.
func NewTuner(d *Desk) *tuner.Tuner     { return tuner.New(host{d}) }
func NewClass(d *Desk) *classroom.Class { return classroom.New(host{d}) }
func NewWeeks(d *Desk) *weeks.Weeks     { return weeks.New(host{d}) }

func (h host) Post(f func())            { h.desk.means.Post(f) }
func (h host) Changed()                 { h.desk.tell() }
func (h host) Say(sentence string)      { h.desk.say(sentence) }
func (h host) Fault(sentence string)    { h.desk.fault(sentence) }
func (h host) Playing() bool            { return h.desk.Running }
func (h host) OnChange(f func())        { h.desk.OnChange(f) }
func (h host) Offers() bool             { return h.desk.CutOff != nil }
func (h host) A4() float64              { return h.desk.Settings.A4 }
func (h host) SetA4(hz float64)         { h.desk.Change(func(s *remembered.Settings) { s.A4 = hz }) }
func (h host) Checked(o tuning.Outcome) { h.desk.sitting.Checked(o) }
func (h host) Tolerance() float64       { return h.desk.Settings.Judging().Level.Tuning }

func (h host) Microphone() (m *sound.Microphone, instead string, err error) {
	return h.desk.Microphone()
}
func (h host) Loudspeaker() (l *sound.Loudspeaker, instead string, err error) {
	return h.desk.Loudspeaker()
}

// Chosen are the devices chosen.
func (h host) Chosen() room.Devices {
	s := &h.desk.Settings
	return room.Devices{Microphone: s.Microphone, Loudspeaker: s.Loudspeaker, Latency: s.Latency}
}
func (h host) Latency(m *sound.Microphone, l *sound.Loudspeaker) sound.Latency {
	return h.Chosen().Between(m, l)
}
func (h host) KeepLatency(pair string, seconds float64) {
	h.desk.Change(func(s *remembered.Settings) { s.Latency[pair] = seconds })
}
func (h host) Hearing() bool       { return h.desk.Judging }
func (h host) Add(sentence string) { h.desk.add(sentence) }
func (h host) Now() time.Time      { return h.desk.means.Now() }
func (h host) Diary() weeks.Diary  { return h.desk.means.Diary }
func (h host) Owner() string       { return h.desk.Settings.Player }
func (h host) SetOwner(p string)   { h.desk.Change(func(s *remembered.Settings) { s.Player = p }) }

// Player plays recordings on the loudspeaker chosen.
func (h host) Player() playback.Player {
	m := h.desk.means
	return playback.Player{Card: m.Card, Name: h.desk.Settings.Loudspeaker, Open: m.Open, Loud: &h.desk.Volume}
}

// Page is the take shown, as the closer look sees it.
func (h host) Page() *closelook.Take {
	s := h.desk.Shown
	if s == nil {
		return nil
	}
	return &closelook.Take{Score: h.desk.Score, Hearing: s.Hearing, Heard: s.Heard,
		Sound: s.Take.Sound, Asides: len(s.Take.Dismissed), Aside: func(f *finding.Finding) bool { _, set := s.Take.Reason(f); return set }}
}

// HandInShown and Write are homework's.
func (h host) HandInShown(path, player string) {
	h.desk.WriteHandedIn(path, h.Score().Homework, player)
}
func (h host) Write(path string, write func(io.Writer) error) { h.desk.Write(path, write) }
func (h host) Marked() func() (assigned.Marked, error) {
	marked := h.desk.Pencil.Marked(h.desk.Taken())
	return func() (assigned.Marked, error) { m, err := marked(); return assigned.Marked(m), err }
}
func (h host) ShownSound() string {
	if s := h.desk.Shown; s != nil {
		return s.Take.Sound
	}
	return ""
}

// Outline and Finger are the fingering's.
func (h host) Outline() (*outline.Outline, error) {
	return outline.Of(h.desk.Score.Piece, outline.Options{Instrument: &h.desk.Score.On.Instrument, Bow: h.desk.Settings.Bow()})
}
func (h host) Finger(s *score.Score, known string, w fingering.Way) {
	h.desk.Score = s
	h.desk.Change(func(s *remembered.Settings) { s.Fingerings[known] = w })
}

// Lay and Kept are the pencil's. What is pencilled at a note goes before the fingering that
// was taken for it.
func (h host) Lay(s *score.Score, at piece.At) {
	d := h.desk
	if s.Content != d.Score.Content {
		d.Put(s)
		return
	}
	taken := d.Settings.Fingerings[s.Content]
	left := taken
	left.Marks = slices.DeleteFunc(slices.Clone(taken.Marks), func(m fingering.Mark) bool { return m.Measure == at.Measure && m.Note == at.Note })
	if len(left.Marks) < len(taken.Marks) {
		d.Change(func(x *remembered.Settings) { x.Fingerings[s.Content] = left })
	}
	d.Fingering = fingering.New(h, s)
	d.Score = fingering.On(s, left)
}
func (h host) Kept(s *score.Score) {
	h.desk.Fingering = fingering.New(h, s)
	h.desk.Score = fingering.On(s, h.desk.Settings.Fingerings[s.Content])
	h.desk.Pieces.Kept(s)
}

func (h host) Busy(deed string) bool { return h.desk.busy(deed) }
func (h host) LookAway()             { h.desk.Result = nil; h.desk.Listening.Close(); h.desk.LookAway() }
func (h host) Remember(t *shelf.Take, x *finding.Hearing) {
	h.desk.remember(t, h.desk.optionsOf(t), x)
}

func (h host) Score() *score.Score            { return h.desk.Score }
func (h host) Put(s *score.Score)             { h.desk.Put(s) }
func (h host) Level() string                  { return h.desk.Settings.Level }
func (h host) Judging() finding.Options       { return h.desk.Settings.Judging() }
func (h host) HearClass() classroom.Hear      { return h.desk.means.HearClass }
func (h host) AddToClass() classroom.Add      { return h.desk.means.AddToClass }
func (h host) ReadScore() classroom.ReadScore { return h.desk.means.ReadScore }

// Drilling tells the plan of a drill; OpenMade and OpenAgain are the drills'.
func (h host) Drilling() bool                   { return h.desk.Drills.Made() }
func (h host) OpenMade(path, instrument string) { h.desk.Pieces.Open(path, "", instrument) }
func (h host) OpenAgain(s *score.Score)         { h.desk.Pieces.Again(s) }

// OpenWritten lays a piece on the desk that was written on it.
func (h host) OpenWritten(path, instrument string) { h.desk.Pieces.Open(path, "", instrument) }

// Open puts all that is heard in a student's recording on the page.
func (h host) Open(r classroom.Recording) bool {
	d := h.desk
	if d.Running || d.Judging {
		return false
	}
	if r.Score.Content != d.Score.Content {
		d.Put(r.Score)
	}
	t := d.recordingAt(r.Path)
	t.Player, t.Level, t.Measures = r.Student, r.Level, r.Measures
	d.CutOff = nil
	d.say("")
	d.judgeBy(t, nil, r.Options)
	return true
}
