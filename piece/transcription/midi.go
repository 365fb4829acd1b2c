package transcription

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/midi"
	"endpin/piece/words"
	"endpin/piece/writing"
)

// Wanted is the part of a MIDI file that is looked for.
type Wanted struct {
	Part      string // its name or number from 1, or "" for the one that fits best
	Programs  []int  // General MIDI, from 1, the likeliest first
	Low, High int    // what the instrument plays, MIDI numbers
	Staff     writing.Staff
}

// together is how much earlier than the end of one note the next may begin in a line
// that is played bound, quarter notes: less is a chord.
const together = 1. / 16

// OfMIDI writes down one part of a MIDI file. Its times are the file's own, so that what is
// found is only how they read; of notes that sound at once the lowest stays. Errors are for
// the user: no such part, too few notes.
func OfMIDI(f *midi.File, w Wanted) (*Written, error) {
	t, err := w.track(f)
	if err != nil {
		return nil, err
	}
	asked := Asked{Time: &piece.Time{Beats: 4, Unit: 4}, QPM: 120, Origin: new(float64), Staff: w.Staff}
	if len(f.Tempos) > 0 {
		asked.QPM = f.Tempos[0].QPM
	}
	if len(f.Metres) > 0 {
		asked.Time = &piece.Time{Beats: f.Metres[0].Beats, Unit: f.Metres[0].Unit}
	}
	if len(f.Keys) > 0 {
		asked.Key = &piece.Key{Fifths: f.Keys[0].Fifths, Minor: f.Keys[0].Minor}
	}
	second := 60 / asked.QPM
	var sounds []Sound
	chords := 0
	for _, n := range t.Notes {
		if k := len(sounds) - 1; k >= 0 {
			last := &sounds[k]
			if n.On*second < last.Onset+together*second {
				chords++ // the lower one came first
				continue
			}
			last.Offset = min(last.Offset, n.On*second)
		}
		sounds = append(sounds, Sound{Onset: n.On * second, Offset: max(n.Off*second, n.On*second+0.01), Pitch: float64(n.Pitch)})
	}
	written, err := Of(sounds, asked)
	if err != nil {
		return nil, err
	}
	p := written.Piece
	p.Title = ""
	if len(f.Tracks) > 1 {
		n := number(f, t)
		p.Taken = words.Say("transcription.taken", "part", cmp.Or(t.Name, words.Say("transcription.track", "n", n)), "n", n, "of", len(f.Tracks))
	}
	if chords > 0 {
		p.NotPlayed = append(p.NotPlayed, words.Many("transcription.chords", chords).String())
	}
	if later := changes(f); later != "" {
		p.NotPlayed = append(p.NotPlayed, later)
	}
	return written, nil
}

// changes says what of a file's metres and keys is not written.
func changes(f *midi.File) string {
	for i, m := range f.Metres {
		if i > 0 && (m.Beats != f.Metres[0].Beats || m.Unit != f.Metres[0].Unit) {
			return words.Say("transcription.metres", "beats", f.Metres[0].Beats, "unit", f.Metres[0].Unit)
		}
	}
	return ""
}

func number(f *midi.File, t *midi.Track) int {
	for i := range f.Tracks {
		if &f.Tracks[i] == t {
			return i + 1
		}
	}
	return 0
}

// track chooses the part: the one asked for, or the one played by the likeliest program
// and lying best on the instrument, the lowest of several.
func (w Wanted) track(f *midi.File) (*midi.Track, error) {
	if w.Part != "" {
		for i := range f.Tracks {
			if t := &f.Tracks[i]; strings.EqualFold(t.Name, w.Part) || strconv.Itoa(i+1) == w.Part {
				return t, nil
			}
		}
		var names words.List
		for i := range f.Tracks {
			names = append(names, cmp.Or(f.Tracks[i].Name, strconv.Itoa(i+1)))
		}
		return nil, words.Fault("notation.part-absent", "typed", words.Quoted(w.Part), "parts", names)
	}
	var best *midi.Track
	least := math.Inf(1)
	for i := range f.Tracks {
		t := &f.Tracks[i]
		if cost := w.unlike(t); best == nil || cost < least {
			best, least = t, cost
		}
	}
	return best, nil
}

// unlike is how little a track looks like the part: drums last, then by program, by the
// share of its notes that the instrument does not have, then by how high it lies.
func (w Wanted) unlike(t *midi.Track) (cost float64) {
	if t.Drums {
		cost += 1000
	}
	if at := slices.Index(w.Programs, t.Program); at >= 0 {
		cost += float64(at)
	} else {
		cost += 20
	}
	mean, beyond := 0.0, 0.0
	for _, n := range t.Notes {
		mean += float64(n.Pitch) / float64(len(t.Notes))
		if n.Pitch < w.Low || n.Pitch > w.High {
			beyond += 1 / float64(len(t.Notes))
		}
	}
	return cost + 40*beyond + mean/128
}
