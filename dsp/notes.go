package dsp

import (
	"math"
	"slices"

	"endpin/dsp/robust"
)

// notesHeard cuts the pitch track into notes at the onsets and measures each; falls are
// what flux measured, frame for frame.
func notesHeard(frames []Frame, falls []float64, onsets []Onset, floor float64) []Note {
	if len(frames) < 2 {
		return nil
	}
	s := &segmenter{frames: frames, falls: falls, begin: frames[0].Time, hop: frames[1].Time - frames[0].Time, levels: smoothLevels(frames)}
	var notes []Note
	for i, on := range onsets {
		end := frames[len(frames)-1].Time
		if i+1 < len(onsets) {
			end = onsets[i+1].Time
		}
		if n, ok := s.note(on, end, floor); ok {
			notes = append(notes, n)
		}
	}
	return notes
}

type segmenter struct {
	frames []Frame
	falls  []float64
	begin  float64 // s: 0 but for a stretch out of the midst
	hop    float64
	levels []float64
}

// Set by ear on sampled and recorded basses, bowed and plucked; no source.
const (
	shortestNote       = 0.06  // s of pitched sound: less is a click or a knock
	attackSkip         = 0.08  // s after the onset that the steady part leaves out at least
	attackMost         = 0.3   // and at most: a bowed bass goes on settling, and a long note can wait
	attackShare        = 0.45  // of the note, in between
	steadyLeft         = 3     // frames with a pitch that must be left of the steady part
	shortSkip          = 0.03  // s after the onset left out where they are not
	endSkip            = 0.045 // s before the end
	pitchedMost        = 0.35  // aperiodicity above which a frame says nothing of a note's pitch
	pluckThump         = 16    // frames after the onset in which a pluck's own thump falls away
	releaseFall        = 5.5   // dB a band that bands fall by in fallLag frames where a note is let go
	silentDrop         = 30.0  // dB below the note's loudest that count as silence, too
	goneAfter          = 5     // frames that a note sounds at least
	goneOver           = 5.0   // dB above the room that count as silence …
	goneFrom           = 9.0   // … after a note that was louder than it by this
	releaseTime        = 0.065 // s that what is heard of a release lies later: fallLag, and half of a crest
	landingTime        = 0.1   // s
	settledWithin      = 10.0  // cents
	otherSoundInterval = 4.0   // semitones from a note's pitch: no finger on its way, but what rang before
)

func (s *segmenter) index(t float64) int {
	return max(0, min(len(s.frames)-1, int(math.Round((t-s.begin)/s.hop))))
}

func (s *segmenter) note(on Onset, next, floor float64) (Note, bool) {
	from, to := s.index(on.Time), s.index(next)
	n := Note{Onset: on.Time, Kind: on.Kind, Strength: on.Strength, Fresh: on.Fresh, Stroke: on.Stroke}
	offset, gone := s.offset(from, to, next, floor)
	n.Offset = offset
	end := s.index(n.Offset)
	length := n.Offset - n.Onset

	n.SteadyFrom = n.Onset + math.Min(attackMost, math.Max(attackSkip, attackShare*length))
	n.SteadyTo = n.Offset - endSkip
	cents := s.pitches(s.index(n.SteadyFrom), s.index(n.SteadyTo))
	if len(cents) < steadyLeft { // a note too short to leave anything out: what there is
		n.SteadyFrom, n.SteadyTo = n.Onset+shortSkip, n.Offset
		cents = s.pitches(s.index(n.SteadyFrom), end)
	}
	if len(cents) < 2*steadyLeft { // the bow left it at once: the string tells it as it rings on
		n.SteadyTo = s.frames[gone].Time
		cents = s.pitches(s.index(n.SteadyFrom), gone)
	}
	if len(cents) < steadyLeft || float64(len(s.pitches(from, gone)))*s.hop < shortestNote {
		return Note{}, false
	}
	n.Pitch, n.Spread = trimmedMean(inOneOctave(cents))
	n.Level, n.Aperiodicity = s.sound(s.index(n.SteadyFrom), s.index(n.SteadyTo))
	n.Landing, n.Settle = s.landing(n, from, end)
	n.VibratoRate, n.VibratoExtent = s.vibrato(n)
	n.Plucked = s.plucked(from, to)
	n.Trust = trust(n, floor, len(cents))
	return n, true
}

