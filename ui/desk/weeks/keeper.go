package weeks

import (
	"sync"
	"time"

	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Remembered is a take that is to go into a player's diary.
type Remembered struct {
	Player  string
	Score   *score.Score
	Sound   string // the recording's file
	At      time.Time
	Options finding.Options
	Hearing *finding.Hearing
}

// Mended is what held in the end, of what was worked on.
type Mended struct {
	Player string
	Score  *score.Score
	At     time.Time
	practice.Aim
	Now    *float64 // nil where that could not be measured
	Rounds int
}

// Kept says what became of it.
type Kept struct {
	Already bool     // it was there: a take is known by its content and time
	Said    []string // sentences: a date that cannot be right, a fingering that is new
}

// Keeper puts the takes of a desk into the diary.
type Keeper struct {
	InDiary string // what the diary was given last, a sentence; empty while nothing was

	host  Host
	going sync.WaitGroup
}

// NewKeeper keeps the takes of a desk.
func NewKeeper(h Host) *Keeper { return &Keeper{host: h} }

// Keep puts a take into its player's diary, in the background.
func (k *Keeper) Keep(r Remembered) {
	diary := k.host.Diary()
	k.going.Add(1)
	errand.Send(k.host.Post, func(*errand.Errand) func() {
		defer k.going.Done()
		kept, err := diary.Remember(r)
		return func() { k.kept(r.Player, kept, err) }
	})
}

// KeepMended puts what was mended into its player's diary, in the background.
func (k *Keeper) KeepMended(m Mended) {
	diary := k.host.Diary()
	k.going.Add(1)
	errand.Send(k.host.Post, func(*errand.Errand) func() {
		defer k.going.Done()
		err := diary.Mended(m)
		return func() {
			if err != nil {
				k.host.Fault(said.Joined(words.Say("desk.diary.not-mended"), said.Sentence(err)))
				k.host.Changed()
			}
		}
	})
}

func (k *Keeper) kept(player string, kept Kept, err error) {
	switch {
	case err != nil:
		k.host.Fault(said.Joined(words.Say("desk.diary.not-kept"), said.Sentence(err)))
		k.InDiary = ""
	case kept.Already:
		k.InDiary = words.Say("desk.diary.already", "player", player)
	default:
		k.InDiary = words.Say("desk.diary.kept", "player", player)
		for _, sentence := range kept.Said {
			k.host.Add(sentence)
		}
	}
	k.host.Changed()
}

// patience is how long a window that closes waits for the diary.
const patience = 10 * time.Second

// Await waits until all that was given to the diary is there.
func (k *Keeper) Await() {
	done := make(chan struct{})
	go func() { k.going.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(patience):
	}
}
