package desk

import (
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/practice"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/weeks"
	"endpin/ui/desk/work"
)

// book is a diary that a test looks into.
type book struct {
	weeks.Diary
	mu     sync.Mutex
	given  []weeks.Remembered
	mended []weeks.Mended
	fault  error
}

func (s *book) Mended(m weeks.Mended) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.mended = append(s.mended, m)
	return s.fault
}

func (s *book) Remember(r weeks.Remembered) (weeks.Kept, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.fault != nil {
		return weeks.Kept{}, s.fault
	}
	for _, g := range s.given {
		if g.Sound == r.Sound && g.At.Equal(r.At) {
			return weeks.Kept{Already: true}, nil
		}
	}
	s.given = append(s.given, r)
	return weeks.Kept{}, nil
}

// diaryBench is a desk with a diary.
func diaryBench(t *testing.T) (*bench, *book) {
	t.Helper()
	b, s := newBench(t), &book{}
	b.means.Diary = s
	return b, s
}

// playOnce plays the demo take in the microphone's place, as if it were a player.
func playOnce(t *testing.T, b *bench, instead bool) *shelf.Take {
	t.Helper()
	b.Work.Way = work.PlayAlone
	b.Start()
	require.True(t, b.Running, b.Message)
	b.playing.Instead = instead
	b.pump(t, func() bool { return !b.Running && !b.Judging })
	require.NotNil(t, b.Shown, b.Message)
	return b.Shown.Take
}

func TestEveryTakeOfThePlayersDeskGoesIntoTheDiary(t *testing.T) {
	b, s := diaryBench(t)
	b.Change(func(s *remembered.Settings) { s.Player = "Mina" })
	take := playOnce(t, b, false)
	b.pump(t, func() bool { return b.InDiary != "" })
	assert.Equal(t, "Put into Mina's diary.", b.InDiary)
	require.Len(t, s.given, 1)
	g := s.given[0]
	assert.Equal(t, "Mina", g.Player)
	assert.True(t, g.At.Equal(take.Made))
	assert.Equal(t, take.Sound, g.Sound)
	assert.Equal(t, "intermediate", g.Options.Level.Name)
	assert.NotEmpty(t, g.Hearing.Notes)

	b.InDiary = ""
	b.Change(func(s *remembered.Settings) { s.Player = "Ole" }) // who did not play it
	b.Again(take)                                               // a take that is opened again is no second take
	b.pump(t, func() bool { return !b.Judging && b.InDiary != "" })
	assert.Equal(t, "This take is in Mina's diary already.", b.InDiary)
	assert.Len(t, s.given, 1)
}

func TestNobodysTakesGoIntoNoDiary(t *testing.T) {
	b, s := diaryBench(t)
	take := playOnce(t, b, false)
	b.Change(func(s *remembered.Settings) { s.Player = "Mina" })
	b.Again(take) // played before it was anybody's desk
	b.pump(t, func() bool { return !b.Judging })
	b.Open(take.Sound) // made elsewhere, as far as the desk can tell: it may be anybody's
	b.pump(t, func() bool { return !b.Judging })
	playOnce(t, b, true) // what plays in a microphone's place is nobody's
	b.Await()
	assert.Empty(t, s.given)
}

func TestATakeThatTheDiaryDoesNotTakeIsSaidAndNotLost(t *testing.T) {
	b, s := diaryBench(t)
	s.fault = errors.New("/home/mina/diary.db: the disk is full: make room and do it again")
	b.Change(func(s *remembered.Settings) { s.Player = "Mina" })
	take := playOnce(t, b, false)
	b.pump(t, func() bool { return strings.HasPrefix(b.Message, "The take") })
	assert.Equal(t, "The take is not in the diary. /home/mina/diary.db: the disk is full: make room and do it again.", b.Message)
	assert.FileExists(t, take.Sound)
	assert.NotEmpty(t, b.Shown.Hearing.Notes)
}

func TestAWindowThatClosesWaitsForTheDiary(t *testing.T) {
	b, s := diaryBench(t)
	b.Change(func(s *remembered.Settings) { s.Player = "Mina" })
	s.mu.Lock() // the diary is slow
	playOnce(t, b, false)
	time.AfterFunc(100*time.Millisecond, s.mu.Unlock)
	b.Leave()
	assert.Len(t, s.given, 1)
}

func TestWhoseDeskItIsIsRememberedForTheNextDay(t *testing.T) {
	b, _ := diaryBench(t)
	host{b.Desk}.SetOwner("Mina Vella")
	assert.Equal(t, "Mina Vella", host{b.Desk}.Owner())
	kept, err := remembered.Load(b.means.Settings)
	require.NoError(t, err)
	assert.Equal(t, "Mina Vella", kept.Player)
}

func TestWhatWasMendedGoesIntoTheDiaryOfWhoMendedIt(t *testing.T) {
	s, d := newStage(t), &book{}
	s.means.Diary, s.Settings.Player = d, "Mina"
	s.from, s.to, s.hand = 13, 21, 35
	s.round(t, s.Start)
	s.WorkOn(0)
	s.hand = 2
	for _, instead := range []bool{true, false} { // what plays in a microphone's place is nobody's
		s.Mending.Now.Stage, s.Work.First, s.Work.Last, s.Work.QPM = practice.InSection, 0, len(s.Score.Piece.Measures)-1, 84
		s.round(t, func() { s.Start(); s.playing.Instead = instead })
		require.Equal(t, practice.Mended, s.Mending.Now.Stage, s.Result.Says)
	}
	s.Await()
	require.Len(t, d.mended, 1)
	m := d.mended[0]
	assert.Equal(t, "Mina sharp after shift in measure 5", m.Player+" "+m.What().String())
	assert.InDelta(t, 35, m.Was, 3)
	require.NotNil(t, m.Now)
	assert.InDelta(t, 2, *m.Now, 3)
	assert.Equal(t, 2, m.Rounds)
}
