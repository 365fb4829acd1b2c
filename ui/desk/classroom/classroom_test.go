package classroom

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/sound"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/score"
)

// lesson is a class on a desk; what is heard of it is given by hand.
type lesson struct {
	t testing.TB
	*Class
	*table
	folder string
	asked  Asked
	opts   finding.Options
	told   func(Told)
	end    chan error // what ends the run, with an error or nil
	ctx    context.Context
	begun  chan bool
}

// table is the desk that the class lies on; what others post is done when the test
// pumps.
type table struct {
	score  *score.Score
	hear   Hear
	read   ReadScore
	adds   Add
	player playback.Player
	opened []Recording
	posted chan func()
}

func (b *table) Post(f func())        { b.posted <- f }
func (b *table) Changed()             {}
func (b *table) Level() string        { return finding.Intermediate.Name }
func (b *table) HearClass() Hear      { return b.hear }
func (b *table) AddToClass() Add      { return b.adds }
func (b *table) ReadScore() ReadScore { return b.read }
func (b *table) Judging() finding.Options {
	return finding.Options{A4: 440, Level: finding.Intermediate}
}

func (b *table) Open(r Recording) bool {
	b.opened = append(b.opened, r)
	return true
}

// hosted is what the class sees of the table.
type hosted struct{ *table }

func (h hosted) Playing() bool           { return false }
func (h hosted) Player() playback.Player { return h.table.player }
func (h hosted) Score() *score.Score     { return h.table.score }

// pump does what was posted until something is true.
func (b *table) pump(t testing.TB, until func() bool) {
	t.Helper()
	end := time.After(time.Minute)
	for !until() {
		select {
		case f := <-b.posted:
			f()
		case <-end:
			t.Fatal("nothing more happened")
		}
	}
}

func demoScore(t testing.TB) *score.Score {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return score.New(p, "demo.musicxml")
}

func newLesson(t testing.TB) *lesson {
	l := &lesson{t: t, table: &table{score: demoScore(t), posted: make(chan func(), 10000)}, end: make(chan error), begun: make(chan bool), folder: t.TempDir()}
	l.hear = func(ctx context.Context, c Asked, o finding.Options, told func(Told)) (*class.Term, string, error) {
		l.asked, l.opts, l.told, l.ctx = c, o, told, ctx
		l.begun <- true
		select {
		case err := <-l.end:
			return so(l.sheet(2)), filepath.Join(c.Out, "class.html"), err
		case <-ctx.Done():
			return so(l.sheet(1)), filepath.Join(c.Out, "class.html"), ctx.Err()
		}
	}
	l.Class = New(hosted{l.table})
	return l
}

// so is what was heard of a class so far.
func so(sheets ...*class.Sheet) *class.Term { return &class.Term{Sheets: sheets} }

// sheet is of four students, so many of whom were heard.
func (l *lesson) sheet(heard int) *class.Sheet {
	late := finding.Finding{Measure: "9", ToMeasure: "9", Pass: 1, Beat: 1, Kind: finding.Late, Trust: dsp.Sure, Notes: 1, At: 12.5, Text: "In measure 9 the D came late."}
	tempo := finding.Finding{Measure: "1", ToMeasure: "16", Pass: 1, Kind: finding.Tempo, Trust: dsp.Sure, Notes: 40, Text: "You played faster."}
	results := []class.Result{
		{File: "Anna.wav", Hearing: &finding.Hearing{Findings: []finding.Finding{tempo, late}}},
		{File: "Ben.wav", Hearing: &finding.Hearing{}},
	}
	seats := []class.Seat{{Name: "Anna", Files: []string{"Anna.wav"}}, {Name: "Ben", Files: []string{"Ben.wav"}}, {Name: "Cleo", Files: []string{"Cleo.wav"}}, {Name: "Dan"}}
	all := results[:heard]
	if heard == 2 {
		all = append(all, class.Result{File: "Cleo.wav", Reason: "silence"})
	}
	return class.Gather(l.score.Piece, "", seats, all, nil)
}

func (l *lesson) rows() (all []string) {
	for i := range l.Students() {
		all = append(all, l.Row(i))
	}
	return all
}

