package dsp

import (
	"math"
	"slices"
)

// Provisional is what a Listener makes of the sound so far. What lies before Until
// never changes; what comes after may still move, join or go, since what is heard
// later says more of it.
type Provisional struct {
	Heard           // as Finish would give it, Clipped left out
	Settled int     // of Notes, those that stay
	Until   float64 // s
}

// Set so that looks agree with the end (live_test.go); no source.
const (
	liveContext = 60            // frames before the first open onset that it is judged with
	liveJitter  = 0.02          // s that an onset may move from look to look
	liveSettle  = 1.6           // s after a note's end: all that judges an onset looks less far
	liveLongest = 700           // frames that one look may take in
	liveStride  = 300           // frames that one look may come after another
	binsADB     = 10            // of the levels counted, a decibel
	levelBins   = 130 * binsADB // from digital silence to 10 dB above full scale
)

// live is a Listener's state between looks.
type live struct {
	looked  int            // frames that the last look took in
	counted int            // frames whose level is counted
	loud    int            // those of them that are no digital silence
	levels  [levelBins]int // how many, by tenths of a decibel above silenceLevel
	until   float64        // s before which all is settled
	notes   []Note         // settled, and so the onsets below
	onsets  []Onset
	faint   []Onset
	now     moment
}

// Provisional gives what was heard so far, at any time before Finish. A look costs
// no more after an hour than after a second, and changes nothing of what Finish
// gives. The slices are good until the next look; the frames stay.
func (l *Listener) Provisional() Provisional {
	v := &l.live
	n := min(len(l.heard.Frames), len(l.rises))
	for v.looked+liveStride < n { // nobody looked for a while
		v.looked += liveStride
		l.look(v.looked)
	}
	v.looked = n
	return l.look(n)
}

// look gives what the first n frames tell.
func (l *Listener) look(n int) Provisional {
	v := &l.live
	p := Provisional{Heard: Heard{Rate: l.rate, Duration: float64(l.count) / float64(l.rate), Peak: float64(l.peak), Frames: l.heard.Frames[:n:n]}}
	p.Floor = v.floor(l.heard.Frames[:n])
	if n < 2 {
		return p
	}
	hop := l.hop()
	from := max(0, int(v.until/hop)-liveContext, n-liveLongest)
	frames := p.Frames[from:]
	onsets, faint := findOnsets(frames, l.rises[from:n], p.Floor)
	onsets, faint = unsettled(onsets, v.until), unsettled(faint, v.until)
	open := notesHeard(frames, l.heard.falls[from:n], onsets, p.Floor)
	var before *Note
	if len(v.notes) > 0 {
		before = &v.notes[len(v.notes)-1]
	}
	whole := Heard{Frames: p.Frames} // the sound itself is no part of what a look gives
	l.keepBand(&whole)
	whole.uncover(before, open, onsets)
	now := p.Frames[n-1].Time
	done := 0
	far := now - hop*(liveLongest-2*liveContext) // a note as long as that stays as it is, for a look to end
	for done < len(open) && (open[done].Offset < now-liveSettle || open[done].Onset < far) {
		v.until = open[done].Offset
		done++
	}
	v.until = math.Max(v.until, far)
	v.notes = append(v.notes, open[:done]...)
	rest, fainter := unsettled(onsets, v.until), unsettled(faint, v.until)
	v.onsets = append(v.onsets, onsets[:len(onsets)-len(rest)]...)
	v.faint = append(v.faint, faint[:len(faint)-len(fainter)]...)
	// What is open lies behind what is settled, and the next look writes over it.
	p.Notes, p.Onsets, p.Faint = append(v.notes, open[done:]...), append(v.onsets, rest...), append(v.faint, fainter...)
	p.Settled, p.Until = len(v.notes), v.until
	return p
}

// Latest gives copies of the last frames settled, at most n of them: whoever asks may
// write on them.
func (l *Listener) Latest(n int) []Frame {
	all := l.heard.Frames
	return slices.Clone(all[max(0, len(all)-n):])
}

func (l *Listener) hop() float64 { return float64(l.tracker.hop) / float64(l.rate) }

// unsettled gives those onsets that no earlier look has settled.
func unsettled(o []Onset, until float64) []Onset {
	for len(o) > 0 && o[0].Time < until-liveJitter {
		o = o[1:]
	}
	return o
}

func (v *live) bin(level float64) int {
	return max(0, min(len(v.levels)-1, int(binsADB*(level-silenceLevel))))
}

// floor is floorLevel of the frames, to a tenth of a decibel; those of an earlier
// call are counted already.
func (v *live) floor(frames []Frame) float64 {
	for ; v.counted < len(frames); v.counted++ {
		if level := frames[v.counted].Level; level > silenceLevel {
			v.levels[v.bin(level)]++
			v.loud++
		}
	}
	at := func(rank int) float64 {
		for b, n := range v.levels {
			if rank -= n; rank < 0 {
				return silenceLevel + float64(b)/binsADB
			}
		}
		return silenceLevel
	}
	if v.loud == 0 {
		return silenceLevel
	}
	return math.Min(at(v.loud/floorShare), at(v.loud*(floorShare-1)/floorShare)-floorDepth(v.counted, v.loud))
}
