package desk

import (
	"sync"
	"time"

	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// Remembered is a take that is to go into a player's diary.
type Remembered struct {
	Player  string
	Score   *Score
	Sound   string // the recording's file
	At      time.Time
	Options finding.Options
	Hearing *finding.Hearing
}

// Kept says what became of it.
type Kept struct {
	Already bool     // it was there: a take is known by its content and time
	Said    []string // sentences: a date that cannot be right, a fingering that is new
}

// Remembering is what the diary was given last.
type Remembering struct {
	InDiary string // a sentence; empty while nothing was given

	going sync.WaitGroup
}

// remember puts a take that was judged into the diary of the player whose desk
// it was when it was played, in the background. A recording made elsewhere may be
// anybody's, and what plays in a microphone's place is nobody's.
func (d *Desk) remember(t *Take, o finding.Options, h *finding.Hearing) {
	player := t.Player
	if player == "" || d.means.Diary == nil || !t.kept || t.Instead {
		return
	}
	r := Remembered{Player: player, Score: d.Score, Sound: t.Sound, At: t.Made, Options: o, Hearing: h}
	d.going.Add(1)
	go func() {
		kept, err := d.means.Diary.Remember(r)
		d.going.Done()
		d.means.Post(func() { d.remembered(player, kept, err) })
	}()
}

func (d *Desk) remembered(player string, kept Kept, err error) {
	switch {
	case err != nil:
		d.say(said.Joined(words.Say("desk.diary.not-kept"), said.Sentence(err)))
		d.InDiary = ""
	case kept.Already:
		d.InDiary = words.Say("desk.diary.already", "player", player)
	default:
		d.InDiary = words.Say("desk.diary.kept", "player", player)
		for _, said := range kept.Said {
			d.add(said)
		}
	}
	d.tell()
}

// patienceToKeep is how long a window that closes waits for the diary.
const patienceToKeep = 10 * time.Second

// awaitDiary waits until all that was given to the diary is there.
func (d *Desk) awaitDiary() {
	done := make(chan struct{})
	go func() { d.going.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(patienceToKeep):
	}
}
