package transcription

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"endpin/piece"
	"endpin/piece/midi"
	"endpin/piece/writing"
)

// stretch is what of a file stands in one metre and one key. Its times are quarter notes.
type stretch struct {
	from, to float64
	time     piece.Time
	key      *piece.Key // nil where the file names none
}

// mostChanges is how often the metre and the key of a page change at most.
const mostChanges = 1000

// stretches divides a file where its metre or its key changes; a key only where a measure
// begins. more tells that it changes more often than that is followed.
func stretches(f *midi.File, end float64) (all []stretch, more bool) {
	type change struct {
		at   float64
		time *piece.Time
		key  *piece.Key
	}
	var changes []change
	for _, m := range f.Metres {
		changes = append(changes, change{at: m.At, time: &piece.Time{Beats: m.Beats, Unit: m.Unit}})
	}
	for _, k := range f.Keys {
		changes = append(changes, change{at: k.At, key: &piece.Key{Fifths: k.Fifths, Minor: k.Minor}})
	}
	slices.SortStableFunc(changes, func(a, b change) int { return cmp.Compare(a.at, b.at) })
	now := stretch{time: piece.Time{Beats: 4, Unit: 4}}
	for _, c := range changes {
		next := now
		if next.from = c.at; c.time != nil {
			next.time = *c.time
		} else {
			next.key = c.key
			next.from = now.from + math.Ceil((c.at-now.from)/now.bar()-1e-6)*now.bar()
		}
		if next.from >= end {
			break
		}
		if next.time == now.time && (next.key == nil || now.key != nil && *next.key == *now.key) {
			continue
		}
		if len(all) == mostChanges {
			more = true
			break
		}
		if now.to = next.from; now.to-now.from > together {
			all = append(all, now)
		} else {
			next.from = now.from
		}
		now = next
	}
	now.to = math.Inf(1)
	return append(all, now), more
}

// bar is how long a measure lasts, quarter notes.
func (s stretch) bar() float64 { return (s.time.Beat() * piece.Ticks(s.time.Beats)).Quarters() }

// part is what sounds in a stretch.
type part struct {
	sounds     []Sound
	tied, ties bool // the first note is tied to the one before, the last to the one behind
}

// parts divides what sounds among the stretches; a note held over the end of one is tied.
func divided(all []stretch, sounds []Sound) (parts []part) {
	parts = make([]part, len(all))
	k := 0
	for _, s := range sounds {
		for s.Onset > all[k].to-together {
			k++
		}
		s.Onset = max(s.Onset, all[k].from)
		for i := k; ; i++ {
			x := s
			x.Offset = max(x.Onset+shortest, min(s.Offset, all[i].to))
			parts[i].sounds = append(parts[i].sounds, x)
			if i+1 == len(all) || s.Offset < all[i].to+together {
				break
			}
			parts[i].ties, parts[i+1].tied = true, true
			s.Onset = all[i].to
			k = i + 1
		}
	}
	return parts
}

// joined sets every stretch on a page and makes one of them.
func joined(all []stretch, sounds []Sound, f *midi.File, staff writing.Staff) *Written {
	parts := divided(all, sounds)
	for len(parts[0].sounds) == 0 { // before all that sounds
		all, parts = all[1:], parts[1:]
	}
	w := &Written{Piece: &piece.Piece{Part: staff.Part, Transposed: staff.Transposed}, Time: all[0].time, QPM: tempoAt(f, all[0].from)}
	if len(all) > 1 && math.Abs(all[0].to-all[0].from-all[0].bar()) < together && all[0].bar() < all[1].bar() && all[0].key == all[1].key {
		w.Time = all[1].time // a pickup, as a short measure of its own metre
	}
	var lines [][]writing.Note
	var whole []writing.Note
	for i, s := range all {
		line := s.line(parts[i])
		lines, whole = append(lines, line), append(whole, line...)
	}
	w.Key = keyOf(whole)
	for i, s := range all {
		key := w.Key
		if s.key != nil {
			key = *s.key
		}
		if i == 0 {
			w.Key = key
		}
		Spell(lines[i], key, staff)
		frame := writing.Frame{Time: s.time, Key: key, Staff: staff, On: i > 0, Until: s.ticks()}
		if i > 0 && len(parts[i].sounds) == 0 {
			frame.Until = min(frame.Until, likely*s.time.Beat()*piece.Ticks(s.time.Beats))
		}
		page := writing.Page(lines[i], frame)
		first := &page.Measures[0]
		at := s.from
		if bar := s.time.Beat() * piece.Ticks(s.time.Beats); i == 0 {
			at += (lines[0][0].Start/bar*bar + min(bar, cmp.Or(s.ticks(), bar)) - first.Length).Quarters()
		}
		if s.time != w.Time && i == 0 {
			first.Time, first.Implicit = w.Time, true
		}
		for k := range page.Measures {
			m := &page.Measures[k]
			if m.DoubleBar = false; i == 0 && k == 0 {
				m.Tempos = []piece.Tempo{{QPM: w.QPM}}
			} else if t, is := tempoFrom(f, at); is {
				m.Tempos = []piece.Tempo{{QPM: t}}
			}
			at += m.Length.Quarters()
		}
		if last := &page.Measures[len(page.Measures)-1]; parts[i].ties && len(last.Notes) > 0 {
			last.Notes[len(last.Notes)-1].TieToNext = true
		}
		w.Piece.Measures = append(w.Piece.Measures, page.Measures...)
	}
	number := 1
	for i := range w.Piece.Measures {
		m := &w.Piece.Measures[i]
		if m.Number = strconv.Itoa(number); i == 0 && m.Implicit {
			m.Number = "0"
			continue
		}
		number++
	}
	w.Piece.Measures[len(w.Piece.Measures)-1].DoubleBar = true
	return w
}

// ticks is how long a stretch lasts, to a 24th of a quarter note; 0 for the last.
func (s stretch) ticks() piece.Ticks {
	if math.IsInf(s.to, 1) {
		return 0
	}
	return piece.Ticks(math.Round((s.to-s.from)*24)) * piece.Quarter / 24
}

// line places what sounds in the metre. A quarter note is taken as a second.
func (s stretch) line(x part) []writing.Note {
	line := make([]writing.Note, len(x.sounds))
	if len(line) == 0 {
		return line
	}
	way := rhythmOf(x.sounds, Asked{Time: &s.time, QPM: 60, Origin: &s.from})
	for i, sound := range x.sounds {
		line[i] = writing.Note{Start: way.at[i], MIDI: int(math.Round(sound.Pitch))}
	}
	way.lengths(x.sounds, line)
	if end := s.ticks(); end > 0 {
		last := &line[len(line)-1]
		if last.Start = min(last.Start, end-piece.Quarter/24); x.ties || last.Start+last.Length > end {
			last.Length = end - last.Start
		}
	}
	return line
}

// tempoAt is the tempo in force at a place, to a hundredth.
func tempoAt(f *midi.File, at float64) float64 {
	qpm := 120.0 // where a file gives none
	for _, t := range f.Tempos {
		if t.At <= at+together {
			qpm = t.QPM
		}
	}
	return math.Round(qpm*100) / 100
}

// tempoFrom is a tempo that begins at a place. What changes inside of a measure is how it is
// played, and is not printed.
func tempoFrom(f *midi.File, at float64) (qpm float64, is bool) {
	before := tempoAt(f, at-2*together)
	qpm = tempoAt(f, at)
	return qpm, qpm != before && slices.ContainsFunc(f.Tempos, func(t midi.Tempo) bool { return math.Abs(t.At-at) < together })
}
