package closelook

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"sort"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/voice"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/score"
)

// demoSound is the demo take.
func demoSound(t testing.TB) ([]float32, int) {
	t.Helper()
	r, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
	require.NoError(t, err)
	var all []float32
	buf := make([]float32, 8192)
	for {
		n, err := r.Read(buf)
		all = append(all, buf[:n]...)
		if err != nil {
			return all, r.Rate()
		}
	}
}

// takeOf is some sound as a take of a piece.
func takeOf(t testing.TB, p *piece.Piece, x []float32, rate int, measures string) *Take {
	t.Helper()
	l, err := dsp.NewListener(dsp.Bass, rate)
	require.NoError(t, err)
	l.Push(x)
	heard := l.Finish()
	h, err := finding.Judge(p, heard, finding.Options{A4: 440, Level: finding.Intermediate, Intonation: finding.Equal, Measures: measures})
	require.NoError(t, err)
	return &Take{Score: score.New(p, "demo.musicxml"), Hearing: h, Heard: heard, Aside: func(*finding.Finding) bool { return false }}
}

func demoPiece(t testing.TB) *piece.Piece {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return p
}

var demo = struct {
	sync.Once
	take *Take
}{}

func demoTake(t testing.TB) *Take {
	demo.Do(func() {
		x, rate := demoSound(t)
		demo.take = takeOf(t, demoPiece(t), x, rate, "")
	})
	own := *demo.take
	return &own
}

// table is a desk under the glass; what others post is done when the test says so.
type table struct {
	Glass
	take    *Take
	player  playback.Player
	message string
	posted  chan func()
}

func (b *table) Post(f func())           { b.posted <- f }
func (b *table) Changed()                {}
func (b *table) Say(sentence string)     { b.message = sentence }
func (b *table) Fault(sentence string)   { b.Say(sentence) }
func (b *table) Page() *Take             { return b.take }
func (b *table) Playing() bool           { return false }
func (b *table) Player() playback.Player { return b.player }

func newTable(take *Take) *table {
	b := &table{take: take, posted: make(chan func(), 10000)}
	b.Glass = New(b)
	return b
}

// In the demo take the hand lands about 31 cents sharp in measure 5, the D of
// measure 9 comes 0.24 s late, C sounds as C♯ in measure 11, and the A of measure
// 12 is let go after half of its length (assets/README.md).
func TestAMeasureAfterAShiftShowsTheHandSharpOnEveryStoppedNote(t *testing.T) {
	x := demoTake(t)
	c := x.Look(4, -1)
	assert.Equal(t, "5", c.Number)
	assert.Equal(t, []int{0}, c.Findings)
	require.Len(t, c.Frames, 1)
	assert.True(t, c.Frames[0].Shift)
	assert.Equal(t, "after the shift from first position to third position", c.Frames[0].Words[0])
	var names []string
	for _, n := range c.Notes {
		names = append(names, n.Name)
		assert.InDelta(t, 30, n.Cents, 8, n.Name)
		assert.True(t, n.Told, n.Name)
	}
	assert.Equal(t, []string{"D", "C", "A"}, names)
	after := x.Look(5, -1)
	assert.Equal(t, "third position, since the shift in measure 5", after.Frames[0].Words[0])
	before := x.Look(3, -1)
	assert.Empty(t, before.Findings)
	for _, n := range before.Notes {
		assert.False(t, n.Off || n.Told, "a measure that was fine is marked nowhere")
	}
}

