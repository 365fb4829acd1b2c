package notation

import (
	"math"
	"slices"
	"strconv"

	"endpin/piece"
	"endpin/piece/words"
)

// abcVoice is one voice of a tune and the state of its writing.
type abcVoice struct {
	builder
	set     voiceSettings
	bar     map[string]int // accidentals that hold in this measure
	tied    map[string]int // alterations of the notes that are tied onward
	overlay int            // the layer written with &, from 0

	// The last note, chord or rest, which > < - and ) act on.
	lastFrom  int     // its first index in m.notes; none where a bar line follows it
	lastStart float64 // in ticks
	lastWrote float64 // its written length in ticks, before a tuplet
	lastScale float64
	broken    float64 // what a > or < makes of the next note's length; 1 for nothing

	sounds bool          // it has a note with a pitch
	noteIn *draftMeasure // where the last note that is no rest stands
	noteAt int

	tuplet     piece.Tuplet
	tupletLeft int
	waiting    []string // decorations for the next note
	opening    []string // slurs that begin on the next note
	open       []string // slurs that are open
	slurs      int
	gap        bool         // a space stands before: a beam ends
	pendingEnd *instruction // for the end of this measure, or the one before if this stays empty
}

const noLast = -1

func newABCVoice(s voiceSettings) *abcVoice {
	v := &abcVoice{set: s, builder: newBuilder(part{id: s.id, name: s.name, program: s.program}), broken: 1}
	v.settle()
	v.next()
	if s.tempo > 0 {
		v.tempo(s.tempo, 0)
	}
	return v
}

// settle takes over what fields have set.
func (v *abcVoice) settle() {
	v.time, v.key, v.clef = v.set.time, v.set.key.Key, v.set.clef
	v.part.name = v.set.name
	if !v.sounds {
		v.written = v.set.pitch.written()
	}
	if v.m != nil && len(v.m.notes) == 0 {
		v.m.Time, v.m.Key, v.m.Clef = v.time, v.key, v.clef
	}
}

// unitTicks is the unit note length in force.
func (v *abcVoice) unitTicks() float64 {
	if v.set.unit > 0 {
		return v.set.unit
	}
	return defaultUnit(v.set.time)
}

// next begins a measure; its number is given when the whole tune is known.
func (v *abcVoice) next() {
	v.begin("")
	v.bar = map[string]int{}
	v.lastFrom, v.overlay, v.gap = noLast, 0, true
}

// holds reports whether the measure being written has anything in it.
func (v *abcVoice) holds() bool { return v.pos > 0 || v.end > 0 || len(v.m.notes) > 0 }

// closeMeasure ends the measure being written and begins the next.
func (v *abcVoice) closeMeasure() error {
	beams(v.m.notes)
	if err := v.close(); err != nil {
		return err
	}
	v.next()
	return nil
}

// place puts a note, chord or rest of a written length at the cursor.
func (v *abcVoice) place(notes []draftNote, wrote float64) {
	scale := 1.0
	if v.tupletLeft > 0 {
		scale = float64(v.tuplet.Normal) / float64(v.tuplet.Actual)
	}
	wrote *= v.broken
	v.broken = 1
	v.lastFrom, v.lastStart, v.lastWrote, v.lastScale = len(v.m.notes), v.pos, wrote, scale
	for i := range notes {
		n := &notes[i]
		n.chord = i > 0
		if v.overlay > 0 {
			n.voice = strconv.Itoa(v.overlay + 1)
		}
		if v.tupletLeft > 0 {
			n.Tuplet = v.tuplet
		}
		v.m.notes = append(v.m.notes, *n)
	}
	if v.tupletLeft > 0 {
		v.tupletLeft--
	}
	if !notes[0].Rest {
		v.noteIn, v.noteAt = v.m, v.lastFrom
	}
	v.stretch()
}

// stretch gives the last note its length and moves the cursor behind it.
func (v *abcVoice) stretch() {
	stop := v.lastStart + v.lastWrote*v.lastScale
	for i := v.lastFrom; i < len(v.m.notes); i++ {
		n := &v.m.notes[i]
		if n.Grace {
			continue
		}
		n.Start = ticks(v.lastStart)
		n.Length = ticks(stop) - n.Start
		n.Value, n.Dots = valueOf(v.lastWrote)
	}
	v.pos = stop
	v.end = max(v.end, stop)
}

