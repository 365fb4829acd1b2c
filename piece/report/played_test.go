package report_test

import (
	"fmt"
	"math"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// played is a take made by hand: a piece, what was heard of it, and the sound.
type played struct {
	piece *piece.Piece
	line  []piece.Expected
	h     *finding.Hearing
	heard *dsp.Heard
}

// The tune of every hand-made take: four quarters a measure, first position and
// third in turn, one measure of each four a half note and two quarters.
var tune = []struct {
	step     string
	alter    int
	midi     int
	finger   string
	position string
	str      int
}{
	{"G", 0, 31, "2", "1", 4}, {"A", 0, 33, "0", "0", 3}, {"B", 0, 35, "1", "1", 3}, {"C", 0, 36, "2", "1", 3},
	{"D", 0, 38, "0", "0", 2}, {"E", 0, 40, "1", "1", 2}, {"F", 1, 42, "4", "1", 2}, {"G", 0, 43, "0", "0", 1},
	{"C", 0, 48, "1", "3", 1}, {"D", 0, 50, "4", "3", 1}, {"C", 0, 48, "1", "3", 1}, {"A", 0, 45, "1", "1", 1},
}

// take plays a piece of so many measures at ♩ = 60 without a fault: note i
// begins i seconds after the first second, in tune to the cent.
func take(measures int) *played {
	p := &piece.Piece{Title: "Two Quays", Composer: "Endpin", Part: "Double Bass"}
	k := 0
	for m := range measures {
		bar := piece.Measure{Number: fmt.Sprint(m + 1), Time: piece.Time{Beats: 4, Unit: 4}, Key: piece.Key{Fifths: 1}, Length: 4 * piece.Quarter}
		lengths := []piece.Ticks{1, 1, 1, 1}
		if m%4 == 3 {
			lengths = []piece.Ticks{2, 1, 1}
		}
		at := piece.Ticks(0)
		for _, l := range lengths {
			t := tune[k%len(tune)]
			bar.Notes = append(bar.Notes, piece.Note{Start: at, Length: l * piece.Quarter, MIDI: t.midi,
				Spelling: piece.Spelling{Step: t.step, Alter: t.alter, Octave: 3}})
			at += l * piece.Quarter
			k++
		}
		p.Measures = append(p.Measures, bar)
	}
	return perform(p)
}

// perform hears every note of a piece as it is written, at ♩ = 60.
func perform(p *piece.Piece) *played {
	line, _ := p.Line()
	h := &finding.Hearing{Version: 1, Piece: p.Title, Recording: "tuesday.wav", ReferenceA: 440, HeardA: 440,
		TempoAsked: 60, TempoHeard: 60, Level: "intermediate", Intonation: "equal"}
	sound := &dsp.Heard{Rate: 44100}
	position := ""
	for i, e := range line {
		t := tune[i%len(tune)]
		on := 1 + e.Onset.Quarters()
		off := on + 0.95*e.Length.Quarters()
		n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, HeardMIDI: ptr(e.MIDI),
			Onset: ptr(on), Offset: ptr(off), Cents: ptr(0.0), CentsSpread: ptr(1.0), LateMS: ptr(0.0), Held: ptr(0.95),
			String: t.str, Finger: t.finger, Position: t.position, Trust: dsp.Sure, State: finding.StatePlayed, Line: i, Heard: i}
		if t.position != "0" {
			n.AfterShift = position != "" && position != t.position
			position = t.position
		}
		h.Notes = append(h.Notes, n)
		sound.Notes = append(sound.Notes, dsp.Note{Onset: on, Offset: off, Pitch: float64(e.MIDI), SteadyFrom: on + 0.2, SteadyTo: off - 0.05, Trust: dsp.Sure})
		h.Duration = off + 1
	}
	t := &played{piece: p, line: line, h: h, heard: sound}
	t.sing(0)
	return t
}

// sing makes the pitch track with a vibrato of so many cents.
func (t *played) sing(vibrato float64) {
	t.bend(func(at float64) float64 { return vibrato * math.Sin(2*math.Pi*5.5*at) })
}

// bend makes the pitch track, a frame each 10 ms: so many cents from each note's pitch.
func (t *played) bend(cents func(at float64) float64) {
	t.heard.Frames, t.heard.Duration = nil, t.h.Duration
	i := 0
	for k := range int(t.h.Duration * 100) {
		at := float64(k) / 100
		for i+1 < len(t.heard.Notes) && t.heard.Notes[i+1].Onset <= at {
			i++
		}
		f := dsp.Frame{Time: at, Aperiodicity: 1, Level: -60}
		if n := t.heard.Notes[i]; at >= n.Onset && at <= n.Offset {
			f = dsp.Frame{Time: at, Voiced: true, Aperiodicity: 0.02, Level: -20,
				Freq: dsp.Hz(n.Pitch + cents(at)/100)}
		}
		t.heard.Frames = append(t.heard.Frames, f)
	}
}

