package finding_test

import (
	"math"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// harbour is the tune of most takes here, our own. In first position, in third
// (measure 3), back, in third again round an open string (6 and 7), and back.
const harbour = header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | "III"!1!C !4!D !1!C !4!D | "I"!1!A, !4!B, !1!A, G, |
D, !1!E, !4!F, !1!E, | "III"!1!C !4!D G, !4!D | !4!D !1!C !4!D2 | "I"!4!B, !1!A, G,2 |
A,, !1!B,, !2!C, D, | !1!E, !4!F, G, !1!A, | !4!B, !1!A, G, !4!F, | G,4 |]
`

const header = `X:1
T:Harbour Steps
M:4/4
L:1/4
Q:1/4=80
K:G`

// A sound is one note as it leaves the bass.
type sound struct {
	note     int     // of the line, -1 for one that is not written
	midi     float64 // with a fraction
	onset    float64 // s
	end      float64 // s
	landing  float64 // cents from where the note settles
	settle   float64 // s
	spread   float64 // cents
	level    float64 // dB
	strength float64
	fresh    float64 // dB of new sound a band

	aperiodicity float64
	plucked      bool
	trust        dsp.Trust
}

// A player plays a piece without a fault until told otherwise. Notes are named
// by measure and beat: "6:3.5".
type player struct {
	t       testing.TB
	piece   *piece.Piece
	line    []piece.Expected
	plan    fingerboard.Plan
	quarter float64 // s
	sounds  []sound
	floor   float64
	fall    float64 // dB in a tenth of a second after a note is let go
	clipped float64
}

// lead is the silence before the first note, s.
const lead = 1.0

func play(t testing.TB, abc string) *player {
	t.Helper()
	p, err := notation.Read("tune.abc", []byte(abc))
	require.NoError(t, err)
	line, _ := p.Line()
	qpm := p.TempoAt(0, 0)
	if qpm == 0 {
		qpm = 80
	}
	pl := &player{t: t, piece: p, line: line, quarter: 60 / qpm, floor: -70,
		plan: fingerboard.DoubleBass().Finger(line, fingerboard.Options{QPM: qpm})}
	for i, e := range line {
		at := lead + e.Onset.Quarters()*pl.quarter
		pl.sounds = append(pl.sounds, pl.sound(i, float64(e.MIDI), at, at+e.Length.Quarters()*pl.quarter))
	}
	return pl
}

func (p *player) sound(note int, midi, onset, end float64) sound {
	return sound{note: note, midi: midi, onset: onset, end: end, spread: 2, level: -20, aperiodicity: 0.03, strength: 4, fresh: 6, trust: dsp.Sure}
}

// at finds a note of the line by "measure:beat", the first time round.
func (p *player) at(place string) int {
	p.t.Helper()
	number, beat, ok := strings.Cut(place, ":")
	require.True(p.t, ok, place)
	b, err := strconv.ParseFloat(beat, 64)
	require.NoError(p.t, err, place)
	for i, e := range p.line {
		if e.Number == number && math.Abs(e.Beat-b) < 0.01 && e.Pass == 1 {
			return i
		}
	}
	require.Fail(p.t, "no such note", place)
	return -1
}

// in lists the notes of the measures from..to that pass a test.
func (p *player) in(from, to int, pass func(i int) bool) []int {
	var notes []int
	for i, e := range p.line {
		if n, err := strconv.Atoi(e.Number); err == nil && n >= from && n <= to && pass(i) {
			notes = append(notes, i)
		}
	}
	require.NotEmpty(p.t, notes)
	return notes
}

func (p *player) stopped(i int) bool { return p.plan.Notes[i].Stopped() }
func (p *player) open(i int) bool    { return p.plan.Notes[i].Open }
func (p *player) finger(name string) func(int) bool {
	return func(i int) bool { return p.stopped(i) && p.plan.Notes[i].Finger == name }
}
func (p *player) onString(s int) func(int) bool {
	return func(i int) bool { return p.plan.Notes[i].String == s }
}
func every(int) bool { return true }

// of gives the sounds of a note of the line.
func (p *player) of(i int) []*sound {
	var s []*sound
	for k := range p.sounds {
		if p.sounds[k].note == i {
			s = append(s, &p.sounds[k])
		}
	}
	return s
}

// detune plays notes off by so many cents.
func (p *player) detune(cents float64, notes ...int) *player {
	for _, i := range notes {
		for _, s := range p.of(i) {
			s.midi += cents / 100
		}
	}
	return p
}

// late moves the beginning of one note; its end stays.
func (p *player) late(ms float64, place string) *player {
	for _, s := range p.of(p.at(place)) {
		s.onset += ms / 1000
	}
	return p
}

// hold lets a note sound for a share of its written length.
func (p *player) hold(share float64, place string) *player {
	i := p.at(place)
	for _, s := range p.of(i) {
		s.end = s.onset + share*p.line[i].Length.Quarters()*p.quarter
	}
	return p
}

// putOff lets everything from a note on come later by so many beats.
func (p *player) putOff(beats float64, place string) *player {
	from := p.sounds[p.first(p.at(place))].onset
	for k := range p.sounds {
		if p.sounds[k].onset >= from-1e-9 {
			p.sounds[k].onset += beats * p.quarter
			p.sounds[k].end += beats * p.quarter
		}
	}
	return p
}

func (p *player) first(i int) int {
	for k, s := range p.sounds {
		if s.note == i {
			return k
		}
	}
	require.Fail(p.t, "not sounding")
	return -1
}

// leaveOut does not play notes.
func (p *player) leaveOut(notes ...int) *player {
	gone := map[int]bool{}
	for _, i := range notes {
		gone[i] = true
	}
	var kept []sound
	for _, s := range p.sounds {
		if !gone[s.note] {
			kept = append(kept, s)
		}
	}
	p.sounds = kept
	return p
}

// putIn plays a note that is not written, so many beats after a note begins.
func (p *player) putIn(midi int, beats, length float64, after string) *player {
	at := p.sounds[p.first(p.at(after))].onset + beats*p.quarter
	p.sounds = append(p.sounds, p.sound(-1, float64(midi), at, at+length*p.quarter))
	return p
}

// goBack stops after a note and goes on from an earlier one, after a rest.
func (p *player) goBack(after, to string, rest float64) *player {
	a, b := p.at(after), p.at(to)
	stop := p.sounds[p.first(a)].end + rest
	var before, again []sound
	for _, s := range p.sounds {
		if s.note <= a {
			before = append(before, s)
		}
		if s.note >= b {
			again = append(again, s)
		}
	}
	by := stop - again[0].onset
	for _, s := range again {
		s.onset += by
		s.end += by
		before = append(before, s)
	}
	p.sounds = before
	return p
}

// bend puts every moment of the take elsewhere in time.
func (p *player) bend(to func(seconds float64) float64) *player {
	for k := range p.sounds {
		s := &p.sounds[k]
		s.onset, s.end = lead+to(s.onset-lead), lead+to(s.end-lead)
	}
	return p
}

// pace plays the whole take faster (above 1) or slower.
func (p *player) pace(factor float64) *player {
	return p.bend(func(s float64) float64 { return s / factor })
}

func (p *player) pluck() *player {
	for k := range p.sounds {
		p.sounds[k].plucked = true
	}
	return p
}

// heard writes down what the listening would have made of it: one player, one
// bow, so that a note ends where the next begins at the latest; frames every
// 10 ms that agree with the notes.
func (p *player) heard() *dsp.Heard {
	sounds := append([]sound(nil), p.sounds...)
	sort.SliceStable(sounds, func(a, b int) bool { return sounds[a].onset < sounds[b].onset })
	h := &dsp.Heard{Rate: 44100, Floor: p.floor, Release: dsp.Release{Level: p.fall, Bands: p.fall}, Peak: 0.5, Clipped: p.clipped}
	for k := range sounds {
		s := &sounds[k]
		if k+1 < len(sounds) {
			s.end = math.Min(s.end, sounds[k+1].onset)
		}
		s.end = math.Max(s.end, s.onset+0.05)
		length := s.end - s.onset
		n := dsp.Note{Onset: s.onset, Offset: s.end, Pitch: s.midi, Spread: s.spread, Landing: s.midi + s.landing/100, Settle: s.settle,
			SteadyFrom: s.onset + math.Min(0.3, math.Max(0.08, 0.45*length)), SteadyTo: s.end - 0.045,
			Level: s.level, Aperiodicity: s.aperiodicity, Plucked: s.plucked, Kind: dsp.Attack, Strength: s.strength, Fresh: s.fresh, Trust: s.trust}
		n.SteadyTo = math.Max(n.SteadyTo, n.SteadyFrom)
		h.Notes = append(h.Notes, n)
		h.Onsets = append(h.Onsets, dsp.Onset{Time: s.onset, Strength: s.strength, Kind: dsp.Attack})
		h.Duration = s.end + 1
	}
	const hop = 0.01
	k := 0
	for f := 0; float64(f)*hop < h.Duration; f++ {
		at := float64(f) * hop
		for k < len(sounds) && sounds[k].end <= at {
			k++
		}
		frame := dsp.Frame{Time: at, Aperiodicity: 1, Level: p.floor}
		if k < len(sounds) && sounds[k].onset <= at {
			s := &sounds[k]
			midi := s.midi
			if into := at - s.onset; into < s.settle {
				midi += s.landing / 100 * (1 - into/s.settle)
			}
			frame = dsp.Frame{Time: at, Voiced: true, Freq: dsp.Hz(midi), Aperiodicity: 0.03, Level: s.level}
		}
		h.Frames = append(h.Frames, frame)
	}
	return h
}

func (p *player) hear(o finding.Options) *finding.Hearing {
	p.t.Helper()
	h, err := finding.Judge(p.piece, p.heard(), o)
	require.NoError(p.t, err)
	return h
}

// listen hears at the intermediate level.
func (p *player) listen() *finding.Hearing { p.t.Helper(); return p.hear(finding.Options{}) }

// told writes findings down as the tests compare them: kind and measures.
func told(h *finding.Hearing) []string {
	said := []string{}
	for _, f := range h.Findings {
		where := f.Measure
		if f.ToMeasure != f.Measure {
			where += "-" + f.ToMeasure
		}
		said = append(said, string(f.Kind)+" "+where)
	}
	return said
}

func kinds(h *finding.Hearing, kind ...finding.Kind) []finding.Finding {
	var found []finding.Finding
	for _, f := range h.Findings {
		for _, k := range kind {
			if f.Kind == k {
				found = append(found, f)
			}
		}
	}
	return found
}

func replace(s string, pairs ...string) string { return strings.NewReplacer(pairs...).Replace(s) }

func contains(s, part string) bool { return strings.Contains(strings.ToLower(s), part) }
