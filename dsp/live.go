package dsp

import "math"

// Provisional is what a Listener makes of the sound so far. What lies before the
// settled notes' end never changes; what comes after may still move, join or go.
type Provisional struct {
	Onsets  []Onset // not yet settled: a note's beginning is told before the note
	Notes   []Note
	Settled int // of Notes, those that stay
	Until   float64
}

const (
	liveContext = 60   // frames before the first open onset that it is judged with
	liveJitter  = 0.02 // s that an onset may move from look to look
	liveSettle  = 1.6  // s after a note's end: all that judges an onset looks less far
	liveLongest = 700  // frames that one look may take in
)

// live is a Listener's state between looks.
type live struct {
	counted int       // frames whose level is counted
	levels  [1300]int // how many, by tenths of a decibel above silenceLevel
	notes   []Note    // settled
	until   float64   // s before which all is settled
}

// Provisional gives the notes so far, at any time before Finish; every 20 to 50 ms
// is enough. A look costs no more after an hour than after a second. It changes
// nothing of what Finish gives. The slices are good until the next look.
func (l *Listener) Provisional() Provisional {
	v := &l.live
	n := min(len(l.heard.Frames), len(l.rises))
	if n < 2 {
		return Provisional{}
	}
	for ; v.counted < n; v.counted++ {
		v.levels[v.bin(l.heard.Frames[v.counted].Level)]++
	}
	hop := l.heard.Frames[1].Time - l.heard.Frames[0].Time
	from := max(0, int(v.until/hop)-liveContext, n-liveLongest)
	frames, rises := l.heard.Frames[from:n], l.rises[from:n]
	if len(frames) < 2 {
		return Provisional{Notes: v.notes, Settled: len(v.notes), Until: v.until}
	}
	floor := v.floor()
	onsets, _ := findOnsets(frames, rises, floor)
	for len(onsets) > 0 && onsets[0].Time < v.until-liveJitter {
		onsets = onsets[1:]
	}
	open := notesHeard(frames, onsets, floor)
	now := frames[len(frames)-1].Time
	done := 0
	far := now - hop*(liveLongest-2*liveContext) // a note as long as that stays as it is, for a look to end
	for done < len(open) && (open[done].Offset < now-liveSettle || open[done].Onset < far) {
		v.until = open[done].Offset
		done++
	}
	v.until = math.Max(v.until, far)
	v.notes = append(v.notes, open[:done]...)
	all := append(v.notes[:len(v.notes):len(v.notes)], open[done:]...)
	for len(onsets) > 0 && onsets[0].Time < v.until-liveJitter {
		onsets = onsets[1:]
	}
	return Provisional{Onsets: onsets, Notes: all, Settled: len(v.notes), Until: v.until}
}

func (v *live) bin(level float64) int {
	return max(0, min(len(v.levels)-1, int(10*(level-silenceLevel))))
}

// floor is floorLevel of the frames counted, to a tenth of a decibel.
func (v *live) floor() float64 {
	at := func(rank int) float64 {
		for b, n := range v.levels {
			if rank -= n; rank < 0 {
				return silenceLevel + float64(b)/10
			}
		}
		return silenceLevel
	}
	return math.Min(at(v.counted/10), at(v.counted*9/10)-25)
}
