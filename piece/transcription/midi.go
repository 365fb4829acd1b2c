package transcription

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

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

// shortest is what a note lasts at least, quarter notes.
const shortest = 1. / 48

// OfMIDI writes down one part of a MIDI file. Its times are the file's own, so that what is
// found is only how they read; of notes that sound at once the lowest stays. Its error is
// for the user: no such part.
func OfMIDI(f *midi.File, w Wanted) (*Written, error) {
	t, err := w.track(f)
	if err != nil {
		return nil, err
	}
	sounds, chords := voice(t)
	all, rest := stretches(f, sounds[len(sounds)-1].Offset)
	written := joined(all, sounds, f, w.Staff)
	p := written.Piece
	if len(f.Tracks) > 1 {
		n := number(f, t)
		p.Taken = words.Say("transcription.taken", "part", cmp.Or(t.Name, words.Say("transcription.track", "n", n)), "n", n, "of", len(f.Tracks))
	}
	if chords > 0 {
		p.NotPlayed = append(p.NotPlayed, words.Many("transcription.chords", chords).String())
	}
	if rest {
		p.NotPlayed = append(p.NotPlayed, words.Say("transcription.changes", "most", mostChanges))
	}
	return written, nil
}

// voice is a track as one voice, its times in quarter notes, and how many notes of chords
// are left out.
func voice(t *midi.Track) (sounds []Sound, chords int) {
	for _, n := range t.Notes {
		if k := len(sounds) - 1; k >= 0 {
			last := &sounds[k]
			if n.On < last.Onset+together {
				chords++ // the lower one came first
				continue
			}
			last.Offset = min(last.Offset, n.On)
		}
		sounds = append(sounds, Sound{Onset: n.On, Offset: max(n.Off, n.On+shortest), Pitch: float64(n.Pitch)})
	}
	return sounds, chords
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
