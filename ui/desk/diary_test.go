package desk

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/report"
	"endpin/piece/trend"
)

// shelf is a diary that a test looks into. Two questions may be under way in it at
// once, as in the one that it stands for.
type shelf struct {
	mu      sync.Mutex
	given   []Remembered
	players []string
	fault   error
	weeks   map[string]report.DiaryModel
	sound   KeptSound
	from    time.Time
}

func (s *shelf) Remember(r Remembered) (Kept, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.fault != nil {
		return Kept{}, s.fault
	}
	for _, g := range s.given {
		if g.Sound == r.Sound && g.At.Equal(r.At) {
			return Kept{Already: true}, nil
		}
	}
	s.given = append(s.given, r)
	return Kept{}, nil
}

func (s *shelf) Players() ([]string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.players, s.fault
}

func (s *shelf) Weeks(player string, from time.Time) (report.DiaryModel, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.from = from
	return s.weeks[player], nil
}

func (s *shelf) Class(time.Time) (report.DiaryClassModel, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var m report.DiaryClassModel
	for _, p := range s.players {
		m.Players = append(m.Players, s.weeks[p])
	}
	return m, nil
}

func (s *shelf) Sound(string) (KeptSound, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.sound, nil
}

func (s *shelf) KeepSound(_ string, said KeptSound) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.sound = said
	return nil
}

// diaryBench is a desk with a diary.
func diaryBench(t *testing.T) (*bench, *shelf) {
	t.Helper()
	b, s := newBench(t), &shelf{}
	b.means.Diary = s
	return b, s
}

// playOnce plays the demo take in the microphone's place, as if it were a player.
func playOnce(t *testing.T, b *bench, instead bool) *Take {
	t.Helper()
	b.Work.Way = PlayAlone
	b.Start()
	require.True(t, b.Running, b.Message)
	b.run.take.Instead = instead
	b.pump(t, func() bool { return !b.Running && !b.Judging })
	require.NotNil(t, b.Shown, b.Message)
	return b.Shown.Take
}

func TestEveryTakeOfThePlayersDeskGoesIntoTheDiary(t *testing.T) {
	b, s := diaryBench(t)
	b.Change(func(s *Settings) { s.Player = "Mina" })
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
	b.Change(func(s *Settings) { s.Player = "Ole" }) // who did not play it
	b.Again(take)                                    // a take that is opened again is no second take
	b.pump(t, func() bool { return !b.Judging && b.InDiary != "" })
	assert.Equal(t, "This take is in Mina's diary already.", b.InDiary)
	assert.Len(t, s.given, 1)
}

func TestNobodysTakesGoIntoNoDiary(t *testing.T) {
	b, s := diaryBench(t)
	take := playOnce(t, b, false)
	b.Change(func(s *Settings) { s.Player = "Mina" })
	b.Again(take) // played before it was anybody's desk
	b.pump(t, func() bool { return !b.Judging })
	b.Open(take.Sound) // made elsewhere, as far as the desk can tell: it may be anybody's
	b.pump(t, func() bool { return !b.Judging })
	playOnce(t, b, true) // what plays in a microphone's place is nobody's
	b.going.Wait()
	assert.Empty(t, s.given)
}

func TestATakeThatTheDiaryDoesNotTakeIsSaidAndNotLost(t *testing.T) {
	b, s := diaryBench(t)
	s.fault = errors.New("/home/mina/diary.db: the disk is full: make room and do it again")
	b.Change(func(s *Settings) { s.Player = "Mina" })
	take := playOnce(t, b, false)
	b.pump(t, func() bool { return strings.HasPrefix(b.Message, "The take") })
	assert.Equal(t, "The take is not in the diary. /home/mina/diary.db: the disk is full: make room and do it again.", b.Message)
	assert.FileExists(t, take.Sound)
	assert.NotEmpty(t, b.Shown.Hearing.Notes)
}

func TestAWindowThatClosesWaitsForTheDiary(t *testing.T) {
	b, s := diaryBench(t)
	b.Change(func(s *Settings) { s.Player = "Mina" })
	s.mu.Lock() // the diary is slow
	playOnce(t, b, false)
	time.AfterFunc(100*time.Millisecond, s.mu.Unlock)
	b.Leave()
	assert.Len(t, s.given, 1)
}

