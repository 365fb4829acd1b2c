// Package errand has work done beside the desk's goroutine. What it comes to goes back
// to that goroutine through one door.
package errand

import "context"

// Errand is work that goes on in the background. Its methods, but Tell, belong to the
// goroutine behind the door; none of them minds a nil.
type Errand struct {
	context.Context // ends with Stop, Drop or the work
	stop            context.CancelFunc
	post            func(func())
	dropped         bool
}

// Send has work done. What it gives back, and what it tells meanwhile, is done on the
// goroutine that post reaches.
func Send(post func(func()), work func(*Errand) (then func())) *Errand {
	ctx, stop := context.WithCancel(context.Background())
	e := &Errand{Context: ctx, stop: stop, post: post}
	go func() {
		then := work(e)
		stop()
		e.Tell(then)
	}()
	return e
}

// Tell has something done behind the door, unless nobody waits for it any more.
func (e *Errand) Tell(f func()) {
	e.post(func() {
		if !e.dropped {
			f()
		}
	})
}

// Stop asks the work to end. What it came to comes back all the same.
func (e *Errand) Stop() {
	if e != nil {
		e.stop()
	}
}

// Drop is Stop where nobody waits for what it came to any more.
func (e *Errand) Drop() {
	if e.Stop(); e != nil {
		e.dropped = true
	}
}
