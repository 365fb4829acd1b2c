package desk

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/attempt"
	"endpin/ui/desk/ear"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// bench is a desk whose goroutine is the test: what others post is done when
// the test pumps.
type bench struct {
	*Desk
	posted chan func()
	folder string
	plays  float64 // seconds of the demo take, in the microphone's place
}

func demoScore(t testing.TB) *score.Score {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return score.New(p, "demo.musicxml")
}

// whole is more than the demo take lasts, s.
const whole = 60

// newBench sets out a desk that hears the first three measures of the demo take, as fast as
// they can be read: what is about what lies on the desk needs no more.
func newBench(t testing.TB) *bench {
	t.Helper()
	return newBenchOf(t, 9)
}

// newBenchOf sets one out that hears so many seconds of it.
func newBenchOf(t testing.TB, seconds float64) *bench {
	t.Helper()
	b := &bench{posted: make(chan func(), 10000), folder: t.TempDir(), plays: seconds}
	b.Desk = New(demoScore(t), Means{
		Post:   func(f func()) { b.posted <- f },
		Folder: filepath.Join(b.folder, "takes"), Settings: filepath.Join(b.folder, "desk.json"),
		Computer: room.Computer{Instead: func(*score.Score, func() float64) (dsp.Source, string, error) {
			x, rate := demoSound(t)
			return room.Lasting{Source: &dsp.Samples{SampleRate: rate, Data: x[:min(len(x), int(b.plays*float64(rate)))]}}, "the demo take", nil
		}},
		Ear: ear.Ear{Hear: func(ctx context.Context, s *score.Score, path string, o finding.Options, told func(float64)) (*finding.Hearing, *dsp.Heard, error) {
			r, err := recording.Open(path)
			if err != nil {
				return nil, nil, err
			}
			defer r.Close()
			heard, err := dsp.Listen(r, dsp.Bass)
			if err != nil {
				return nil, nil, err
			}
			told(1)
			if ctx.Err() != nil {
				return nil, nil, ctx.Err()
			}
			h, err := finding.Judge(s.Piece, heard, o)
			return h, heard, err
		}},
	})
	return b
}

// pump does what was posted until something is true.
func (b *bench) pump(t testing.TB, until func() bool) {
	t.Helper()
	end := time.After(4 * time.Minute)
	for !until() {
		select {
		case f := <-b.posted:
			f()
		case <-end:
			t.Fatal("nothing more happened")
		}
	}
}

func kinds(f []finding.Finding) (k []string) {
	for _, x := range f {
		k = append(k, x.Measure+" "+string(x.Kind))
	}
	return k
}

var mistakes = []string{"5 sharp_after_shift", "9 late", "11 wrong_note", "12 held_short"}

func TestATakeEndsByItselfAfterASilenceAndIsJudgedAndKept(t *testing.T) {
	b := newBenchOf(t, whole)
	b.SetWay(work.PlayAlone)
	b.Start()
	require.True(t, b.Running)
	assert.Contains(t, b.Message, "no microphone")
	assert.Contains(t, b.Message, "the demo take plays in its place")
	var live []string
	b.pump(t, func() bool {
		if k := kinds(b.Live.Findings); len(k) > len(live) {
			live = k
		}
		return b.Shown != nil
	})
	assert.False(t, b.Running)
	assert.Equal(t, mistakes, kinds(b.Shown.Hearing.Findings))
	require.Len(t, b.Takes, 1)
	assert.Equal(t, "4 things heard", b.Takes[0].Found)

	again := shelf.Read(filepath.Join(b.folder, "takes"))
	require.Len(t, again, 1)
	assert.True(t, again[0].Complete)
	assert.Equal(t, work.PlayAlone, again[0].Way)
	assert.InDelta(t, b.Shown.Hearing.Duration, again[0].Seconds, 0.01)
}

// Sound is pushed by hand here, so that every look comes at its time.
func TestFindingsAppearMeasureByMeasureWhileSomebodyPlays(t *testing.T) {
	s := demoScore(t)
	r, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
	require.NoError(t, err)
	a, err := attempt.New(s, work.Work{Way: work.PlayAlone, Last: 15, QPM: 84, Silence: 4}, remembered.Default().Judging(), r.Rate(), 0)
	require.NoError(t, err)
	source, buf := room.Lasting{Source: r}, make([]float32, r.Rate()/50)
	appeared := map[string]float64{}
	reached := map[string]int{}
	for a.Phase() != attempt.Ended {
		n, _ := source.Read(buf)
		a.Push(buf[:n])
		if look := a.Look(0); look != nil {
			a.See(look.Judge())
		}
		l := a.Live()
		for _, k := range kinds(l.Findings) {
			if _, ok := appeared[k]; !ok {
				appeared[k], reached[k] = l.Time, l.Measure
			}
		}
	}
	for _, k := range mistakes {
		assert.Contains(t, appeared, k)
	}
	// The frame of measures 5 to 7 is told once it has closed, the late note of
	// measure 9 in the measure after it, and neither before it can be known.
	assert.Contains(t, []int{7, 8}, reached["5 sharp_after_shift"], "an index: measure 8 or 9")
	assert.Contains(t, []int{9, 10}, reached["9 late"])
	assert.Less(t, a.Time()-47.57, 4.6, "four seconds of silence end the take")
}

