package finding

import (
	"math"

	"endpin/dsp"
)

// isPlucked tells by the longer notes whether what is played dies away.
func (ev *evidence) isPlucked() (plucked bool) {
	for _, least := range []float64{longNote, shorterNote} {
		plucks, all := 0, 0
		for i := range ev.line {
			if m := ev.match(i); m.Heard >= 0 && !m.Guessed && !m.Recovered && m.Note.Offset-m.Note.Onset > least {
				all++
				if m.Note.Plucked {
					plucks++
				}
			}
		}
		// A bow swells or sustains; few of its notes die away as a pluck does.
		if plucked = 3*plucks > all; all >= leastLong {
			break
		}
	}
	return plucked
}

// That is told by notes that last so long, s, where there are enough of
// them; else by shorter ones (set by ear, no source).
const (
	longNote    = 0.5
	shorterNote = 0.2
	leastLong   = 4 // notes
)

// Which notes a finger plucked. A plucked string is loudest at once and sounds clear; a bow
// needs its time to set it going, and a short stroke is rough. A single note leaves that
// open, so the notes of a passage are asked together: a chain of two states that seldom
// changes. Fitted to 172 plucked notes (a real bass, one of an orchestra, the modelled one)
// and 171 of martelé, spiccato and staccato; the sum over a take parts all of them.
var (
	pluckLoudest, strokeLoudest = spread{0.040, 0.40}, spread{0.052, 0.56} // s after the onset that a note is loudest
	pluckRough, strokeRough     = spread{0.010, 1.30}, spread{0.027, 1.25} // aperiodicity
)

const (
	bowOrPluck = 0.02  // of notes come after a change from one to the other, …
	asMarked   = 0.9   // … and so many are played as a mark in the page says
	heardOut   = 0.15  // s that a note must last to tell
	leastRough = 0.001 // aperiodicity and …
	leastLoud  = 0.008 // … s below which nothing is told apart
	beginsFor  = 0.4   // s in which the loudest is looked for
)

// spread is how a value scatters that is multiplied by chance: its middle, and the standard
// deviation of its logarithm.
type spread struct{ middle, sd float64 }

// likely is the logarithm of how likely a value is.
func (s spread) likely(x float64) float64 {
	z := math.Log(x/s.middle) / s.sd
	return -z*z/2 - math.Log(s.sd)
}

// whichStruck tells of each note whether a finger plucked it.
func (ev *evidence) whichStruck() []bool {
	marked := false
	for i := range ev.line {
		marked = marked || ev.line[i].Articulation.Pizz
	}
	struck := make([]bool, len(ev.line))
	var cost [2]float64 // bowed, plucked
	from := make([][2]int, len(ev.line))
	for i := range ev.line {
		stay, change := -math.Log(1-bowOrPluck), -math.Log(bowOrPluck)
		var next [2]float64
		for s := range next {
			next[s], from[i][s] = cost[s]+stay, s
			if c := cost[1-s] + change; i > 0 && c < next[s] {
				next[s], from[i][s] = c, 1-s
			}
		}
		if marked {
			as := 0
			if ev.line[i].Articulation.Pizz {
				as = 1
			}
			next[as], next[1-as] = next[as]-math.Log(asMarked), next[1-as]-math.Log(1-asMarked)
		}
		if m := ev.match(i); m.Heard >= 0 && !m.Guessed && !m.Recovered && m.Note.Offset-m.Note.Onset >= heardOut && m.Note.Kind == dsp.Attack {
			loudest, rough := math.Max(leastLoud, ev.loudest(&m.Note)), math.Max(leastRough, m.Note.Aperiodicity)
			next[0] -= strokeLoudest.likely(loudest) + strokeRough.likely(rough)
			next[1] -= pluckLoudest.likely(loudest) + pluckRough.likely(rough)
		}
		cost = next
	}
	s := 0
	if cost[1] < cost[0] {
		s = 1
	}
	for i := len(ev.line) - 1; i >= 0; i-- {
		struck[i] = s == 1
		s = from[i][s]
	}
	return struck
}

// loudest is how long after its onset a note is loudest, s.
func (ev *evidence) loudest(n *dsp.Note) (after float64) {
	most := math.Inf(-1)
	for _, f := range ev.framesIn(n.Onset, math.Min(n.Offset, n.Onset+beginsFor)) {
		if f.Level > most {
			most, after = f.Level, f.Time-n.Onset
		}
	}
	return after
}

// mostlyStruck tells whether most notes of a take were plucked.
func (ev *evidence) mostlyStruck() bool {
	n := 0
	for _, s := range ev.struck {
		if s {
			n++
		}
	}
	return 2*n > len(ev.struck)
}