func TestRowsFillAsStudentsAreHeardAndKeepTheirPlaces(t *testing.T) {
	l := newLesson(t)
	l.Drop(l.folder)
	l.Class.Start()
	require.True(t, l.Going)
	<-l.begun
	l.told(Told{Done: 1, Of: 3, Heard: 0.4, Hearing: []string{"Ben.wav"}, So: so(l.sheet(1))})
	l.pump(t, func() bool { return l.Heard != nil })
	assert.Equal(t, []string{"late, measure 9  ·  another tempo", "is being heard …", "waiting", "No recording."}, l.rows())
	assert.Equal(t, "1 of 4 students heard, 1 without a recording.", l.Says())
	l.end <- nil
	l.pump(t, func() bool { return !l.Going })
	assert.Equal(t, []string{"late, measure 9  ·  another tempo", "Nothing stood out.", "Not heard: silence.", "No recording."}, l.rows())
	assert.Equal(t, "2 of 4 students heard, in one recording the piece was not, 1 without a recording.", l.Says())
	assert.Equal(t, filepath.Join(l.folder+" - class sheet", "class.html"), l.Written)
	assert.Empty(t, l.Class.Message)
}

func TestWhatLeavesDoubtStandsInTheStudentsRowWithTheMend(t *testing.T) {
	l := newLesson(t)
	doubt := finding.Finding{Measure: "1", ToMeasure: "16", Kind: finding.NotSure, Trust: dsp.NotSure, Text: "Not sure of this take: it is too loud and clipped: move the microphone away."}
	l.Heard = so(class.Gather(l.score.Piece, "", []class.Seat{{Name: "Anna", Files: []string{"a"}}}, []class.Result{{File: "a", Hearing: &finding.Hearing{Findings: []finding.Finding{doubt}}}}, nil))
	assert.Equal(t, "Nothing stood out.\n"+doubt.Text, l.Row(0))
	l.Choose(0)
	assert.Empty(t, l.Evidence(), "it is said once")
}

func TestAClassThatIsStoppedSaysThatItGoesOnFromThere(t *testing.T) {
	l := newLesson(t)
	l.Drop(l.folder)
	l.Class.Start()
	<-l.begun
	l.Class.Stop()
	l.pump(t, func() bool { return !l.Going })
	assert.True(t, l.Stopped)
	assert.Equal(t, "Stopped. What was heard is kept: it goes on from there.", l.Class.Message)
	assert.Equal(t, "Not heard yet.", l.Row(1))
	assert.NotEmpty(t, l.Written, "who was heard has a page already")
	l.Class.Start()
	<-l.begun
	assert.False(t, l.asked.Afresh)
	l.end <- nil
	l.pump(t, func() bool { return !l.Going })
	assert.False(t, l.Stopped)
}

func TestWhatIsDroppedIsTakenForWhatItIs(t *testing.T) {
	l := newLesson(t)
	l.score.Demo = true
	tunes := map[string]*score.Score{"tune.abc": {Content: "tune"}, "scale.abc": {Content: "scale"}, "song.abc": {Content: "song"}}
	l.read = func(path string) (*score.Score, error) {
		if filepath.Ext(path) != ".abc" {
			return nil, errors.New(path + ": is no piece")
		}
		return tunes[filepath.Base(path)], nil
	}
	at := t.TempDir()
	roster := filepath.Join(at, "names.CSV")
	abc, odd := filepath.Join(at, "tune.abc"), filepath.Join(at, "photo.jpg")
	for _, f := range []string{roster, abc, odd} {
		require.NoError(t, os.WriteFile(f, nil, 0o600))
	}
	for _, f := range []string{l.folder, roster, abc} {
		l.Drop(f)
	}
	assert.Equal(t, l.folder, l.Asked.Folder)
	assert.Equal(t, roster, l.Asked.Roster)
	assert.Equal(t, []*score.Score{tunes["tune.abc"]}, l.Asked.Scores, "no class plays the demo piece")
	both := t.TempDir()
	for _, f := range []string{"scale.abc", "song.abc", "tune.abc"} {
		require.NoError(t, os.WriteFile(filepath.Join(both, f), nil, 0o600))
	}
	l.Drop(both)
	assert.Equal(t, []*score.Score{tunes["tune.abc"], tunes["scale.abc"], tunes["song.abc"]}, l.Asked.Scores, "a folder of pieces is no folder of recordings, and none stands there twice")
	assert.Equal(t, l.folder, l.Asked.Folder)
	handed := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(handed, "Anna.endpin"), nil, 0o600))
	l.Drop(handed)
	assert.Equal(t, handed, l.Asked.Folder, "homework that was handed in holds recordings")
	l.LeaveOut(1)
	l.LeaveOut(0)
	l.LeaveOut(0)
	assert.Equal(t, []*score.Score{tunes["song.abc"]}, l.Asked.Scores, "one stays")
	l.Drop(odd)
	assert.Equal(t, odd+": is no piece.", l.Class.Message)
	l.Drop(filepath.Join(l.folder, "nowhere"))
	assert.Contains(t, l.Class.Message, "look at the name")
}