// What is drawn is what sounds: the trace lies as many cents above each note's
// place as the sound was rendered (demo.truth.json). The notes sampled set in up to
// 14 cents off their own pitch (testdata/figures/notes.md), so a single short note
// may lie so far from what was planned, but not most of them.
func TestTheTraceLiesWhereTheTakeWasRendered(t *testing.T) {
	x := demoTake(t)
	var truth struct {
		Notes []struct {
			Measure  string
			Beat     float64
			Cents440 float64 `json:"cents_440"`
			MIDI     float64 `json:"pitch_midi"`
			Onset    float64 `json:"onset_heard_s"`
			Offset   float64 `json:"offset_s"`
		}
	}
	data, err := os.ReadFile("../../../assets/demo.truth.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &truth))
	var off []float64
	for _, n := range truth.Notes {
		m, _, err := x.Piece.Select(n.Measure)
		require.NoError(t, err)
		c := x.Look(m, -1)
		var cents []float64
		for _, run := range c.Trace {
			for _, p := range run {
				if p.At > n.Onset+0.1 && p.At < n.Offset-0.1 {
					cents = append(cents, 100*(p.Pitch-n.MIDI))
				}
			}
		}
		if len(cents) < 10 {
			continue
		}
		sort.Float64s(cents)
		assert.InDelta(t, n.Cents440, cents[len(cents)/2], 14, "measure %s, beat %g", n.Measure, n.Beat)
		off = append(off, math.Abs(n.Cents440-cents[len(cents)/2]))
	}
	require.Greater(t, len(off), 40, "nearly all notes have a trace")
	sort.Float64s(off)
	assert.Less(t, off[len(off)/2], 4.0)
}

func TestALateNoteStandsBehindItsBeat(t *testing.T) {
	x := demoTake(t)
	c := x.Look(8, -1)
	n := c.Notes[0]
	assert.Regexp(t, `^2[0-9]{2} ms late$`, n.Late)
	assert.True(t, n.LateTold)
	assert.InDelta(t, 0.242, n.Onset-c.Beats[0].At, 0.02)
	for _, n := range c.Notes[1:] {
		assert.Empty(t, n.Late)
	}
	require.Len(t, c.Beats, 5)
	for i := range 4 {
		assert.InDelta(t, 60./84, c.Beats[i+1].At-c.Beats[i].At, 0.02, "the beat goes on as the player keeps it")
	}
	assert.InDelta(t, 84, c.Tempo, 1)
}

func TestAnotherNoteHasALaneOfItsOwn(t *testing.T) {
	x := demoTake(t)
	c := x.Look(10, -1)
	n := c.Notes[1]
	assert.Equal(t, "C♯ sounded", n.Value)
	assert.True(t, n.Other && n.Told)
	lanes := map[string]bool{}
	for _, l := range c.Lanes {
		lanes[l.Name] = l.Written
	}
	assert.Equal(t, map[string]bool{"B": true, "C": true, "C♯": false, "D": true}, lanes)
}

func TestACentIsAsHighNearEveryLane(t *testing.T) {
	x := demoTake(t)
	for m := range x.Piece.Measures {
		c := x.Look(m, -1)
		last := -1.0
		for _, l := range c.Lanes {
			at := c.Height(l.At)
			assert.Greater(t, at, last)
			last = at
			assert.InDelta(t, 25*c.Cents(), c.Height(l.At+0.25)-at, 1e-9)
			assert.InDelta(t, 25*c.Cents(), at-c.Height(l.At-0.25), 1e-9)
		}
		assert.Zero(t, c.Height(0))
		assert.Equal(t, 1.0, c.Height(127))
	}
}

// Somebody plays until the middle of measure 7, stops, and begins again.
func TestEveryTryOfAMeasureCanBeLookedAt(t *testing.T) {
	x, rate := demoSound(t)
	stop := int(19.4 * float64(rate))
	twice := append(append([]float32{}, x[:stop]...), make([]float32, rate)...)
	twice = append(twice, x...)
	shown := takeOf(t, demoPiece(t), twice, rate, "")
	again := float64(stop+rate) / float64(rate)

	c := shown.Look(4, 0)
	assert.Equal(t, []string{"1st try, given up", "2nd try"}, c.Times)
	assert.True(t, c.GivenUp)
	assert.Empty(t, c.Findings, "of a try that was given up nothing is told")
	assert.InDelta(t, 12.43, c.Begin, 0.05)
	assert.Regexp(t, `^\+3[34]$`, c.Notes[0].Value, "but its pitch")
	assert.NotEmpty(t, c.Trace)
	second := shown.Look(4, 1)
	assert.InDelta(t, again+12.43, second.Begin, 0.05)
	assert.NotEmpty(t, second.Findings)
	assert.Equal(t, 1, shown.Look(4, -1).Time, "first the time that something is told of")
	assert.Len(t, shown.Look(11, -1).Times, 1)
}

func TestARepeatIsLookedAtOneTimeAtATime(t *testing.T) {
	p, err := notation.Read("r.abc", []byte("X:1\nT:Twice\nM:4/4\nL:1/4\nQ:1/4=120\nK:C bass\n|: C D E F | G A B c :|\n"))
	require.NoError(t, err)
	line, _ := p.Line()
	require.Len(t, line, 16)
	const rate = 16000
	var x []float32
	for i := range line {
		tone := voice.Line(rate, []voice.Note{{Length: 0.4, MIDI: float64(line[i].MIDI)}}, 440)
		x = append(x, append(make([]float32, 0, rate/2), tone[:min(len(tone), rate/2)]...)...)
		x = append(x, make([]float32, rate/2-min(len(tone), rate/2))...)
	}
	shown := takeOf(t, p, x, rate, "")
	c := shown.Look(0, 1)
	assert.Equal(t, []string{"1st time", "2nd time"}, c.Times)
	assert.InDelta(t, 4, c.Begin, 0.1)
	assert.InDelta(t, 0, shown.Look(0, 0).Begin, 0.1)
}

func TestAMeasureOutsideTheTakeIsSaidToBe(t *testing.T) {
	x, rate := demoSound(t)
	b := newTable(takeOf(t, demoPiece(t), x[6*rate:21*rate], rate, "3-7"))
	b.LookCloser(11)
	assert.Nil(t, b.Closer())
	assert.Equal(t, "Measure 12 is not in this take.", b.message)
	b.LookCloser(4)
	require.NotNil(t, b.Closer())
	assert.Equal(t, "5", b.Closer().Number)
	assert.InDelta(t, 6.43, b.Closer().Begin, 0.05, "times are of this recording")
	b.Neighbour(1)
	assert.Equal(t, "6", b.Closer().Number)
	b.Neighbour(1)
	b.Neighbour(1)
	assert.Equal(t, "7", b.Closer().Number, "no further than the take goes")
	for i, f := range b.take.Hearing.Findings {
		if f.Kind == finding.SharpAfterShift {
			assert.True(t, b.LookAt(i))
		}
	}
	assert.Equal(t, "5", b.Closer().Number, "where the finding begins")
	b.LookAway()
	assert.Nil(t, b.Closer())
}

func TestAFindingThatWasPutAsideMarksNoNote(t *testing.T) {
	b := newTable(demoTake(t))
	b.LookCloser(8)
	require.True(t, b.Closer().Notes[0].LateTold)
	b.take.Aside, b.take.Asides = func(f *finding.Finding) bool { return f.Kind == finding.Late }, 1
	assert.False(t, b.Closer().Notes[0].LateTold)
	assert.Equal(t, []int{1}, b.Closer().Findings, "it is still told, as put aside")
}
