package notation

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/outside"
)

// draft is a part as the file has it, before one voice of it is chosen.
type draft struct {
	title, composer string
	school          string // of fingering
	part            part
	taken           string       // which of the file's parts this is, as a sentence
	parts           []piece.Part // of the file
	written         transposition
	measures        []*draftMeasure
	left            leftOut
}

// draftMeasure is a measure with every voice that the file writes in it.
type draftMeasure struct {
	piece.Measure
	notes []draftNote
	loud  []loud    // how loud, for the note above it
	marks []pending // what is written over the staff, for the note below it
	texts []lineOfText
	pizz  []pizzEvent // from here on plucked, or not
	from  *element    // where it stands in the file, where that is asked for
	extra bool        // cut off the measure before by a repeat sign
}

// draftNote is a note before its pitch is settled.
type draftNote struct {
	piece.Note
	pitch int // MIDI number by the file's own pitch, before any transposition
	shift int // semitones that the file adds to it here
	voice string
	staff int
	slurs []slurEnd
	chord bool       // sounds together with the note before
	left  []leftKind // what of it is not played
	apart bool       // a space stands before it: no beam from the note before
	from  *element   // where it stands in the file, where that is asked for

	position, string *element // words over the staff that give it these, where they do
}

// lineOfText is words over the staff, and where they stand in a file of MusicXML.
type lineOfText struct {
	piece.Text
	from []*element
}

// slurEnd is where a slur begins or ends.
type slurEnd struct {
	number string
	start  bool
}

// pending is a mark written at a place, for the first note from there on.
type pending struct {
	at   piece.Ticks
	mark func(*piece.Marks)
	from *element // the words, in MusicXML
}

// loud is how loud from a place on.
type loud struct {
	at   piece.Ticks
	text string
}

type pizzEvent struct {
	at piece.Ticks
	on bool
}

// maxTitle is how many characters of a title, a composer or a part's name are read.
const maxTitle = 300

// finish chooses the voice, sets the marks and settles the sounding pitch.
func (d *draft) finish(as supposed) (*piece.Piece, error) {
	main := d.mainVoice()
	var line []*draftNote
	pizz := false
	for _, m := range d.measures {
		d.left.measure(m.Number)
		m.notes = d.oneVoice(m, main)
		d.setMarks(m)
		slices.SortStableFunc(m.pizz, func(a, b pizzEvent) int { return cmp.Compare(a.at, b.at) })
		k := 0
		for i := range m.notes {
			n := &m.notes[i]
			for ; k < len(m.pizz) && m.pizz[k].at <= n.Start; k++ {
				pizz = m.pizz[k].on
			}
			n.Articulated.Pizz = pizz && !n.Rest
			line = append(line, n)
		}
		for ; k < len(m.pizz); k++ {
			pizz = m.pizz[k].on
		}
	}
	joinSlurs(line)
	p := &piece.Piece{Title: outside.Short(d.title, maxTitle), Composer: outside.Short(d.composer, maxTitle), Part: outside.Short(d.part.name, maxTitle), Taken: d.taken, Parts: d.parts}
	if err := d.sound(p, line, as); err != nil {
		return nil, err
	}
	for _, m := range d.measures {
		m.Notes = make([]piece.Note, len(m.notes))
		for i := range m.notes {
			m.Notes[i] = m.notes[i].Note
		}
		slices.SortStableFunc(m.texts, func(a, b lineOfText) int { return cmp.Compare(a.At, b.At) })
		for _, t := range m.texts {
			m.Texts = append(m.Texts, t.Text)
		}
		p.Measures = append(p.Measures, m.Measure)
	}
	p.NotPlayed, p.School = d.left.sentences(), d.school
	if _, err := p.Unfold(); err != nil {
		return nil, err
	}
	return p, nil
}

// mainVoice is the lowest voice of the first staff that has pitched notes.
func (d *draft) mainVoice() string {
	main, found := "", false
	for _, m := range d.measures {
		for i := range m.notes {
			n := &m.notes[i]
			if n.Rest || n.staff > 1 {
				continue
			}
			if !found || voiceBefore(n.voice, main) {
				main, found = n.voice, true
			}
		}
	}
	return main
}

func voiceBefore(a, b string) bool {
	na, errA := strconv.Atoi(a)
	nb, errB := strconv.Atoi(b)
	if errA == nil && errB == nil {
		return na < nb
	}
	return a < b
}