func TestThePagesGoBesideTheFolderUnlessAnotherPlaceIsChosen(t *testing.T) {
	l := newLesson(t)
	l.Drop(l.folder)
	assert.Equal(t, l.folder+" - class sheet", l.Asked.Out)
	l.Ask(func(a *Asked) { a.Out = "/elsewhere" })
	other := t.TempDir()
	l.Drop(other)
	assert.Equal(t, "/elsewhere", l.Asked.Out, "who chose a place keeps it")
	l.TypeMeasures("5-8")
	l.TypeTempo("66")
	l.Ask(func(a *Asked) { a.Level, a.NoSound, a.Afresh = "first-year", true, true })
	l.Class.Start()
	<-l.begun
	l.Drop(l.folder)
	assert.Equal(t, other, l.Asked.Folder, "nothing changes while it goes on")
	assert.Equal(t, "5-8", l.opts.Measures)
	assert.Equal(t, 66.0, l.opts.QPM)
	assert.Equal(t, finding.FirstYear, l.opts.Level)
	assert.True(t, l.asked.NoSound && l.asked.Afresh)
	l.end <- nil
	l.pump(t, func() bool { return !l.Going })
	assert.False(t, l.Asked.Afresh, "once is enough")
	l.TypeMeasures("99")
	assert.Contains(t, l.Class.Message, "99")
	l.TypeTempo("fast")
	assert.Contains(t, l.Class.Message, `Tempo "fast": write quarter notes a minute`)
	assert.Equal(t, 66.0, l.Asked.QPM)
}

// tape is a recording that sounds between two seconds only.
type tape struct {
	dsp.Samples
}

func (*tape) Close() error { return nil }