func TestNothingPlayedKeepsNoTake(t *testing.T) {
	b := newBench(t)
	b.means.Instead = func(*score.Score, func() float64) (dsp.Source, string, error) {
		r, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
		return &room.Later{Source: r, Wait: func() float64 { return 1e6 }}, "nothing", err
	}
	b.SetWay(work.PlayAlone)
	b.Start()
	b.pump(t, func() bool { return !b.Running })
	assert.Empty(t, b.Takes)
	assert.Empty(t, shelf.Read(filepath.Join(b.folder, "takes")))
	assert.Contains(t, b.Message, "microphone")
}

func TestATakeThatWasCutOffIsOfferedWhole(t *testing.T) {
	b := newBench(t)
	folder := filepath.Join(b.folder, "takes")
	require.NoError(t, os.MkdirAll(folder, 0o700))
	demo, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
	require.NoError(t, err)
	take := &shelf.Take{Piece: "demo.musicxml", QPM: 84}
	take.Place(folder)
	r, err := tape.New(tape.NewFile, take.Sound, demo.Rate())
	require.NoError(t, err)
	buf := make([]float32, 1000)
	for written := 0; written < 20*demo.Rate()+500; {
		n, err := demo.Read(buf)
		require.NoError(t, err)
		r.Write(buf[:n])
		written += n
	}
	// The program dies here: no Close, and the header is behind.
	require.NoError(t, take.Save())

	again := New(b.Score, b.means)
	require.NotNil(t, again.CutOff)
	assert.InDelta(t, 20, again.CutOff.Seconds, 0.1)
	b.Desk = again
	again.Choose() // to what was cut off
	again.Do()
	b.pump(t, func() bool { return again.Shown != nil })
	assert.Equal(t, "Work on this", again.Between()[again.At()].Name, "as after every take")
	assert.Contains(t, kinds(again.Shown.Hearing.Findings), mistakes[0])
	assert.True(t, shelf.Read(folder)[0].Complete)
}

func TestARecordingMadeElsewhereOpensAndCanBeCancelled(t *testing.T) {
	b := newBench(t)
	path := filepath.Join(b.folder, "mine.flac")
	require.NoError(t, os.WriteFile(path, assets.DemoTake, 0o600))
	b.Open(path)
	require.True(t, b.Judging)
	b.Cancel()
	b.pump(t, func() bool { return !b.Judging })
	assert.Nil(t, b.Shown)
	assert.Contains(t, b.Message, "Stopped")

	b.Open(path)
	b.pump(t, func() bool { return !b.Judging })
	assert.Equal(t, mistakes, kinds(b.Shown.Hearing.Findings))
	_, err := os.Stat(filepath.Join(b.folder, "mine.json"))
	assert.True(t, errors.Is(err, os.ErrNotExist), "nothing is written beside a recording of somebody's own")

	b.Open(filepath.Join(b.folder, "none.wav"))
	b.pump(t, func() bool { return !b.Judging })
	assert.Contains(t, b.Message, "none.wav")
}

func TestAFindingCanBePutAsideForAReasonThatIsKept(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a whole take")
	}
	b := newBenchOf(t, whole)
	b.SetWay(work.PlayAlone)
	b.Start()
	b.pump(t, func() bool { return b.Shown != nil })
	b.Dismiss(1, shelf.Reasons()[0])
	kept := shelf.Read(filepath.Join(b.folder, "takes"))[0]
	require.Len(t, kept.Dismissed, 1)
	assert.Equal(t, shelf.Dismiss{Measure: "9", Pass: 1, Beat: 1, Kind: finding.Late, Reason: "I meant that"}, kept.Dismissed[0])
	assert.Equal(t, "3 things heard", kept.Found)
	b.Dismiss(1, "")
	assert.Empty(t, shelf.Read(filepath.Join(b.folder, "takes"))[0].Dismissed)
}

func TestMeasuresAreChosenByTheirPrintedNumbers(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.TypeRange("5-8"))
	assert.Equal(t, [2]int{4, 7}, [2]int{b.Work.First, b.Work.Last})
	b.Move(1)
	assert.Equal(t, "9-12", b.Range())
	b.Move(5)
	assert.Equal(t, "13-16", b.Range(), "not beyond the end")
	assert.Error(t, b.TypeRange("21-24"))
	assert.Contains(t, b.Message, "1 to 16")
	assert.Equal(t, "13-16", b.Range(), "a mistake changes nothing")
	require.NoError(t, b.TypeRange("all"))
	assert.Equal(t, "1-16", b.Range())
}

