package work

import "time"

// Taps finds a tempo from the last few taps.
type Taps struct{ at []time.Time }

const (
	tapsKept = 5
	tapPause = 2500 * time.Millisecond // after which a new row of taps begins
)

// Tap takes one tap; from the third on it tells quarter notes a minute.
func (t *Taps) Tap(now time.Time) (qpm float64, ok bool) {
	if n := len(t.at); n > 0 && now.Sub(t.at[n-1]) > tapPause {
		t.at = nil
	}
	t.at = append(t.at, now)
	if n := len(t.at); n > tapsKept {
		t.at = t.at[n-tapsKept:]
	}
	n := len(t.at)
	if n < 3 {
		return 0, false
	}
	beat := t.at[n-1].Sub(t.at[0]).Seconds() / float64(n-1)
	if beat <= 0 {
		return 0, false
	}
	return float64(int(60/beat + 0.5)), true
}