// breakRhythm makes the last note and the next one long and short: n signs
// give the one 2 - 1/2^n of its length and the other 1/2^n (ABC 2.1, 4.4).
func (v *abcVoice) breakRhythm(sign byte, n int) {
	short := math.Pow(0.5, float64(n))
	long := 2 - short
	if sign == '<' {
		short, long = long, short
	}
	if v.lastFrom == noLast {
		return
	}
	if v.end == v.pos {
		v.end = v.lastStart
	}
	v.lastWrote *= long
	v.broken = short
	v.stretch()
}

// valueOf names a written length: its note value and dots.
func valueOf(length float64) (string, int) {
	for _, name := range piece.Values {
		plain := float64(piece.ValueLength(name))
		dotted := plain
		for dots := range 3 {
			if math.Abs(dotted-length) < 0.5 && plain > 0 {
				return name, dots
			}
			dotted += plain / math.Pow(2, float64(dots+1))
		}
	}
	return "", 0
}

// beams joins short notes that are written without a space between them.
func beams(notes []draftNote) {
	beamed := func(n *draftNote) bool {
		return !n.Rest && !n.Grace && !n.chord && (n.Value == "eighth" || n.Value == "16th" || n.Value == "32nd" || n.Value == "64th")
	}
	var run []*draftNote
	flush := func() {
		if len(run) > 1 {
			for i, n := range run {
				n.Beam = "continue"
				switch i {
				case 0:
					n.Beam = "begin"
				case len(run) - 1:
					n.Beam = "end"
				}
			}
		}
		run = nil
	}
	for i := range notes {
		n := &notes[i]
		if n.Grace || n.chord {
			continue
		}
		if n.apart || !beamed(n) {
			flush()
		}
		if beamed(n) {
			run = append(run, n)
		}
	}
	flush()
}

// finishVoice ends the last measure and numbers all of them.
func (v *abcVoice) finishVoice() error {
	v.atBarLine()
	if v.holds() {
		if err := v.closeMeasure(); err != nil {
			return err
		}
	}
	v.settleCodas()
	v.number()
	v.slips()
	return nil
}

// number counts the measures as a page does: a short first one is the pickup,
// "0"; a measure that a repeat sign cuts in two is counted once, its second
// part as "8a".
func (v *abcVoice) number() {
	n := 0
	for i, m := range v.measures {
		whole := m.Time.Beat() * piece.Ticks(m.Time.Beats)
		if i == 0 && m.Length < whole && len(v.measures) > 1 {
			m.Number, m.Implicit = "0", true
			continue
		}
		if i > 0 && n > 0 {
			before := v.measures[i-1]
			cut := before.RepeatTimes > 0 || m.RepeatStart || before.DoubleBar || m.extra
			bracket := len(m.Endings) > 0 && !slices.Equal(m.Endings, before.Endings) && len(before.Endings) > 0
			if cut && !bracket && whole > 0 && before.Length+m.Length <= whole && before.Length < whole && !before.Implicit {
				m.Number, m.Implicit = strconv.Itoa(n)+"a", true
				continue
			}
		}
		n++
		m.Number = strconv.Itoa(n)
	}
}

// slips names the measures that hold more or less than the meter asks, where
// no pickup, repeat or double bar explains it: a note typed wrong.
func (v *abcVoice) slips() {
	const most = 3
	found := 0
	for i, m := range v.measures {
		whole := m.Time.Beat() * piece.Ticks(m.Time.Beats)
		if whole == 0 || m.Length == whole || m.Implicit || i == len(v.measures)-1 && m.Length < whole {
			continue
		}
		cut := m.RepeatTimes > 0 || m.DoubleBar || m.RepeatStart || m.extra || i > 0 && v.measures[i-1].RepeatTimes > 0
		if i+1 < len(v.measures) {
			next := v.measures[i+1]
			cut = cut || next.RepeatStart || next.extra || next.Implicit
		}
		if cut && m.Length < whole {
			continue
		}
		if found++; found <= most {
			v.left.notes = append(v.left.notes, words.Say("notation.abc.slip", "measure", m.Number,
				"beats", beats(float64(m.Length)/float64(m.Time.Beat())), "asked", m.Time.Beats))
		}
	}
}

// beats are so many beats, to a hundredth: "5 beats", "1 beat", "3.5 beats".
func beats(n float64) words.Sentence {
	return words.ManyOf("notation.beats", words.Significant(math.Round(n*100)/100, 15))
}

// survey looks at a voice that is read: how it is written and where its notes lie.
func (v *abcVoice) survey() {
	v.part.written = v.written
	if v.set.pitch.clefKnown {
		v.part.clef = v.clef.Sign
	}
	for _, m := range v.measures {
		for i := range m.notes {
			if n := &m.notes[i]; !n.Rest {
				v.part.note(n.pitch + n.shift)
			}
		}
	}
}
