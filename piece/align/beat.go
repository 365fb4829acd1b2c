package align

import (
	"math"

	"endpin/dsp"
	"endpin/piece/pace"
)

// softBegins is how much before it was heard a note that began softly may have begun, s:
// so much less it tells of the beat. Set by ear, no source.
const softBegins = 0.06

// Broadening is how many measures at the end may broaden (design).
const Broadening = 2

// keepBeat finds the beat that the player keeps, each stretch that no restart interrupts
// by itself. What is only guessed of a note tells nothing of it.
func (a *Alignment) keepBeat(m *model) {
	a.Stretches = nil
	for from := a.First; from <= a.Last; {
		to, phrase := from, -1
		var onsets []pace.Onset
		for ; to <= a.Last; to++ {
			mt := &a.Matches[to]
			if mt.Heard >= 0 && phrase >= 0 && mt.Phrase != phrase {
				break
			}
			if mt.Heard >= 0 {
				phrase = mt.Phrase
			}
			if n := &mt.Note; n.Kind == dsp.PitchChange && n.Stroke > 0 && !m.line[to].Slurred {
				n.Onset = math.Min(n.Onset, n.Stroke) // the page has a bow for it
			}
			o := pace.Onset{X: m.clock[to], T: math.NaN()}
			if mt.Heard >= 0 && !mt.Guessed && !mt.Recovered {
				o.T = mt.Note.Onset
			}
			if mt.Note.Strength < cutStrength || mt.Note.Kind == dsp.PitchChange && !m.line[to].Slurred {
				o.Soft = softBegins
			}
			end := len(m.line) - 1
			o.Turns = m.line[to].Free || to > 0 && m.line[to-1].Free || m.line[to].Measure > m.line[end].Measure-Broadening
			o.Waits = to > 0 && (m.line[to-1].Articulation.Fermata || m.line[to-1].Articulation.Breath)
			onsets = append(onsets, o)
		}
		last := to - 1 // what the player went past has no beat
		for a.Matches[last].Heard < 0 {
			last--
		}
		onsets = onsets[:min(len(onsets), last-from+1+outsideNotes)]
		places := pace.Follow(onsets, a.Pace)
		for k, p := range places {
			mt := &a.Matches[from+k]
			mt.Beat, mt.Rate, mt.Step = p.Beat, p.Rate, p.Step
		}
		for _, s := range pace.Stretches(onsets, places) {
			s.From, s.To = from+s.From, from+s.To
			a.Stretches = append(a.Stretches, s)
		}
		from = to
	}
}
