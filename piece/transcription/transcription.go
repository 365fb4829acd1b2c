package transcription

import (
	"cmp"
	"math"
	"slices"

	"endpin/dsp/robust"
	"endpin/piece"
	"endpin/piece/words"
	"endpin/piece/writing"
)

// Sound is one note as it was played.
type Sound struct {
	Onset, Offset float64 // s
	Pitch         float64 // MIDI number with a fraction, as it sounds
	Bound         bool    // no stroke began it: it follows the note before on one bow
	Weak          bool    // the listening is not sure of its pitch
	Another       float64 // the chance that it is another pitch, 0..1
	Soft          bool    // a sign of a stroke inside of a note, which counts where the metre has one there
	Since         float64 // s since that note began
}

// Asked is what is known beforehand. The zero value knows nothing.
type Asked struct {
	Time   *piece.Time // nil: one is proposed
	Key    *piece.Key  // nil: one is proposed
	QPM    float64     // quarter notes a minute; 0: found
	Origin *float64    // s: when the first measure begins; nil where it is not known
	Click  *float64    // s: when a click at QPM beat the first of a measure; nil where there is none, or only by ear
	Staff  writing.Staff
}

// Written is the page, and what is in doubt on it.
type Written struct {
	Piece  *piece.Piece
	Played []Sound // its notes, as they were played; none of a file of MIDI
	Doubts []Doubt // the most doubtful first
	Time   piece.Time
	Key    piece.Key
	QPM    float64

	Said []words.Sentence // what of the sound leaves the page in doubt

	Scattered bool // the pitches lie on no scale of semitones, as those of a voice that speaks
}

// fewest is how many notes make a page: fewer tell no beat.
const fewest = 4

// TooFew is what Of fails with: so few notes that no beat is told.
type TooFew struct{ error }

// Of writes down sounds in order of their onsets, one voice. Its only error is TooFew.
func Of(sounds []Sound, asked Asked) (*Written, error) {
	if n := len(sounds) - soft(sounds); n < fewest {
		return nil, TooFew{words.Many("transcription.few", n, "least", fewest).Fault()}
	}
	way := rhythmOf(sounds, asked)
	doubts := way.doubts(sounds)
	sounds = way.played(sounds)
	pitches, off, scattered := pitchesOf(sounds)
	line := make([]writing.Note, len(sounds))
	for i, s := range sounds {
		line[i] = writing.Note{Start: way.at[i], MIDI: pitches[i], SlurFrom: s.Bound && i > 0}
	}
	way.lengths(sounds, line)
	key := keyOf(line)
	if asked.Key != nil {
		key = *asked.Key
	}
	Spell(line, key, asked.Staff)
	p := writing.Page(line, writing.Frame{Time: way.metre.Time, Key: key, Staff: asked.Staff, QPM: cmp.Or(asked.QPM, math.Round(way.qpm()))})
	doubts = append(doubts, pitchDoubts(sounds, off)...)
	return &Written{Piece: p, Played: sounds, Doubts: placed(p, line, doubts), Time: way.metre.Time, Key: key, QPM: way.qpm(), Scattered: scattered}, nil
}

// pitchesOf gives the nearest semitones about the player's own tuning, and how far each
// note lies from its own, in semitones. They are scattered where they may as well lie
// anywhere: by Rayleigh's test of a circle (Mardia and Jupp, "Directional Statistics", 2000,
// 6.3.1; from memory), at a level of 0.01.
func pitchesOf(sounds []Sound) (midi []int, off []float64, scattered bool) {
	var sin, cos float64
	for _, s := range sounds {
		a := 2 * math.Pi * s.Pitch
		sin, cos = sin+math.Sin(a), cos+math.Cos(a)
	}
	tuned := math.Atan2(sin, cos) / (2 * math.Pi) // the mean direction: of a circle of one semitone
	for _, s := range sounds {
		m := math.Round(s.Pitch - tuned)
		midi, off = append(midi, int(m)), append(off, s.Pitch-tuned-m)
	}
	const level = 0.01
	return midi, off, math.Exp(-(sin*sin+cos*cos)/float64(len(sounds))) > level
}

// Doubt is something on the page that a person should settle.
type Doubt struct {
	Measure string   // its printed number
	Note    int      // index into the line
	At      piece.At // the printed note
	About   Subject  // what is in doubt
	Chance  float64  // that it is written wrongly, 0..1
}

// Subject is what a doubt is about.
type Subject string

// What may be in doubt.
const (
	OfRhythm Subject = "rhythm"
	OfPitch  Subject = "pitch"
)

// beyond is how far from its semitone a note may lie before its pitch is in doubt,
// semitones. Half of the way to the next would be certain doubt.
const beyond = 0.3

func pitchDoubts(sounds []Sound, off []float64) (all []Doubt) {
	for i, s := range sounds {
		if d := math.Abs(off[i]); s.Weak || d > beyond || s.Another > mention {
			all = append(all, Doubt{Note: i, About: OfPitch, Chance: max(d-0.1, 0.2, s.Another)})
		}
	}
	return all
}

// placed finds the printed notes of doubts, and puts the most doubtful first.
func placed(p *piece.Piece, line []writing.Note, doubts []Doubt) []Doubt {
	var from piece.Ticks
	m := 0
	slices.SortStableFunc(doubts, func(a, b Doubt) int { return a.Note - b.Note })
	for i := range doubts {
		d := &doubts[i]
		at := line[d.Note].Start
		for m < len(p.Measures)-1 && at >= from+p.Measures[m].Length {
			from += p.Measures[m].Length
			m++
		}
		d.Measure, d.At.Measure = p.Measures[m].Number, m
		d.At.Note = slices.IndexFunc(p.Measures[m].Notes, func(n piece.Note) bool { return n.Start == at-from && !n.Rest })
	}
	slices.SortStableFunc(doubts, func(a, b Doubt) int {
		switch {
		case a.Chance > b.Chance:
			return -1
		case a.Chance < b.Chance:
			return 1
		}
		return 0
	})
	return doubts
}

// qpm is the pace of the way found, quarter notes a minute.
func (w *way) qpm() float64 {
	return 60 / robust.Median(w.period)
}
