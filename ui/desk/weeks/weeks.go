package weeks

import (
	"slices"
	"strings"
	"time"

	"endpin/piece/report/progress"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/said"
)

// Diary is where takes are kept over months, as `endpin diary` keeps them. Its
// methods are called from any goroutine.
type Diary interface {
	Remember(Remembered) (Kept, error)
	Mended(Mended) error
	Players() ([]string, error)
	// Weeks are those of a player from a day on; they hold no take where there is none.
	Weeks(player string, from time.Time) (progress.Model, error)
	// Class is the weeks of all players.
	Class(from time.Time) (progress.ClassModel, error)
	// Sound says whether a player's sound is kept, and how much of it may be.
	Sound(player string) (KeptSound, error)
	KeepSound(player string, s KeptSound) error
}

// KeptSound is what a player says of keeping sound.
type KeptSound struct {
	Keep  bool
	Limit int64 // bytes that all kept sound together may take
	Taken int64 // bytes that it takes now
}

// Limits are offered for kept sound, bytes.
var Limits = []int64{500 << 20, 1 << 30, 2 << 30, 5 << 30, 20 << 30}

// Spans are how many days back a diary is looked at.
var Spans = []int{30, 90, 365}

// Host is the desk on which weeks are looked at and whose takes go into the diary. Its
// methods are called on the desk's goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Add(sentence string)   // behind what was said already
	Diary() Diary          // nil for none
	Now() time.Time
	Owner() string          // whose takes this desk keeps; "" for nobody's
	SetOwner(player string) // from the next take on
}

// Weeks is the screen on which a player's weeks are looked at, or all players'. Whose
// takes this desk keeps is its owner, and may be another.
type Weeks struct {
	Players []string
	Player  string // looked at; "" for nobody
	All     bool   // all players, for their teacher
	Days    int    // looked at, back from today; one of Spans
	Loading bool
	Message string // one sentence where there is nothing to show
	Page    *progress.Page
	Class   *progress.TeachersPage
	Sound   KeptSound // of the player whose takes this desk keeps

	host  Host
	asked *errand.Errand // the question whose answer is waited for
}

// New is the screen on a desk.
func New(h Host) *Weeks { return &Weeks{host: h, Days: Spans[0]} }

// Enter looks at the diary anew.
func (s *Weeks) Enter() {
	if s.Player == "" {
		s.Player = s.host.Owner()
	}
	s.load()
}

// Choose looks at one player's weeks.
func (s *Weeks) Choose(player string) {
	s.Player, s.All = player, false
	s.load()
}

// ChooseAll looks at all players.
func (s *Weeks) ChooseAll() {
	s.All = true
	s.load()
}

// SetDays says how far back.
func (s *Weeks) SetDays(days int) {
	if slices.Contains(Spans, days) {
		s.Days = days
		s.load()
	}
}

// From is the first day that is looked at.
func (s *Weeks) From() time.Time {
	now := s.host.Now()
	y, m, d := now.Date()
	return time.Date(y, m, d-s.Days, 0, 0, 0, 0, now.Location())
}

// Become says whose takes this desk keeps from the next one on; "" for nobody's.
func (s *Weeks) Become(player string) {
	player = strings.Join(strings.Fields(player), " ")
	if player == s.host.Owner() {
		return
	}
	s.host.SetOwner(player)
	if player != "" {
		s.Player, s.All = player, false
	}
	s.load()
}

// KeepSound says whether the sound of this desk's takes is kept, and how much.
func (s *Weeks) KeepSound(keep bool, limit int64) {
	player := s.host.Owner()
	if s.host.Diary() == nil || player == "" {
		return
	}
	s.Sound.Keep, s.Sound.Limit = keep, limit
	said := s.Sound
	diary := s.host.Diary()
	s.ask(func() (func(), error) { return s.load, diary.KeepSound(player, said) })
}

// load reads what is looked at, in the background.
func (s *Weeks) load() {
	diary := s.host.Diary()
	if diary == nil {
		s.Message = words.Say("desk.diary.no-place")
		s.host.Changed()
		return
	}
	all, player, from, keeper := s.All, s.Player, s.From(), s.host.Owner()
	s.ask(func() (func(), error) {
		players, err := diary.Players()
		if err != nil {
			return nil, err
		}
		var sound KeptSound
		if keeper != "" {
			if sound, err = diary.Sound(keeper); err != nil {
				return nil, err
			}
		}
		if player == "" && len(players) == 1 {
			player = players[0]
		}
		var page *progress.Page
		var class *progress.TeachersPage
		switch {
		case all:
			c, err := diary.Class(from)
			if err != nil {
				return nil, err
			}
			if len(c.Players) > 0 {
				p := progress.TeachersPageOf(c)
				class = &p
			}
		case slices.Contains(players, player):
			w, err := diary.Weeks(player, from)
			if err != nil {
				return nil, err
			}
			if len(w.Takes) > 0 {
				p := progress.PageOf(w)
				page = &p
			}
		}
		return func() {
			s.Players, s.Player, s.Sound, s.Page, s.Class = players, player, sound, page, class
			s.Message = s.nothing()
		}, nil
	})
}

// nothing is the sentence for an empty screen.
func (s *Weeks) nothing() string {
	switch {
	case s.Page != nil || s.Class != nil:
		return ""
	case len(s.Players) == 0 && s.host.Owner() == "":
		return words.Say("desk.diary.nobody")
	case s.All:
		return words.Many("desk.diary.no-take.anybody", s.Days).String()
	case s.Player != "":
		return words.Many("desk.diary.no-take", s.Days, "player", s.Player).String()
	}
	return words.Say("desk.diary.choose")
}

// ask does something in the background, and what it gives back on the desk's own
// goroutine, unless something else was asked meanwhile.
func (s *Weeks) ask(question func() (func(), error)) {
	s.asked.Drop()
	s.Loading = true
	s.asked = errand.Send(s.host.Post, func(*errand.Errand) func() {
		answer, err := question()
		return func() {
			s.Loading = false
			if err != nil {
				s.Page, s.Class, s.Message = nil, nil, said.Sentence(err)
			} else {
				answer()
			}
			s.host.Changed()
		}
	})
	s.host.Changed()
}
