package finding

import (
	"math"
	"slices"

	"endpin/dsp"
)

// Whether a pitch is to be believed. Set by ear, no source.
const (
	belowLowest      = 1.0  // semitones below the lowest note, where none is …
	belowMost        = 4    // … and one note in so many may seem to be
	unclearPitch     = 0.2  // aperiodicity of a pitch that is none yet
	scratchAperiodic = 0.1  // aperiodicity of a short note's scratch …
	scratchUnder     = 10.0 // dB … and how far it lies below the notes
	leastDoubt       = 1.5  // cents: the tracker's own
	spreadDoubt      = 0.6  // of a note's spread beside its vibrato: by so much two trackers differ on real bowed notes, long or short …
	shortDoubt       = 0.5  // cents times the seconds that there were to listen to …
	leastSteady      = 0.04 // … of which there are so many at least
	pluckedDoubt     = 6.0  // cents: a string that dies away is stiff, and its partials lie a little off
)

// ideal is where the intonation asked for puts a note, cents from equal temperament.
func (ev *evidence) ideal(i int) float64 {
	return ev.opts.Intonation.Cents(ev.line[i].MIDI, ev.piece.Measures[ev.line[i].Measure].Key)
}

// referredBy is how far the reference asked for lies above 440 Hz, semitones.
func (ev *evidence) referredBy() float64 { return 12 * math.Log2(ev.opts.A4/dsp.ReferenceA) }

// changePlaces puts a note heard at the pitch of a neighbour that alone was not, and between
// the beats of the two, into that one's place: one mistake explains it instead of two.
func (ev *evidence) changePlaces() {
	off := func(i int, n *dsp.Note) float64 {
		return math.Abs(n.Pitch - float64(ev.line[i].MIDI+12*ev.align.Octave) - ev.ideal(i)/100)
	}
	for i := ev.align.First + 1; i < ev.align.Last; i++ {
		m := ev.match(i)
		for _, k := range []int{i - 1, i + 1} {
			other := ev.match(k)
			if m.Heard >= 0 || other.Heard < 0 || ev.match(2*i-k).Heard < 0 || other.Guessed || other.Recovered || k == ev.align.First || k == ev.align.Last || other.Step != 0 ||
				(other.Note.Onset-m.Beat)*(other.Beat-other.Note.Onset) < 0 || math.IsNaN(m.Beat+other.Beat) ||
				off(i, &other.Note) > ownPitch || off(i, &other.Note) > off(k, &other.Note)/2 {
				continue
			}
			m.Heard, m.Note, other.Heard, other.Note = other.Heard, other.Note, -1, dsp.Note{}
		}
	}
}

// centsHeard is how far each note of the line was heard from where it belongs, cents
// against the reference asked for; NaN where no pitch was heard of it.
func (ev *evidence) centsHeard() []float64 {
	cents := make([]float64, len(ev.line))
	for i := range cents {
		cents[i] = math.NaN()
		if m := ev.match(i); m.Heard >= 0 && !m.Guessed {
			cents[i] = 100*(m.Note.Pitch-float64(ev.line[i].MIDI+12*ev.align.Octave)) - ev.ideal(i)
		}
	}
	return cents
}

// notBelow is what was heard without notes below the lowest that there can be, of the
// instrument or of the page: a track that goes there has slipped by an octave.
func (ev *evidence) notBelow() *dsp.Heard {
	low := math.MaxInt
	for _, s := range ev.board.Strings {
		low = min(low, s.MIDI-s.Below)
	}
	for i := range ev.line {
		low = min(low, ev.line[i].MIDI)
	}
	heard := *ev.heard
	heard.Notes = slices.Clone(heard.Notes)
	raised := 0
	for i := range heard.Notes {
		for n := &heard.Notes[i]; n.Pitch-ev.referredBy() < float64(low)-belowLowest; raised++ {
			n.Pitch, n.Landing = n.Pitch+12, n.Landing+12
		}
	}
	if belowMost*raised > len(heard.Notes) {
		return ev.heard // so often it is no slip: the strings are tuned lower, or it is another page
	}
	return &heard
}

// pitched tells whether the pitch of a note is to be believed. Near its resonance the body
// pulls at the first tenths of a second of a real plucked note by up to 90 cents, and
// steadily; but its partials are then not those of one pitch.
func (ev *evidence) pitched(i int) bool {
	n := &ev.match(i).Note
	return !math.IsNaN(ev.cents[i]) && n.Trust != dsp.NotSure && n.Aperiodicity < unclearPitch &&
		!(n.Aperiodicity > scratchAperiodic && n.Level < ev.noteLevel-scratchUnder) && // the bow had scratched, and the string not spoken yet
		!ev.pulled[i]
}

// pitchDoubt is how far the pitch heard of a note may lie from the one it had, as a
// standard deviation, cents. Looked at on 650 rendered and recorded notes: what leaves a
// tenth of a second to listen to is off by 5 cents in the middle, what leaves a quarter by
// less than 2; and on 5,100 plucked ones whose partials are of one pitch (774 of a recorded
// bass, 1,303 of the modelled one), however they waver: of 99 in 100 by less than 17.
func (ev *evidence) pitchDoubt(i int) float64 {
	n := &ev.match(i).Note
	if ev.struck[i] {
		return pluckedDoubt
	}
	wavers := math.Sqrt(math.Max(0, n.Spread*n.Spread-n.VibratoExtent*n.VibratoExtent/2)) // a vibrato's mean is known well
	return math.Hypot(math.Hypot(leastDoubt, spreadDoubt*wavers), shortDoubt/math.Max(leastSteady, n.SteadyTo-n.SteadyFrom))
}

// leading tells whether a note is the leading note, on its way up to the tonic.
func (ev *evidence) leading(i int) bool {
	tonic := tonicOf(ev.piece.Measures[ev.line[i].Measure].Key)
	return i+1 < len(ev.line) && (ev.line[i].MIDI+1-tonic)%12 == 0 && ev.line[i+1].MIDI == ev.line[i].MIDI+1
}