// aMonth is a player's, with shifts that close, hold and open.
func aMonth(player string, shifts int) report.DiaryModel {
	first := time.Date(2026, 10, 27, 17, 0, 0, 0, time.UTC)
	m := report.DiaryModel{Player: player, From: first, To: first.AddDate(0, 0, 29)}
	var groups []trend.Group
	for s := range shifts {
		g := trend.Group{Shift: trend.Shift{Piece: "Gate Song", Measure: fmt.Sprint(s + 2), Beat: 1, String: 2, From: "1", To: "3"}}
		for day := range 30 {
			slope := []float64{-1, 0, 1}[s%3] * 30 * (float64(day)/29 - 0.5)
			for take := range 3 {
				at := first.AddDate(0, 0, day).Add(time.Duration(take) * time.Hour)
				g.Landings = append(g.Landings, trend.Landing{When: at, Take: fmt.Sprint(day, take), Cents: 20 + slope + float64((day*37+take*53+s*11)%31-15), Tolerance: 18, SettleMS: 150, QPM: 76, Trust: "sure"})
				if s == 0 {
					m.Takes = append(m.Takes, report.DiaryTake{When: at, Piece: "Gate Song"})
				}
			}
		}
		groups = append(groups, g)
	}
	for i, l := range trend.Shifts(groups, trend.Options{}) {
		m.Shifts = append(m.Shifts, report.DiaryShift{Line: l, Landings: groups[i].Landings})
	}
	return m
}

func TestTheDiaryIsLookedAtPlayerByPlayer(t *testing.T) {
	b, s := diaryBench(t)
	now := time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC)
	b.means.Now = func() time.Time { return now }
	look := NewDiary(b.Desk)
	settle := func() { b.pump(t, func() bool { return !look.Loading }) }
	look.Enter()
	settle()
	assert.Equal(t, "Nobody's diary is kept on this desk yet. Write a name below: from then on every take goes into that player's diary.", look.Message)

	look.Become(" Mina  Vella ")
	settle()
	assert.Equal(t, "Mina Vella", b.Settings.Player)
	assert.Equal(t, "There is no take of Mina Vella in the last 30 days. Play, and come back here.", look.Message)
	kept, err := LoadSettings(filepath.Join(b.folder, "desk.json"))
	require.NoError(t, err)
	assert.Equal(t, "Mina Vella", kept.Player, "remembered for the next day")

	s.players = []string{"Mina Vella", "Ole"}
	s.weeks = map[string]report.DiaryModel{"Mina Vella": aMonth("Mina Vella", 3), "Ole": aMonth("Ole", 1)}
	look.Enter()
	settle()
	require.NotNil(t, look.Page)
	assert.Empty(t, look.Message)
	assert.Equal(t, time.Date(2026, 10, 26, 0, 0, 0, 0, time.UTC), s.from, "thirty days back")
	var verdicts []trend.Verdict
	for _, g := range look.Page.Groups {
		for _, r := range g.Shifts {
			verdicts = append(verdicts, r.Verdict)
		}
	}
	assert.ElementsMatch(t, []trend.Verdict{trend.Opening, trend.Closing, trend.Holding}, verdicts)

	look.Choose("Ole")
	look.Choose("Mina Vella") // before the answer came
	settle()
	assert.Equal(t, "Mina Vella", look.Page.Player)
	look.Choose("Ole")
	settle()
	assert.Equal(t, "Ole", look.Page.Player)
	assert.Equal(t, "Mina Vella", b.Settings.Player, "looking at another's weeks changes not whose desk it is")
	look.ChooseAll()
	settle()
	require.NotNil(t, look.Class)
	assert.Equal(t, "Mina Vella", look.Class.Players[0].Name)
	look.SetDays(90)
	assert.Equal(t, 90, look.Days)
	look.SetDays(4)
	assert.Equal(t, 90, look.Days)
	settle()
	look.KeepSound(true, Limits[0])
	settle()
	assert.Equal(t, KeptSound{Keep: true, Limit: 500 << 20}, s.sound)
	s.fault = errors.New("diary.db: the diary is damaged")
	look.Enter()
	settle()
	assert.Equal(t, "diary.db: the diary is damaged.", look.Message)
}
