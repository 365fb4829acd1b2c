package finding

import (
	"math"
	"sort"

	"endpin/dsp"
)

const (
	anotherNote = 76.0 // cents from where a note's hand puts it: another note
	plainFall   = 12.0 // dB by which a ring has fallen where nobody plays
	twoSounds   = 0.05 // aperiodicity of two sounds at once
	comesUp     = 4.0  // dB that a ring does not come up by itself
)

// presence tells of notes that were others, missing or too many, and of going back.
func (t *take) presence() {
	for _, r := range t.align.Restarts {
		to, from := &t.line[r.To], &t.line[r.From]
		f := Finding{Kind: Restarted, Measure: to.Number, ToMeasure: from.Number, Pass: to.Pass, Beat: round(to.Beat, 3),
			Value: number(to.Number), Trust: dsp.Sure, At: round(r.At, 3)}
		t.add(f, r.To, r.To)
	}
	t.wrongNotes()
	t.missing()
	t.extras()
}

// wrongNotes tells of another pitch in a note's place, measured from where its
// hand lies: a hand that landed a semitone off is not a row of wrong notes.
func (t *take) wrongNotes() {
	frames := map[int][]float64{}
	for i, f := range t.plan.Notes {
		if !math.IsNaN(t.cents[i]) && f.Stopped() {
			frames[f.Frame] = append(frames[f.Frame], t.cents[i]-t.base)
		}
	}
	for i, f := range t.plan.Notes {
		if math.IsNaN(t.cents[i]) {
			continue
		}
		from := 0.0
		if f.Stopped() {
			// With three notes or more the hand is where most of them are; of two,
			// where the better one is; a note alone is its own hand.
			notes := frames[f.Frame]
			switch {
			case len(notes) >= 3:
				from = median(notes)
			case len(notes) == 2:
				from = notes[0]
				if math.Abs(notes[1]) < math.Abs(from) || math.Abs(notes[0]) > 160 {
					from = notes[1]
				}
			default:
				from = notes[0]
			}
			if math.Abs(from) > 160 {
				from = 0
			}
		}
		off := t.cents[i] - t.base - t.strings[f.String] - from
		semitones := math.Round((t.cents[i] - t.base) / 100)
		if math.Abs(off) < anotherNote || semitones == 0 {
			continue
		}
		if t.plucked && !t.pitched(i) && math.Abs(semitones) < 2 {
			continue
		}
		n := &t.match(i).Note
		t.wrong[i] = true
		if t.mixed(n) {
			continue
		}
		trust := n.Trust
		if h := math.Mod(math.Abs(semitones), 12); h == 0 || h == 7 && math.Abs(semitones) > 12 {
			// A tracker that slips by an octave or a twelfth would say so too, and so
			// would a ring together with what begins under it.
			if t.rings || n.Strength < plainOnset || n.Spread > 10 || n.Offset-n.Onset < 0.3 || t.besideOctave(i) {
				continue
			}
			trust = least(trust, dsp.Fair)
		}
		if trust == dsp.NotSure {
			continue
		}
		t.add(Finding{Kind: WrongNote, Value: semitones, Trust: trust, Spread: n.Spread, Tolerance: 0.5, Notes: 1}, i, i)
	}
}

// mixed tells whether in a room that rings more than one sound was heard: the pitch
// is then neither that of the note nor that of the ring before it.
func (t *take) mixed(n *dsp.Note) bool { return t.rings && n.Aperiodicity > twoSounds }

// besideOctave tells whether the note before or after is written an octave away,
// or is a harmonic of what was heard an octave low: a tracker that has not left
// that one yet would hear this one there.
func (t *take) besideOctave(i int) bool {
	for _, k := range []int{i - 1, i + 1} {
		if k < 0 || k >= len(t.line) {
			continue
		}
		switch t.line[k].MIDI - t.line[i].MIDI {
		case -12, 12, 7, 16: // above the octave below: 0, 24, 19 and 28 semitones, its harmonics 1, 4, 3 and 5
			return true
		}
	}
	return false
}

func (t *take) missing() {
	first, last := t.align.First, t.align.Last
	for i := first; i <= last; {
		if t.match(i).Heard >= 0 {
			i++
			continue
		}
		to := i
		for to+1 <= last && t.match(to+1).Heard < 0 {
			to++
		}
		if t.unclear(i, to) || t.sounds(i, to) || t.nearer(i, to) {
			i = to + 1
			continue
		}
		trust := dsp.Sure
		if t.covered(i, to) {
			if t.plucked || t.rings && !t.diesAway(i, to) || t.loud < t.heard.Floor+deepNoise {
				i = to + 1 // under a string that rings, or noise, it may have been there
				continue
			}
			trust = dsp.Fair
		}
		t.add(Finding{Kind: Missing, Trust: trust, Notes: to - i + 1, Value: float64(to - i + 1), At: round(t.match(i-1).Note.Offset, 3)}, i, to)
		i = to + 1
	}
	t.unplayed(last+1, t.to, t.match(last).Note.Offset)
	t.unplayed(t.from, first-1, t.match(first).Note.Onset)
}

