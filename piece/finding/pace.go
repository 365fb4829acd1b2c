package finding

import (
	"math"
	"sort"

	"endpin/dsp"
)

const (
	driftMore  = 1.5 // times the tolerance that the pace may change from one end of a take to the other
	tempoLeast = 4   // notes that tell a tempo at all: of three, one late makes another tempo
	tempoSure  = 8   // and surely
	driftNotes = 12  // notes that a drift must be seen over
)

// tempo tells of a pace other than the one asked for, or one that drifts.
func (t *take) tempo() {
	qpm := t.supposed / t.align.Pace
	drift, ok := t.drift()
	drifts := ok && math.Abs(drift) > driftMore*t.level.Tempo/100
	differs := t.asked > 0 && math.Abs(qpm/t.asked-1) > t.level.Tempo/100
	notes := 0
	for i := range t.line {
		if m := t.match(i); m.Heard >= 0 && !m.Guessed {
			notes++
		}
	}
	if !drifts && !differs || notes < tempoLeast {
		return
	}
	f := Finding{Kind: Tempo, Value: qpm, Trust: dsp.Sure, Tolerance: round(t.level.Tempo/100*t.asked, 1), Notes: notes}
	if notes < tempoSure {
		f.Trust = dsp.Fair
	}
	f.Text = t.tempoText(qpm, drift, drifts, differs)
	t.whole(f)
}

// drift is by what share the pace grows from the first note to the last
// (positive: faster), from the slopes of the take's two halves.
func (t *take) drift() (share float64, ok bool) {
	var x, y []float64
	phrase := t.match(t.align.Last).Phrase
	for i := t.align.First; i <= t.align.Last; i++ {
		if m := t.match(i); m.Heard >= 0 && !m.Guessed && m.Phrase == phrase && !math.IsNaN(m.Rate) {
			if m.Step != 0 {
				x, y = nil, nil // only what runs on in one beat
			}
			x, y = append(x, t.clock[i]), append(y, m.Note.Onset)
		}
	}
	if len(x) < driftNotes {
		return 0, false
	}
	h := len(x) / 2
	a, b := slope(x[:h], y[:h]), slope(x[h:], y[h:])
	if math.IsNaN(a) || math.IsNaN(b) {
		return 0, false
	}
	return 2 * (a/b - 1), true
}

// slope is the median of the slopes between points at least half the stretch
// apart (after Theil and Sen).
func slope(x, y []float64) float64 {
	var s []float64
	for p := range x {
		for q := p + len(x)/2; q < len(x); q++ {
			if x[q] > x[p] {
				s = append(s, (y[q]-y[p])/(x[q]-x[p]))
			}
		}
	}
	return median(s)
}

// otherSound is the aperiodicity, median over the notes of a bowed take, above
// which something else sounds with the bass. Measured on 32 rendered takes alone, in
// eight rooms: at most 0.023, and that in noise 30 dB under full scale; with a second
// player on another line, as loud or half as loud: 0.041 to 0.127. A second player in
// unison does not show.
const otherSound = 0.035

// noiseUnder is how far under the bass noise in the pauses hides how the room rings,
// and beginnings with it, dB.
const noiseUnder = 22.0

// ringing is how far the sound must fall within a tenth of a second after a note is
// let go for the next one to begin in the clear, dB. Measured on 24 rendered takes,
// bowed: 22 to 59 as rendered, 22 to 40 in a small room (sox reverb 20 50 30), 16 to 25
// in a larger one (35 60 50), 10 to 19 in a hall (50 50 80).
const ringing = 18.0

// drowning is the same where the ring is as loud as what is played: then only the
// pitch of longer notes and the pace can be told. In a staircase (sox reverb
// 80 30 100) the sound fell by 4 to 12 dB.
const drowning = 9.0

// drowned are the kinds of finding that then would be guesses.
var drowned = map[Kind]bool{Late: true, Early: true, HeldShort: true, HeldLong: true, WrongRhythm: true, WrongNote: true, Missing: true, Extra: true}

// deadLevel is one that no room is as soft as, dB: a gate or an editor put it there.
const deadLevel = -110.0

// sound tells where the recording itself leaves doubt. What is then heard in it
// is fair at most.
func (t *take) sound() {
	unsure, all := 0, 0
	level, rough := []float64{}, []float64{}
	for i := t.align.First; i <= t.align.Last; i++ {
		if m := t.match(i); m.Heard >= 0 && !m.Guessed {
			all++
			level = append(level, m.Note.Level)
			rough = append(rough, m.Note.Aperiodicity)
			if m.Note.Trust == dsp.NotSure {
				unsure++
			}
		}
	}
	t.hush = softest(t.heard.Frames)
	t.fall = t.heard.Fall
	if first, last := t.match(t.align.First).Note, t.match(t.align.Last).Note; t.heard.Notes[0].Onset < first.Onset || t.heard.Notes[len(t.heard.Notes)-1].Onset > last.Offset {
		t.fall = t.heard.FallWithin(first.Onset, last.Onset) // somebody talks before or after
	}
	t.rings = !t.plucked && t.fall > 0 && t.fall < ringing
	sort.Float64s(rough)
	between := t.pauses()
	t.along = t.company(rough, between)
	noisy := between.steady && !between.pitched && between.level > t.loud-noiseUnder
	var why string
	switch {
	case t.heard.Clipped > 0.02:
		why = "the recording is too loud and clipped: move the microphone away or turn its level down"
	case median(level) < t.heard.Floor+12:
		why = "the room is nearly as loud as the bass: move the microphone nearer or find a quieter room"
	case median(level) < -55:
		why = "the recording is very soft: move the microphone nearer or turn its level up"
	case t.along && t.rings && t.fall < drowning: // either leaves nothing but pitch and pace
		why = "another sound goes on all through it, an instrument that plays along or a room that rings like a staircase: record the bass alone, in a room with a carpet and curtains"
	case t.along:
		why = "another instrument sounds along, such as a backing track or a second player, so notes, rhythm and lengths are not told: record the bass alone, and hear the track through headphones"
	case !t.plucked && noisy && (t.rings || median(rough) > otherSound):
		why = "noise or music runs all through it, and soft beginnings are lost in it: move the microphone nearer or find a quieter room"
	case !t.plucked && median(rough) > otherSound:
		why = "another sound runs all through it, such as noise or music in the room: record the bass alone in a quiet room"
	case t.rings:
		why = "the room rings, and what was let go is still heard under the next note: move the phone nearer, two or three steps from the bass, or find a room with a carpet and curtains"
	case all > 0 && 4*unsure > all:
		why = "many notes were too unclear to judge"
	default:
		return
	}
	t.doubtful = true
	t.notSure(why, unsure)
}

// softest is the level that one frame in a hundred lies below, digital silence left
// out, dB. Where hardly a pause is played it lies under the level of the room that is
// known from the frames between notes.
func softest(frames []dsp.Frame) float64 {
	var levels []float64
	for _, f := range frames {
		if f.Level > deadLevel {
			levels = append(levels, f.Level)
		}
	}
	if len(levels) == 0 {
		return 0
	}
	sort.Float64s(levels)
	return levels[len(levels)/100]
}

// notSure files why a take leaves doubt.
func (t *take) notSure(why string, notes int) {
	t.whole(Finding{Kind: NotSure, Trust: dsp.NotSure, Notes: notes, Text: "Not sure of this take: " + why + "."})
}