// offset finds when a note is let go, before the next begins: where its bands fall
// together for the last time and do not come up again, or the level has come down to
// nothing. Strings, body and room ring on, a few bands as loud as before and each at its
// own rate, but what the bow or the finger brought into all of them is gone at once. An
// accent falls so too, and the bow goes on below it: what is still to fall is no end yet.
// gone is the frame from which on nothing of it rings.
func (s *segmenter) offset(from, to int, next, floor float64) (offset float64, gone int) {
	earliest := s.frames[from].Time + 2*s.hop
	loudest, end, falling := math.Inf(-1), next, false
	gone = to
	for k := from; k < to; k++ {
		l := s.levels[k]
		loudest = math.Max(loudest, l)
		if k-from > goneAfter && (l < floor+goneOver && loudest > floor+goneFrom || l < loudest-silentDrop) && !s.comesUp(k, min(to, k+int(softRiseTime/s.hop)), loudest) {
			if gone = k; end == next {
				end = math.Max(earliest, s.frames[k].Time-releaseTime)
				gone = s.index(end)
			}
			break
		}
		if s.falls[k] < releaseFall/2 {
			falling = false
		}
		if k-from > pluckThump && !falling && s.letGo(k, to, loudest) {
			falling = true
			for k+1 < to && s.falls[k+1] > s.falls[k] {
				k++
			}
			end = s.frames[k].Time - releaseTime
		}
	}
	return math.Max(earliest, end), gone
}

// letGo tells whether the bands fall at a frame, and by the next note neither they come up
// again by half as much, nor the level to its loudest so far: a bow that scratches first
// stops no note.
func (s *segmenter) letGo(k, to int, loudest float64) bool {
	if s.falls[k] < releaseFall || s.comesUp(k, to, loudest) {
		return false
	}
	left := s.falls[k]
	for j := k + fallLag; j < to; j += fallLag {
		if left += s.falls[j]; left < s.falls[k]/2 {
			return false
		}
	}
	return true
}

// comesUp tells whether the level comes up to its loudest so far after a frame, before the
// next note: what fell was what sounded before, and the note sets in softly.
func (s *segmenter) comesUp(k, to int, loudest float64) bool {
	for j := k; j < to-fallLag; j++ {
		if s.levels[j] >= loudest {
			return true
		}
	}
	return false
}

// pitches gives the pitch of each frame of a stretch that has one.
func (s *segmenter) pitches(from, to int) []float64 {
	var p []float64
	for k := from; k < to; k++ {
		if f := s.frames[k]; f.Voiced && f.Aperiodicity < pitchedMost {
			p = append(p, MIDI(f.Freq))
		}
	}
	return p
}

// inOneOctave puts pitches, at least one, within half an octave of the one in their middle:
// a track that slips by octaves within a note doubts which of them it is, and nothing else.
func inOneOctave(pitches []float64) []float64 {
	m := slices.Sorted(slices.Values(pitches))[len(pitches)/2]
	for i, p := range pitches {
		pitches[i] -= 12 * math.Round((p-m)/12)
	}
	return pitches
}

const (
	trimSpreads = 2.5  // robust standard deviations from the median that a pitch may lie …
	trimLeast   = 0.02 // … and semitones more: a perfectly steady note has no spread
)

// trimmedMean gives the mean of the pitches near their median, and their robust standard
// deviation about it in cents.
func trimmedMean(pitches []float64) (mean, spread float64) {
	m := robust.Median(pitches)
	sd := robust.SpreadAbout(pitches, m)
	sum, n := 0.0, 0.0
	for _, p := range pitches {
		if math.Abs(p-m) <= trimSpreads*sd+trimLeast {
			sum += p
			n++
		}
	}
	return sum / n, 100 * sd
}

func (s *segmenter) sound(from, to int) (level, aperiodicity float64) {
	var l, a []float64
	for k := from; k <= to && k < len(s.frames); k++ {
		l = append(l, s.frames[k].Level)
		a = append(a, s.frames[k].Aperiodicity)
	}
	if len(l) == 0 {
		return s.frames[from].Level, s.frames[from].Aperiodicity
	}
	return robust.MedianOf(l), robust.MedianOf(a)
}

const (
	landingSkip    = 4    // frames after the onset that are the attack's
	landingPitched = 8    // tenths of the stretch that must have a pitch
	landingSteady  = 15.0 // cents of spread
	settleEnd      = 5    // frames before the end that are the release's
)