// unplayed tells where a take stops before the end of what was to be played, or begins
// after its beginning. Nothing is said of how the rest is played; and where much was
// heard there that does not fit the page, not even that it was not.
func (t *take) unplayed(from, to int, at float64) {
	n := to - from + 1
	if n <= 0 {
		return
	}
	f := Finding{Kind: Missing, Trust: dsp.Sure, Notes: n, Value: float64(n), At: round(at, 3), Unplayed: n > 1}
	begins := from == t.from && from < t.align.First
	heard := 0
	for _, j := range t.others(begins) {
		if n := &t.heard.Notes[j]; n.Trust != dsp.NotSure && n.Offset-n.Onset > bareExtra {
			heard++
		}
	}
	switch {
	case n == 1:
	case 2*heard > n:
		f.Trust = dsp.NotSure
		f.Text = t.strayedText(from, begins)
	case begins:
		f.Text = t.begunText(to + 1)
	default:
		f.Text = t.stoppedText(from)
	}
	t.add(f, from, to)
}

// others are the notes heard before the first that is of the line, or after the last.
func (t *take) others(before bool) (all []int) {
	for j := range t.heard.Notes {
		at := t.heard.Notes[j].Onset
		if before && at < t.match(t.align.First).Note.Onset-0.1 || !before && at > t.match(t.align.Last).Note.Offset-0.1 {
			all = append(all, j)
		}
	}
	return all
}

// covered tells whether sound goes on where notes are missing: the onset may
// have been there and not been heard.
func (t *take) covered(from, to int) bool {
	if from == 0 {
		return false
	}
	before := &t.match(from - 1).Note
	beat := t.match(from).Beat
	return !math.IsNaN(beat) && before.Offset > beat+0.15
}

// sounds tells whether a sound came up again where notes are missing, after the one
// before had been let go: something was played there, and its beginning not heard.
func (t *take) sounds(from, to int) bool {
	if from == 0 || t.match(from-1).Heard < 0 || to+1 >= len(t.line) || t.match(to+1).Heard < 0 {
		return false
	}
	gap := t.between(t.match(from-1).Note.Offset, t.match(to+1).Note.Onset-0.05)
	up, low := 0, math.Inf(1)
	for _, f := range gap {
		if low = math.Min(low, f.Level); f.Level > low+comesUp && f.Level > t.loud-12 {
			up++
		}
	}
	return 4*up > len(gap)
}

// diesAway tells whether in the time of notes missing nothing was heard but the ring
// of the note before, growing softer and softer.
func (t *take) diesAway(from, to int) bool {
	if from == 0 || t.match(from-1).Heard < 0 || to+1 >= len(t.line) || t.match(to+1).Heard < 0 {
		return false
	}
	before := &t.match(from - 1).Note
	low := before.Level
	for _, f := range t.between(before.Offset, t.match(to+1).Note.Onset-0.05) {
		if low = math.Min(low, f.Level); f.Level > low+comesUp {
			return false
		}
	}
	return low < before.Level-plainFall
}

// nearer tells whether the note after one missing was heard nearer to that one's beat
// than to its own: both may lie in it, the beginning of the second unheard.
func (t *take) nearer(from, to int) bool {
	if from != to || to+1 >= len(t.line) || t.match(to+1).Step != 0 || math.IsNaN(t.lateness(to+1)) || math.IsNaN(t.match(from).Beat) {
		return false
	}
	return math.Abs(t.match(to+1).Note.Onset-t.match(from).Beat) < -t.lateness(to+1)/1000
}

// unclear tells whether notes not heard are short, and sound without a pitch
// fills their time: a bow that has no time to make the string speak. Whether
// they were played cannot be told; nor, in a noisy room or one that rings, whether a
// short note was.
func (t *take) unclear(from, to int) bool {
	noisy := t.rings && !t.diesAway(from, to) || t.loud < t.heard.Floor+deepNoise
	sounding, all := 0, 0
	for i := from; i <= to; i++ {
		m := t.match(i)
		length := t.line[i].Length.Quarters() * t.secondsPerQuarter(i) * m.Rate
		if math.IsNaN(m.Beat) || length > 0.35 && !(noisy && length < 0.6) {
			return false
		}
		for _, f := range t.between(m.Beat, m.Beat+length) {
			all++
			if !f.Voiced && f.Level > t.heard.Floor+9 {
				sounding++
			}
		}
	}
	return noisy || 10*sounding > 4*all
}

// between gives the frames of a stretch of time, s.
func (t *take) between(from, to float64) []dsp.Frame {
	f := t.heard.Frames
	a := sort.Search(len(f), func(k int) bool { return f[k].Time >= from })
	b := sort.Search(len(f), func(k int) bool { return f[k].Time >= to })
	return f[a:max(a, b)]
}

// beatOf gives the beat, in the measure of a note of the line, at a moment after it.
func (t *take) beatOf(at float64, i int) float64 {
	m := t.match(i)
	from, rate := m.Beat, m.Rate
	if math.IsNaN(from) {
		from, rate = m.Note.Onset, t.align.Pace
	}
	return round(math.Max(1, t.line[i].Beat+(at-from)/(rate*t.secondsPerBeat(i))), 2)
}

// secondsPerBeat is the nominal length of a beat at a note of the line, s.
func (t *take) secondsPerBeat(i int) float64 {
	return t.piece.Measures[t.line[i].Measure].Time.Beat().Quarters() * t.secondsPerQuarter(i)
}
