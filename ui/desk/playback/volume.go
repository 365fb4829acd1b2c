package playback

import (
	"sync"

	"endpin/dsp/sound"
)

// Volume is how loud recordings sound: softly at first, and softly again on another
// loudspeaker, since nobody knows how loud that one is, or who wears it. Its methods are
// called from any goroutine; nil is as loud as a recording may be.
type Volume struct {
	mu     sync.Mutex
	name   string // of the loudspeaker that it was set on …
	outlet string // … and where that came out; "" for not known
	step   int
	on     *sound.Loudspeaker // that plays now, or did last
}

// gains are the steps, from soft to as loud as a recording may be: 4 dB each or a little
// more, which is plainly heard.
var gains = []float64{0.25, 0.4, 0.63, 1}

// Steps are how many there are, and Step which of them is chosen, from 0.
func (v *Volume) Steps() int { return len(gains) }
func (v *Volume) Step() int {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.step
}

// Louder goes on by so many steps, or back, at once.
func (v *Volume) Louder(by int) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.step = max(0, min(len(gains)-1, v.step+by))
	if v.on != nil {
		v.on.Gain(gains[v.step])
	}
}

// of sets a loudspeaker that was opened: another than before begins softly.
func (v *Volume) of(l *sound.Loudspeaker) {
	if v == nil {
		return
	}
	v.mu.Lock()
	if l.Name != v.name {
		v.name, v.outlet, v.step = l.Name, "", 0
	}
	v.on = l
	l.Gain(gains[v.step])
	v.mu.Unlock()
	v.Heed()
}

// Heed has what plays sound softly again where it comes out elsewhere by now, and reports that.
func (v *Volume) Heed() (elsewhere bool) {
	if v == nil {
		return false
	}
	v.mu.Lock()
	l := v.on
	v.mu.Unlock()
	now := l.Outlet() // which may take a while
	v.mu.Lock()
	defer v.mu.Unlock()
	if elsewhere = now != "" && v.outlet != "" && now != v.outlet; elsewhere {
		v.step = 0
		l.Gain(gains[0])
	}
	if now != "" {
		v.outlet = now
	}
	return elsewhere
}
