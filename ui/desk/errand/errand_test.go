package errand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// door is a goroutine's door: what is posted is done where the test does it.
type door chan func()

func (d door) post(f func()) { d <- f }

func TestWhatAnErrandTellsAndComesToIsDoneBehindTheDoor(t *testing.T) {
	d := make(door, 10)
	var said []string
	Send(d.post, func(e *Errand) func() {
		e.Tell(func() { said = append(said, "half") })
		return func() { said = append(said, "all") }
	})
	(<-d)()
	(<-d)()
	assert.Equal(t, []string{"half", "all"}, said)
}

func TestAnErrandThatIsStoppedComesBackAndOneThatIsDroppedDoesNot(t *testing.T) {
	d, back := make(door, 10), 0
	work := func(e *Errand) func() {
		<-e.Done()
		return func() { back++ }
	}
	e := Send(d.post, work)
	e.Stop()
	(<-d)()
	assert.Equal(t, 1, back)
	e = Send(d.post, work)
	e.Drop()
	(<-d)()
	assert.Equal(t, 1, back)
	e = nil
	e.Drop() // nothing was sent
}