func TestTheTempoIsTypedAndTapped(t *testing.T) {
	b := newBench(t)
	assert.Equal(t, 84.0, b.Work.QPM, "the piece's own")
	require.NoError(t, b.TypeQPM("60"))
	assert.Error(t, b.TypeQPM("fast"))
	assert.Equal(t, 60.0, b.Work.QPM)
	now := time.Unix(0, 0)
	b.means.Now = func() time.Time { return now }
	for range 4 {
		b.Tap()
		now = now.Add(600 * time.Millisecond)
	}
	assert.Equal(t, 100.0, b.Work.QPM)
}

func TestTwoPedalsReachEverythingBetweenTwoAttempts(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.TypeRange("1-4"))
	b.Choose()
	assert.Equal(t, "Next measures", b.Between()[b.At()].Name)
	b.Do()
	assert.Equal(t, "5-8", b.Range())
	for b.Between()[b.At()].Name != "Slower" {
		b.Choose()
	}
	b.Do()
	assert.Equal(t, 80.0, b.Work.QPM)
	for range b.Between() {
		b.Choose()
	}
	assert.Equal(t, "Slower", b.Between()[b.At()].Name, "they go round")
}

func TestSettingsAreRememberedAndDamagedOnesPutAside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "desk.json")
	s := remembered.Default()
	s.A4, s.Microphone = 442, "Big Room"
	require.NoError(t, s.Save(path))
	got, err := remembered.Load(path)
	require.NoError(t, err)
	assert.Equal(t, s, got)
	require.NoError(t, os.WriteFile(path, []byte("{"), 0o600))
	got, err = remembered.Load(path)
	assert.ErrorContains(t, err, "put aside")
	assert.Equal(t, 440.0, got.A4)
	assert.FileExists(t, path+".unreadable")
}

func TestWhatHoldsForOneTimeIsNotRemembered(t *testing.T) {
	path := filepath.Join(t.TempDir(), "desk.json")
	d := New(demoScore(t), Means{Settings: path})
	d.ForNow(func(s *remembered.Settings) { s.Dark, s.A4 = true, 443 })
	d.Change(func(s *remembered.Settings) { s.CountIn = 2 })
	kept, err := remembered.Load(path)
	require.NoError(t, err)
	assert.Equal(t, 2, kept.CountIn)
	assert.False(t, kept.Dark)
	assert.Equal(t, 440.0, kept.A4)
	assert.Equal(t, 443.0, d.Settings.A4, "but holds now")
}

func TestWhatPlaysInTheMicrophonesPlaceComesInAfterTheCountIn(t *testing.T) {
	b := newBench(t)
	due := 0.0
	b.means.Instead = func(_ *score.Score, at func() float64) (dsp.Source, string, error) {
		r, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
		return &room.Later{Source: room.Lasting{Source: r}, Wait: func() float64 { due = at(); return due - assets.DemoTakeBegins }}, "the demo take", err
	}
	b.Start()
	b.pump(t, func() bool { return !b.Running && !b.Judging })
	assert.InDelta(t, 4*60/84.0, due, 0.01, "a measure is counted")
	require.NotNil(t, b.Shown)
	assert.InDelta(t, due, *b.Shown.Hearing.Notes[0].Onset, 0.05)
}

func TestManyTakesLeaveNothingBehind(t *testing.T) {
	if testing.Short() {
		t.Skip("hears whole takes")
	}
	b := newBench(t)
	path := filepath.Join(b.folder, "mine.flac")
	require.NoError(t, os.WriteFile(path, assets.DemoTake, 0o600))
	one := func() {
		b.Shown = nil
		b.Open(path)
		b.pump(t, func() bool { return !b.Judging })
	}
	memory := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	one()
	goroutines, before := runtime.NumGoroutine(), memory()
	for range 6 {
		one()
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), goroutines)
	assert.Less(t, float64(memory()), float64(before)+4e6)
}

func TestTwoDesksThatBeginInOneSecondKeepATakeEach(t *testing.T) {
	b := newBench(t)
	now := time.Date(2026, 11, 2, 17, 30, 0, 0, time.UTC)
	b.means.Now = func() time.Time { return now }
	b.means.create = func(path string) (tape.File, error) {
		if filepath.Base(path) == "2026-11-02 17-30-00.wav" { // the other was quicker
			require.NoError(t, os.WriteFile(path, []byte("theirs"), 0o600))
		}
		return tape.NewFile(path)
	}
	b.SetWay(work.PlayAlone)
	b.Start()
	require.True(t, b.Running, b.Message)
	b.pump(t, func() bool { return b.Shown != nil })
	assert.Equal(t, "2026-11-02 17-30-00 2.wav", filepath.Base(b.Shown.Take.Sound))
	theirs, err := os.ReadFile(filepath.Join(b.folder, "takes", "2026-11-02 17-30-00.wav"))
	require.NoError(t, err)
	assert.Equal(t, "theirs", string(theirs))
}