// oneVoice keeps the notes of the main voice; where that is silent for a whole
// measure and another one sounds, of that one. Chords become one note.
func (d *draft) oneVoice(m *draftMeasure, main string) []draftNote {
	voice, sounds := main, false
	for i := range m.notes {
		if n := &m.notes[i]; !n.Rest && n.staff <= 1 {
			if n.voice == main {
				voice, sounds = main, true
				break
			}
			if !sounds || voiceBefore(n.voice, voice) {
				voice, sounds = n.voice, true
			}
		}
	}
	kept := make([]draftNote, 0, len(m.notes))
	for i := range m.notes {
		n := m.notes[i]
		switch {
		case n.voice != voice:
			if !n.Rest {
				if n.staff > 1 {
					d.left.add(leftStaff)
				} else {
					d.left.add(leftVoice)
				}
			} else {
				d.left.add(n.left...)
			}
			continue
		case n.chord && len(kept) > 0:
			d.left.add(leftChord)
			low := &kept[len(kept)-1]
			if n.Rest {
				continue
			}
			if low.Rest || n.pitch < low.pitch {
				n.Start, n.Length = low.Start, low.Length
				n.slurs = append(low.slurs, n.slurs...)
				n.Articulated = low.Articulated
				if n.Marks.Bow == piece.NoBow {
					n.Marks.Bow = low.Marks.Bow
				}
				*low = n
			} else {
				low.slurs = append(low.slurs, n.slurs...)
			}
			continue
		}
		d.left.add(n.left...)
		kept = append(kept, n)
	}
	slices.SortStableFunc(kept, func(a, b draftNote) int { return cmp.Compare(a.Start, b.Start) })
	return d.oneAtATime(kept)
}

// oneAtATime drops what begins before the note under it has ended: a voice
// that a file forgot to number.
func (d *draft) oneAtATime(notes []draftNote) []draftNote {
	kept := notes[:0]
	var free piece.Ticks
	for _, n := range notes {
		if n.Start < free && !n.Grace {
			if !n.Rest {
				d.left.add(leftVoice)
			}
			continue
		}
		free = max(free, n.Start+n.Length)
		kept = append(kept, n)
	}
	return kept
}

// setMarks gives what is written over the staff to the note that it stands
// over: the first one from there on.
func (d *draft) setMarks(m *draftMeasure) {
	var sounding []*draftNote
	for i := range m.notes {
		if n := &m.notes[i]; !n.Rest && !n.Grace {
			sounding = append(sounding, n)
		}
	}
	from := func(at piece.Ticks) int {
		i, _ := slices.BinarySearchFunc(sounding, at, func(n *draftNote, at piece.Ticks) int { return cmp.Compare(n.Start, at) })
		return i
	}
	for _, l := range m.loud {
		if i := from(l.at); i < len(sounding) && len(sounding[i].Dynamics) < maxDynamics {
			sounding[i].Dynamics = strings.TrimSpace(sounding[i].Dynamics + " " + l.text)
		}
	}
	for _, mark := range m.marks {
		if i := from(mark.at); i < len(sounding) {
			n := sounding[i]
			is := n.Marks
			mark.mark(&n.Marks)
			if n.Marks.String != is.String {
				n.string = mark.from
			}
			if is.Position != "" { // what stands at the note itself goes before
				n.Marks.Position = is.Position
			} else if n.Marks.Position != "" {
				n.position = mark.from
			}
		}
	}
}

// maxDynamics is how long dynamics at one note may be.
const maxDynamics = 80

// joinSlurs tells every note under a slur that it is slurred from and to its
// neighbours. A slur that has no end in this voice is dropped. One that begins
// on a grace note opens the bow that its main note is played in.
func joinSlurs(line []*draftNote) {
	open := map[string]int{} // slur number: index in sounding where it began
	under := []int(nil)      // by sounding note: slurs that go on after it, as differences
	sounding := []*draftNote(nil)
	for _, n := range line {
		if n.Rest {
			continue
		}
		at := len(sounding)
		if !n.Grace {
			sounding = append(sounding, n)
			under = append(under, 0)
		}
		for _, s := range n.slurs {
			if s.start {
				continue
			}
			from, ok := open[s.number]
			if ok && from < at && !n.Grace {
				under[from]++
				under[at]--
			}
			if ok && n.Grace && from < at-1 { // ends on a grace note: up to the note before
				under[from]++
				under[at-1]--
			}
			delete(open, s.number)
		}
		for _, s := range n.slurs {
			if s.start {
				open[s.number] = at
			}
		}
	}
	depth := 0
	for i, n := range sounding {
		n.SlurFrom = depth > 0
		depth += under[i]
		n.SlurTo = depth > 0
	}
}