func TestATeacherHearsTheTwoSecondsOfAFinding(t *testing.T) {
	l := newLesson(t)
	const rate = 8000
	driver := sound.NewPretend(rate)
	driver.Gain = 1 // the microphone hears what is played
	l.player.Card = sound.New(driver)
	mic, err := l.player.Card.Microphone("")
	require.NoError(t, err)
	defer mic.Close()
	var opened string
	l.player.Open = func(path string) (playback.Recording, error) {
		opened = path
		x := make([]float32, 20*rate)
		for i := 12.5 * rate; i < 13.5*rate; i++ { // the finding is heard at 12.5 s
			x[int(i)] = float32(0.1 * math.Sin(0.2*i))
		}
		return &tape{dsp.Samples{SampleRate: rate, Data: x}}, nil
	}
	l.Heard, l.Asked.Folder = so(l.sheet(2)), l.folder
	l.Choose(0)
	l.Class.Play(0)
	assert.Equal(t, -1, l.Playing, "two seconds show no tempo")

	done := make(chan struct{})
	var heard []float32
	go func() {
		buf := make([]float32, 80)
		for {
			driver.Step(80)
			n, _ := mic.Read(buf)
			heard = append(heard, buf[:n]...)
			select {
			case <-done:
				close(done)
				return
			case <-time.After(time.Millisecond):
			}
		}
	}()
	l.Class.Play(1)
	assert.Equal(t, 1, l.Playing)
	l.pump(t, func() bool { return l.Playing < 0 })
	done <- struct{}{}
	<-done
	assert.Empty(t, l.Class.Message)
	assert.Equal(t, filepath.Join(l.folder, "Anna.wav"), opened)
	first, last := -1, 0
	for i, v := range heard {
		if math.Abs(float64(v)) > 0.1 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	assert.InDelta(t, 1, float64(last-first)/rate, 0.05, "what is to be heard, whole")

	l.PlayNext(1)
	assert.Equal(t, 1, l.Playing, "the only one that can be played")
	l.Choose(1)
	assert.Equal(t, -1, l.Playing, "another student: what sounded ends")
}

func TestARecordingThatIsGoneIsSaid(t *testing.T) {
	l := newLesson(t)
	l.player.Card = sound.New(sound.NewPretend(8000))
	l.player.Open = func(path string) (playback.Recording, error) { return nil, errors.New(path + ": is gone") }
	l.Heard, l.Asked.Folder = so(l.sheet(2)), l.folder
	l.Choose(0)
	l.Class.Play(1)
	l.pump(t, func() bool { return l.Playing < 0 })
	assert.Contains(t, l.Class.Message, "Anna.wav: is gone.")
}

func TestAStudentsRecordingComesToThePageJudgedAsTheClassWas(t *testing.T) {
	l := newLesson(t)
	l.Heard, l.Asked.Folder = so(l.sheet(2)), l.folder
	assert.False(t, l.OpenOnPage(), "nobody is chosen")
	l.Asked.Level, l.Asked.Measures = "first-year", "5-8"
	l.Choose(0)
	require.True(t, l.OpenOnPage())
	require.Len(t, l.opened, 1)
	assert.Equal(t, filepath.Join(l.folder, "Anna.wav"), l.opened[0].Path)
	assert.Equal(t, "Anna", l.opened[0].Student)
	assert.Equal(t, finding.FirstYear, l.opened[0].Options.Level)
	assert.Equal(t, "5-8", l.opened[0].Options.Measures)
	assert.Same(t, l.score, l.opened[0].Score)
}

// twoPieces is a class of two pieces: Anna plays both, Ben the second, Cleo neither so far, and
// what Dan sent is none of them.
func (l *lesson) twoPieces() *class.Term {
	late := finding.Finding{Measure: "9", ToMeasure: "9", Pass: 1, Beat: 1, Kind: finding.Late, Trust: dsp.Sure, Notes: 1, At: 12.5, Text: "In measure 9 the D came late."}
	sheet := func(title string, seats ...class.Seat) *class.Sheet {
		return class.Gather(l.score.Piece, title, seats, []class.Result{{File: "a1", Hearing: &finding.Hearing{Findings: []finding.Finding{late}}}, {File: "a2", Hearing: &finding.Hearing{}}, {File: "b2", Hearing: &finding.Hearing{}}}, nil)
	}
	so := so(sheet("Minuet", class.Seat{Name: "Anna", Files: []string{"a1"}}, class.Seat{Name: "Ben"}, class.Seat{Name: "Cleo"}, class.Seat{Name: "Dan"}),
		sheet("Scale", class.Seat{Name: "Anna", Files: []string{"a2"}}, class.Seat{Name: "Ben", Files: []string{"b2"}}, class.Seat{Name: "Cleo"}, class.Seat{Name: "Dan"}))
	so.Unplaced = []class.Unplaced{{Student: "Cleo", Recording: "c.wav", NotYet: true}, {Student: "Dan", Recording: "d.wav", Reason: "silence"}}
	l.Asked.Scores = []*score.Score{l.score, demoScore(l.t)}
	return so
}

func TestAClassOfTwoPiecesHasARowAStudentAndGoesFromPieceToPiece(t *testing.T) {
	l := newLesson(t)
	l.Heard, l.Asked.Folder = l.twoPieces(), l.folder
	assert.Equal(t, []string{"Minuet: late, measure 9\nScale: Nothing stood out.", "Scale: Nothing stood out.", "Not heard yet.", "d.wav was not heard: silence."}, l.rows())
	assert.Equal(t, "2 of 4 students heard, in one recording the piece was not.", l.Says())
	l.Going, l.Told.Hearing = true, []string{"c.wav"}
	assert.Equal(t, "is being heard …", l.Row(2))
	l.Going = false

	var way []string
	step := func(by int) {
		l.Step(by)
		if l.Student() == nil {
			way = append(way, "all")
			return
		}
		way = append(way, l.Student().Name+" "+l.Sheet().Piece)
	}
	for range 5 {
		step(1)
	}
	for range 4 {
		step(-1)
	}
	assert.Equal(t, []string{"Anna Minuet", "Anna Scale", "Ben Scale", "Cleo Scale", "Dan Scale", "Cleo Scale", "Ben Scale", "Anna Scale", "Anna Minuet"}, way)
	step(-1)
	assert.Equal(t, "all", way[len(way)-1])

	l.Choose(1)
	assert.Equal(t, "b2", *l.Student().Recording, "a student is looked at in what he played")
	require.True(t, l.OpenOnPage())
	assert.Same(t, l.Asked.Scores[1], l.opened[0].Score, "which lies on the desk then")
}
