package desk

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/practice"
	"endpin/piece/pupil"
	"endpin/ui/desk/work"
)

// ready is the deed that the right pedal would do.
func (s *stage) ready() string { return s.Between()[s.At()].Name }

// A pupil who lands a shift 35 cents sharp, and from round to round nearer, is led by the
// right pedal alone from the first take to where it holds.
func TestAShiftIsMendedByTheRightPedalAlone(t *testing.T) {
	s := newStage(t)
	s.from, s.to, s.hand = 13, 21, 35 // the hand in third position, of measures 5 to 7
	s.SetWay(work.PlayAlone)
	s.round(t, s.Do)
	require.Equal(t, []string{"5 sharp_after_shift"}, kinds(s.Shown.Hearing.Findings))
	assert.Equal(t, "Steady at 84; the hand lands sharp in measures 5–7.", s.Result.Says)

	require.Equal(t, "Work on this", s.ready())
	s.Do()
	require.NotNil(t, s.Mending.Now)
	assert.Equal(t, "4-5", s.Range(), "from where it is come to the shift")
	assert.Equal(t, work.PlayAlong, s.Work.Way)
	assert.Equal(t, 63.0, s.Work.QPM)
	assert.Equal(t, "Start", s.ready())

	said := []string{}
	for _, hand := range []float64{35, 29, 20, 5, 4, -3} {
		s.hand = hand
		s.round(t, s.Do)
		said = append(said, s.Result.Says)
	}
	require.Len(t, s.Mending.Now.Rounds, 6)
	for i, want := range []practice.Verdict{practice.Off, practice.Off, practice.Off, practice.Cleanly, practice.Cleanly, practice.Cleanly} {
		assert.Equal(t, want, s.Mending.Now.Rounds[i].Verdict, said[i])
	}
	assert.Contains(t, said[0], "0 of 3 clean")
	assert.Contains(t, said[4], "2 of 3 clean")
	assert.Contains(t, said[5], "It holds.")
	require.Equal(t, practice.InJoin, s.Mending.Now.Stage)
	assert.Equal(t, "3-6", s.Range())

	s.hand = 4
	s.round(t, s.Do)
	require.Equal(t, practice.InSection, s.Mending.Now.Stage, s.Result.Says)
	assert.Equal(t, "1-8", s.Range())
	assert.Equal(t, 74.0, s.Work.QPM, "brought up from 63")
	s.round(t, s.Do)
	require.Equal(t, practice.InSection, s.Mending.Now.Stage, s.Result.Says)
	assert.Equal(t, 84.0, s.Work.QPM, "at the piece's tempo")
	assert.Equal(t, "Start", s.ready())
	s.round(t, s.Do)
	require.Equal(t, practice.Mended, s.Mending.Now.Stage, s.Result.Says)
	assert.Contains(t, s.Result.Says, "mended in")
	for _, o := range s.asked[1:7] {
		assert.Contains(t, o.Given.From, "the whole take of")
	}

	names := []string{}
	for _, x := range s.Between() {
		names = append(names, x.Name)
	}
	require.Contains(t, names, "That is all for today")
	for s.ready() != "That is all for today" {
		s.Choose()
	}
	s.Do()
	assert.Equal(t, "Mended today: sharp after shift in measure 5.", s.Result.Says)
}

// pause has the pupil wait before a note of the take.
func pause(note int, seconds float64) func(*pupil.Performance) {
	return func(p *pupil.Performance) {
		for i := note; i < len(p.Plan.Notes); i++ {
			p.Plan.Notes[i].OnsetBeat += seconds * p.Plan.TempoQPM / 60
		}
	}
}

func TestWhoWaitsBeforeAShiftHasNotMendedIt(t *testing.T) {
	s := newStage(t)
	s.from, s.to, s.hand = 13, 21, 35
	s.round(t, s.Start)
	s.WorkOn(0)
	s.hand, s.bend = 0, pause(2, 1.5) // before the note that is shifted to
	s.round(t, s.Do)
	assert.Equal(t, practice.Off, s.Mending.Now.Rounds[0].Verdict, s.Result.Says)
	assert.Contains(t, s.Result.Says, "you waited")
	s.bend = nil
	s.round(t, s.Do)
	assert.Equal(t, practice.Cleanly, s.Mending.Now.Rounds[1].Verdict, s.Result.Says)
}

func TestSixRoundsForNothingOfferSomethingElse(t *testing.T) {
	s := newStage(t)
	now := time.Date(2031, 3, 4, 9, 0, 0, 0, time.UTC)
	s.means.Now = func() time.Time { return now }
	s.began = now
	s.from, s.to, s.hand = 13, 21, 35
	s.round(t, s.Start)
	s.WorkOn(0)
	before := s.Work.QPM
	for range 6 {
		assert.Equal(t, "Start", s.ready())
		s.round(t, s.Do)
	}
	assert.Equal(t, "Slower, this", s.ready())
	s.Do()
	assert.Less(t, s.Work.QPM, before)
	assert.Equal(t, "4-5", s.Range())

	now = now.Add(6 * time.Minute)
	s.round(t, s.Do)
	require.Equal(t, "Slower, this", s.ready(), "after five minutes")
	s.Choose()
	require.Equal(t, "This in another way", s.ready())
	s.Do()
	assert.Equal(t, work.Echo, s.Work.Way)

	now = now.Add(20 * time.Minute)
	s.SetWay(work.PlayAlong)
	s.round(t, s.Start)
	require.Equal(t, "Rest", s.ready())
	s.Do()
	assert.True(t, strings.HasPrefix(s.Result.Says, "Rest"), s.Result.Says)
	assert.Contains(t, s.Result.Beside, "if anything hurts")
	assert.Equal(t, "Start", s.ready(), "the rest is not asked for again")
}

func TestWhatHoldsGoesOnHoweverLongItTook(t *testing.T) {
	s := newStage(t)
	now := time.Date(2031, 3, 4, 9, 0, 0, 0, time.UTC)
	s.means.Now = func() time.Time { return now }
	s.began = now
	s.from, s.to, s.hand = 13, 21, 35
	s.round(t, s.Start)
	s.WorkOn(0)
	s.hand = 0
	for range 3 {
		now = now.Add(2 * time.Minute)
		s.round(t, s.Do)
	}
	require.Contains(t, s.Result.Says, "It holds. Now join it")
	assert.Equal(t, "Start", s.ready())
}

func TestASectionThatIsTheWholePieceIsTheLastRoundToo(t *testing.T) {
	s := newStage(t)
	s.from, s.to, s.hand = 13, 21, 35
	s.round(t, s.Start)
	s.WorkOn(0)
	s.Mending.Now.Stage, s.Work.First, s.Work.Last, s.Work.QPM = practice.InSection, 0, len(s.Score.Piece.Measures)-1, 84
	s.hand = 0
	s.round(t, s.Start)
	assert.Equal(t, practice.Mended, s.Mending.Now.Stage, s.Result.Says)
}

func TestOtherMeasuresAreOtherWork(t *testing.T) {
	s := newStage(t)
	s.from, s.to, s.hand = 13, 21, 35
	s.round(t, s.Start)
	s.WorkOn(0)
	assert.Less(t, s.Work.Silence, s.Settings.Silence, "a round of two measures is waited for no longer")
	require.NoError(t, s.TypeRange("9-12"))
	assert.Nil(t, s.Mending.Now)
	assert.Equal(t, s.Settings.Silence, s.Work.Silence)
}