// landing gives the pitch of the first steady tenth of a second, and how long
// the note took to stay near the pitch it ends on.
func (s *segmenter) landing(n Note, from, end int) (pitch, settle float64) {
	width := int(landingTime / s.hop)
	pitch = n.Pitch
	for k := from + landingSkip; k+width <= end; k++ {
		p := s.pitches(k, k+width)
		if len(p) < width*landingPitched/10 {
			continue
		}
		if mean, spread := trimmedMean(p); spread < landingSteady && math.Abs(mean-n.Pitch) < otherSoundInterval {
			pitch = mean
			break
		}
	}
	for k := end - settleEnd; k > from; k-- {
		f := s.frames[k]
		if !f.Voiced || f.Aperiodicity >= pitchedMost {
			continue
		}
		if off := math.Abs(MIDI(f.Freq) - n.Pitch); off < otherSoundInterval && 100*off > settledWithin+n.VibratoExtent+2*n.Spread {
			return pitch, s.frames[k+1].Time - n.Onset
		}
	}
	return pitch, 0
}

const (
	vibratoTime   = 0.4  // s of pitch that it takes to tell
	vibratoSwings = 3    // times that the pitch must cross its mean upward
	vibratoLeast  = 6.0  // cents from the mean to the crest: less is no vibrato
	vibratoEven   = 0.35 // of their median by which periods may differ
	vibratoSlow   = 3.0  // Hz …
	vibratoFast   = 10.0 // … that fingers swing between
)

// vibrato measures a regular swing of the pitch over the steady part, from the
// times at which it crosses its mean.
func (s *segmenter) vibrato(n Note) (rate, extent float64) {
	p := s.pitches(s.index(n.SteadyFrom), s.index(n.SteadyTo))
	if float64(len(p))*s.hop < vibratoTime {
		return 0, 0
	}
	var ups []float64
	square := 0.0
	for i := 1; i < len(p); i++ {
		a, b := p[i-1]-n.Pitch, p[i]-n.Pitch
		square += b * b
		if a < 0 && b >= 0 {
			ups = append(ups, float64(i-1)+a/(a-b))
		}
	}
	extent = 100 * math.Sqrt(2*square/float64(len(p)))
	if len(ups) < vibratoSwings || extent < vibratoLeast {
		return 0, 0
	}
	periods := make([]float64, len(ups)-1)
	for i := range periods {
		periods[i] = (ups[i+1] - ups[i]) * s.hop
	}
	m := robust.Median(periods)
	for _, v := range periods {
		if math.Abs(v-m) > vibratoEven*m {
			return 0, 0
		}
	}
	if rate = 1 / m; rate < vibratoSlow || rate > vibratoFast {
		return 0, 0
	}
	return rate, extent
}

const (
	pluckedLeast = 0.2  // s of a note that can be told
	pluckedPeak  = 0.02 // s after the onset, and …
	pluckedPeak2 = 0.05 // … at which the loudest lies
	pluckedLate  = 0.4  // s after the onset at which it has died away, …
	pluckedEnd   = 0.05 // … or so much before the note's end
	pluckedDecay = 14.0 // dB a second: a bow sustains more
)

// plucked tells a sound that is loudest as it begins and dies away from one
// that a bow sustains.
func (s *segmenter) plucked(from, to int) bool {
	at := func(t float64) float64 { return s.levels[min(len(s.levels)-1, from+int(t/s.hop))] }
	if float64(to-from)*s.hop < pluckedLeast {
		return false
	}
	late := math.Min(pluckedLate, float64(to-from)*s.hop-pluckedEnd)
	return math.Max(at(pluckedPeak), at(pluckedPeak2))-at(late) > pluckedDecay*late
}

// What leaves doubt of a pitch: beyond the first it is not sure, beyond the second fair.
const (
	doubtAperiodicity, someAperiodicity = 0.25, 0.12
	doubtLevel, someLevel               = 8.0, 14.0  // dB above the room
	doubtSpread, someSpread             = 60.0, 25.0 // cents
	sureFrames                          = 6          // frames with a pitch that it takes to be sure
)

// trust tells how far a note's pitch may be believed.
func trust(n Note, floor float64, frames int) Trust {
	switch {
	case n.Aperiodicity > doubtAperiodicity || n.Level < floor+doubtLevel || n.Spread > doubtSpread:
		return NotSure
	case n.Aperiodicity > someAperiodicity || n.Level < floor+someLevel || n.Spread > someSpread || frames < sureFrames:
		return Fair
	}
	return Sure
}
