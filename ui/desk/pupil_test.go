package desk

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/pupil"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
)

// stage is a desk before a modelled pupil: what sounds in an attempt is one long tone, and
// what is heard in its take is what the pupil played of the measures asked for.
type stage struct {
	*bench
	hand  float64                  // cents that stopped notes lie off …
	from  int                      // … from this note of the line …
	to    int                      // … to this one
	bend  func(*pupil.Performance) // what else is done to it; nil for nothing
	asked []finding.Options        // of each take
	takes []*finding.Hearing
}

func newStage(t testing.TB) *stage {
	t.Helper()
	s := &stage{bench: newBench(t)}
	s.to = len(s.Score.Line) - 1
	tune, err := pupil.FromPiece(s.Score.Piece)
	require.NoError(t, err)
	s.means.Instead = func(*score.Score, func() float64) (dsp.Source, string, error) {
		return room.Lasting{Source: &tone{}}, "a tone", nil
	}
	s.means.Hear = func(_ context.Context, sc *score.Score, _ string, o finding.Options, _ func(float64)) (*finding.Hearing, *dsp.Heard, error) {
		heard := s.play(tune, o)
		h, err := finding.Judge(sc.Piece, heard, o)
		s.asked, s.takes = append(s.asked, o), append(s.takes, h)
		return h, heard, err
	}
	return s
}

// play is what the pupil plays of the measures asked for.
func (s *stage) play(tune *pupil.Tune, o finding.Options) *dsp.Heard {
	first, last := 0, len(s.Score.Piece.Measures)-1
	if o.Measures != "" {
		first, last, _ = s.Score.Piece.Select(o.Measures)
	}
	p := pupil.Player{Tune: tune, Seed: int64(len(s.takes) + 1)}.Play()
	kept, begin := p.Plan.Notes[:0:0], math.Inf(1)
	for i, n := range p.Plan.Notes {
		step := tune.Line[i]
		if step.Measure < first || step.Measure > last {
			continue
		}
		begin = min(begin, n.OnsetBeat)
		n.OnsetBeat -= begin
		if !step.Open() && i >= s.from && i <= s.to {
			n.Cents += s.hand
		}
		kept = append(kept, n)
	}
	p.Plan.Notes = kept
	if o.QPM > 0 {
		p.Plan.TempoQPM = o.QPM
	}
	if s.bend != nil {
		s.bend(p)
	}
	return p.Heard()
}

// round is one attempt, from start to the end of judging, begun by a press of something.
func (s *stage) round(t testing.TB, press func()) *finding.Hearing {
	t.Helper()
	n := len(s.takes)
	press()
	require.True(t, s.Running, s.Message)
	s.pump(t, func() bool { return s.Live.Heard })
	s.Stop()
	s.pump(t, func() bool { return !s.Running && !s.Judging })
	require.Greater(t, len(s.takes), n, s.Message)
	return s.takes[n]
}

// tone is a G without an end.
type tone struct{ at int }

func (*tone) Rate() int { return 22050 }

func (x *tone) Read(buf []float32) (int, error) {
	for i := range buf {
		w := 2 * math.Pi * 98 * float64(x.at) / 22050
		buf[i] = float32(0.3*math.Sin(w) + 0.1*math.Sin(2*w))
		x.at++
	}
	return len(buf), nil
}