// off puts note i of the line off by so many cents, in the figures and the sound.
func (t *played) off(i int, cents float64) {
	t.h.Notes[i].Cents = ptr(cents)
	t.heard.Notes[i].Pitch += cents / 100
	t.sing(0)
}

// tell adds a finding from one note of the line to another.
func (t *played) tell(kind finding.Kind, first, last int, value float64, f finding.Finding) {
	a, b := t.line[first], t.line[last]
	f.Kind, f.First, f.Last, f.Value = kind, first, last, value
	f.Measure, f.ToMeasure, f.Pass, f.Beat = a.Number, b.Number, a.Pass, a.Beat
	f.At = 1 + a.Onset.Quarters()
	if f.Trust == "" {
		f.Trust = dsp.Sure
	}
	if f.Notes == 0 {
		f.Notes = last - first + 1
	}
	t.h.Findings = append(t.h.Findings, f)
}

// lesson is a take with a finding of every kind in it.
func lesson() *played {
	t := take(16)
	last := len(t.line) - 1
	t.tell(finding.Tempo, 0, last, 52, finding.Finding{Tolerance: 4.8, Text: "You played at 52 quarter notes a minute, steadily slower than the 60 asked for.", Short: "♩ = 52"})
	t.tell(finding.Tuning, 0, last, -12, finding.Finding{Tolerance: 10, Spread: 2, Said: words.Of("finding.tuning.string.flat", "string", words.Note{Step: "D"}, "cents", 12), Text: "The open D string is 12 cents flat against the others.", Short: "tuning -12 cents"})
	t.tell(finding.Sharp, 0, 0, 31, finding.Finding{Tolerance: 25, Spread: 2.2, Text: "In measure 1, beat 1, the G was 31 cents sharp.", Short: "+31 cents"})
	t.tell(finding.SharpAfterShift, 8, 10, 28.4, finding.Finding{Tolerance: 18, Spread: 4, Short: "+28 after shift",
		Text: "After the shift from first position to third position in measure 3, on the G string, your hand landed 28 cents sharp, about a centimetre too far toward the bridge."})
	t.tell(finding.Late, 14, 14, 180, finding.Finding{Tolerance: 100, Spread: 12, Trust: dsp.Fair, Text: "Perhaps: in measure 4, beat 4, the B came 0.18 seconds late.", Short: "180 ms late"})
	t.tell(finding.WrongRhythm, 15, 18, 0.5, finding.Finding{Said: words.Of("finding.wrong_rhythm.uneven", "measure", 5, "played", words.Of("finding.rhythm.long-short")), Located: true, Text: "In measure 5 you played long–short where the page has even notes.", Short: "rhythm, by 0.5 beat"})
	t.tell(finding.WrongNote, 20, 20, 1, finding.Finding{Text: "In measure 6, beat 2, C sounded a semitone higher than written.", Short: "another note (+1 semitones)"})
	t.tell(finding.Missing, 25, 25, 1, finding.Finding{Text: "In measure 7, beat 3, the A was not heard.", Short: "not heard"})
	t.tell(finding.HeldShort, 27, 27, 0.5, finding.Finding{Tolerance: 0.7, Located: true, Text: "In measure 8, beat 1, the half note C stopped sounding after about half of its length.", Short: "held 0.50"})
	t.tell(finding.Extra, 30, 30, 0, finding.Finding{Text: "In measure 9, about beat 1, there was a note that is not on the page.", Short: "one note too many"})
	t.tell(finding.Restarted, 34, 34, 10, finding.Finding{Text: "You stopped in measure 11 and went back to measure 10.", Short: "began again"})
	t.h.Findings[len(t.h.Findings)-1].ToMeasure = "11"
	t.tell(finding.Early, 40, 40, -140, finding.Finding{Tolerance: 100, Text: "In measure 11, beat 3, the D came 0.14 seconds early.", Short: "140 ms early"})
	t.tell(finding.NarrowHand, 42, 45, -30, finding.Finding{Tolerance: 18, Trust: dsp.Fair, Text: "Your fourth finger comes down 30 cents too near your first.", Short: "hand narrow by 30"})
	t.tell(finding.HeldLong, 49, 49, 1.6, finding.Finding{Tolerance: 1.3, Text: "In measure 14, beat 1, the quarter note A went on sounding.", Short: "held 1.60"})
	t.tell(finding.NotSure, 53, 56, 0, finding.Finding{Trust: dsp.NotSure, Text: "Somebody spoke over the bass", Short: "not sure"})
	t.h.WorthFixing = []int{3, 8}
	t.h.Remarks = []string{"The part says that it sounds an octave below what is written."}
	return t
}

func ptr[T any](x T) *T { return &x }
