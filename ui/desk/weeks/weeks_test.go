package weeks

import (
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/report/progress"
	"endpin/piece/trend"
	"endpin/piece/words/pseudo"
)

// shelf is a diary that a test looks into. Two questions may be under way in it at
// once, as in the one that it stands for.
type shelf struct {
	mu      sync.Mutex
	given   []Remembered
	mended  []Mended
	players []string
	fault   error
	weeks   map[string]progress.Model
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

func (s *shelf) Mended(m Mended) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.mended = append(s.mended, m)
	return s.fault
}

func (s *shelf) Players() ([]string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.players, s.fault
}

func (s *shelf) Weeks(player string, from time.Time) (progress.Model, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.from = from
	return s.weeks[player], nil
}

func (s *shelf) Class(time.Time) (progress.ClassModel, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var m progress.ClassModel
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

// table is a desk with a diary; what others post is done when the test pumps.
type table struct {
	diary  Diary
	owner  string
	said   []string
	posted chan func()
}

func (b *table) Post(f func())         { b.posted <- f }
func (b *table) Changed()              {}
func (b *table) Say(sentence string)   { b.said = []string{sentence} }
func (b *table) Fault(sentence string) { b.Say(sentence) }
func (b *table) Add(sentence string)   { b.said = append(b.said, sentence) }
func (b *table) Diary() Diary          { return b.diary }
func (b *table) Now() time.Time        { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) }
func (b *table) Owner() string         { return b.owner }
func (b *table) SetOwner(p string)     { b.owner = p }

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

func newTable(d Diary) *table { return &table{diary: d, posted: make(chan func(), 1000)} }

// aMonth is a player's, with shifts that close, hold and open.
func aMonth(player string, shifts int) progress.Model {
	first := time.Date(2026, 10, 27, 17, 0, 0, 0, time.UTC)
	m := progress.Model{Player: player, From: first, To: first.AddDate(0, 0, 29)}
	var groups []trend.Group
	for s := range shifts {
		g := trend.Group{Shift: trend.Shift{Piece: "Gate Song", Measure: fmt.Sprint(s + 2), Beat: 1, String: 2, From: "1", To: "3"}}
		for day := range 30 {
			slope := []float64{-1, 0, 1}[s%3] * 30 * (float64(day)/29 - 0.5)
			for take := range 3 {
				at := first.AddDate(0, 0, day).Add(time.Duration(take) * time.Hour)
				g.Landings = append(g.Landings, trend.Landing{When: at, Take: fmt.Sprint(day, take), Cents: 20 + slope + float64((day*37+take*53+s*11)%31-15), Tolerance: 18, SettleMS: 150, QPM: 76, Trust: "sure"})
				if s == 0 {
					m.Takes = append(m.Takes, progress.Take{When: at, Piece: "Gate Song"})
				}
			}
		}
		groups = append(groups, g)
	}
	for i, l := range trend.Shifts(groups, trend.Options{}) {
		m.Shifts = append(m.Shifts, progress.Shift{Line: l, Landings: groups[i].Landings})
	}
	return m
}

func TestTheDiaryIsLookedAtPlayerByPlayer(t *testing.T) {
	s := &shelf{}
	b := newTable(s)
	look := New(b)
	settle := func() { b.pump(t, func() bool { return !look.Loading }) }
	look.Enter()
	settle()
	assert.Equal(t, "Nobody's diary is kept on this desk yet. Write a name below: from then on every take goes into that player's diary.", look.Message)

	look.Become(" Mina  Vella ")
	settle()
	assert.Equal(t, "Mina Vella", b.owner)
	assert.Equal(t, "There is no take of Mina Vella in the last 30 days. Play, and come back here.", look.Message)
	s.players = []string{"Mina Vella", "Ole"}
	s.weeks = map[string]progress.Model{"Mina Vella": aMonth("Mina Vella", 3), "Ole": aMonth("Ole", 1)}
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
	assert.Equal(t, "Mina Vella", b.owner, "looking at another's weeks changes not whose desk it is")
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

func TestWhatTheDiaryHasToSayStandsBehindWhatWasSaid(t *testing.T) {
	s := &shelf{}
	b := newTable(s)
	k := NewKeeper(b)
	b.Say("Nothing to mend.")
	k.kept("Mina", Kept{Said: []string{"Its date is still to come."}}, nil)
	assert.Equal(t, []string{"Nothing to mend.", "Its date is still to come."}, b.said)
	assert.Equal(t, "Put into Mina's diary.", k.InDiary)
}

func TestEveryWordOfTheWeeksIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	b := newTable(nil)
	k := NewKeeper(b)
	k.kept("Mina", Kept{}, nil)
	reads(k.InDiary, "Mina")
	k.kept("Mina", Kept{Already: true}, nil)
	reads(k.InDiary, "Mina")
	k.kept("Mina", Kept{}, errors.New("…"))
	reads(b.said[0])
	weeks := New(b)
	weeks.Enter()
	reads(weeks.Message)
	reads(weeks.nothing())
	weeks.Players = []string{"Mina"}
	reads(weeks.nothing())
	weeks.Player = "Mina"
	reads(weeks.nothing(), "Mina")
	weeks.All = true
	reads(weeks.nothing())
}
