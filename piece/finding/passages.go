package finding

import (
	"math"
	"slices"

	"endpin/dsp/robust"
	"endpin/piece/align"
	"endpin/piece/pace"
)

// When a pace is told.
const (
	tempoLeast   = 4    // notes that tell a tempo at all: of three, one late makes another tempo (set by ear)
	tempoSure    = 8    // and surely
	passageNotes = 4    // onsets in a passage (design)
	asMuch       = 0.75 // of the time that the commonest pace covers: another covers about as much
	driftMore    = 1.5  // times the tolerance that the pace must change from one end of a take to the other (set by ear)
	driftNotes   = 12   // onsets that a drift must be seen over (set by ear)
	evenly       = 0.015
)

// paces is how fast a take goes.
type paces struct {
	own      float64   // the rest's pace, s a nominal second
	passages []passage // at a pace of their own

	drifts   bool    // it changes evenly from the first note to the last
	from, to float64 // what it is there, s a nominal second
}

// passage is notes first..last of the line, at another pace than the rest.
type passage struct {
	first, last int
	onsets      int
	told        int     // of them, those that the page has at the rest's pace; the onset that ends it goes with them
	rate        float64 // s a nominal second
}

// paces finds the pace of the take, and what goes at another: passages, or one even
// change, whichever leaves less over for what it supposes.
func (ev *evidence) paces() paces {
	p := paces{own: ev.align.Pace}
	all := ev.align.Stretches
	if len(all) == 0 {
		return p
	}
	p.own = ev.ownPace(all)
	var now passage
	var side float64
	for _, s := range all {
		off := math.Log(p.own / s.Rate)
		if math.Abs(math.Exp(off)-1) <= ev.level.Tempo/100 {
			side = 0
			continue
		}
		part := passage{first: s.From, last: s.To - 1, rate: s.Rate}
		if s.To == len(ev.line)-1 || s.To == ev.align.Last {
			part.last = s.To
		}
		if side*off > 0 && now.last >= s.From-1 {
			part.first = now.first
			p.passages = p.passages[:len(p.passages)-1]
		}
		p.passages, now, side = append(p.passages, part), part, off
	}
	kept := p.passages[:0]
	for _, q := range p.passages {
		q.onsets = ev.onsets(q.first, q.last)
		q.rate = ev.rateAmid(q.first, min(q.last+1, ev.align.Last))
		q.told = ev.told(q, p.own)
		if q.told > 0 && q.told+ev.onsets(q.last+1, min(q.last+1, ev.align.Last)) >= passageNotes {
			kept = append(kept, q)
		}
	}
	p.passages = kept
	p.drift(ev)
	return p
}

// ownPace is the pace that most of the take goes at; where two cover about as much, the
// one nearer to the tempo asked for.
func (ev *evidence) ownPace(all []pace.Stretch) float64 {
	covers := make([]float64, len(all))
	for i := range all {
		for _, s := range all {
			if math.Abs(math.Log(s.Rate/all[i].Rate)) < ev.level.Tempo/200 {
				covers[i] += ev.clock[s.To] - ev.clock[s.From]
			}
		}
	}
	most := slices.Max(covers)
	own, off := all[slices.Index(covers, most)].Rate, math.Inf(1)
	for i, s := range all {
		if o := math.Abs(math.Log(s.Rate * ev.asked / ev.supposed)); ev.asked > 0 && covers[i] >= asMuch*most && o < off {
			own, off = s.Rate, o
		}
	}
	return own
}

// turning is how much later or sooner a note may come because the pace turns into a passage
// or out of it little by little, ms. Where that takes a measure, from its beginning to its
// end, an onset in the middle lies off an abrupt change by an eighth of what it takes up.
func (t *take) turning(i int) float64 {
	most := 0.0
	for _, q := range t.pace.passages {
		for _, at := range []int{q.first, q.last + 1} {
			at = min(at, len(t.line)-1)
			measure := t.seconds(at, t.piece.Measures[t.line[at].Measure].Length, 1)
			if math.Abs(t.clock[i]-t.clock[at]) <= measure {
				most = math.Max(most, 1000*measure*math.Abs(q.rate-t.pace.own)/8)
			}
		}
	}
	return most
}

// onsets counts the notes of the line that were heard to begin.
func (ev *evidence) onsets(first, last int) (n int) {
	for i := first; i <= last; i++ {
		if m := ev.match(i); m.Heard >= 0 && !m.Guessed && !m.Recovered {
			n++
		}
	}
	return n
}

// rateAmid is the rate of the middle half between two notes: into a passage, and out of it,
// the pace may turn little by little. Half of that time goes at it or below.
func (ev *evidence) rateAmid(first, last int) float64 {
	var rates, lengths []float64
	from, to := ev.clock[first], ev.clock[last]
	from, to = from+(to-from)/4, to-(to-from)/4
	for i := first + 1; i <= last; i++ {
		within := math.Min(to, ev.clock[i]) - math.Max(from, ev.clock[i-1])
		rates, lengths = append(rates, ev.match(i-1).Rate), append(lengths, math.Max(0, within))
	}
	return robust.WeightedMedian(rates, lengths)
}

// told counts the onsets of a passage that the page has at the rest's pace: neither under
// a rit. or an accel., nor in the take's broadening at its end.
func (ev *evidence) told(q passage, own float64) (n int) {
	end := len(ev.line) - 1
	broadening := q.rate > own && q.last == end
	for i := q.first; i <= q.last; i++ {
		if !ev.line[i].Free && !(broadening && ev.line[i].Measure > ev.line[end].Measure-align.Broadening) {
			n += ev.onsets(i, i)
		}
	}
	return n
}

// broadened reports whether a note in the last measures comes so many ms late because the
// take broadens: by its last note it has broadened by as much.
func (ev *evidence) broadened(i int, ms float64) bool {
	end := len(ev.line) - 1
	first := ev.line[end].Measure - align.Broadening + 1
	if ms < 0 || ev.line[i].Measure < first || ev.match(end).Heard < 0 {
		return false
	}
	before := i
	for before > 0 && (ev.line[before].Measure >= first || math.IsNaN(ev.lateness(before))) {
		before--
	}
	b := ev.match(before)
	return i == end || 1000*(ev.match(end).Note.Onset-b.Beat-b.Rate*(ev.clock[end]-ev.clock[before])) > ms
}

// drift looks whether an even change from the first note to the last explains the pace
// better than the passages do, or all stretches, by Schwarz's criterion (Ann. Stat. 6, 1978).
func (p *paces) drift(ev *evidence) {
	var x, y, w []float64
	var fits, parts float64 // what the passages leave over, and the stretches
	stretches := ev.align.Stretches
	stretch := 0
	phrase := ev.match(ev.align.Last).Phrase
	at := func(i int) float64 {
		for _, q := range p.passages {
			if i >= q.first && i <= q.last {
				return math.Log(q.rate)
			}
		}
		return math.Log(p.own)
	}
	for i := ev.align.First; i < ev.align.Last; i++ {
		m := ev.match(i)
		if m.Phrase != phrase || m.Heard < 0 || !(m.Rate > 0) || ev.line[i].Free {
			continue
		}
		x, y, w = append(x, ev.clock[i]), append(y, math.Log(m.Rate)), append(w, ev.clock[i+1]-ev.clock[i])
		for stretch+1 < len(stretches) && stretches[stretch+1].From <= i {
			stretch++
		}
		fits += w[len(w)-1] * sq(y[len(y)-1]-at(i))
		parts += w[len(w)-1] * sq(y[len(y)-1]-math.Log(stretches[stretch].Rate))
	}
	n := float64(len(x))
	if n < driftNotes {
		return
	}
	a, b, left := line(x, y, w)
	all := 0.0
	for _, v := range w {
		all += v
	}
	cost := func(left float64, parameters int) float64 {
		return n*math.Log(left/all+sq(evenly)) + float64(parameters)*math.Log(n)
	}
	first, last := ev.clock[ev.align.First], ev.clock[ev.align.Last]
	if math.Abs(b*(last-first)) < driftMore*ev.level.Tempo/100 || cost(left, 2) >= math.Min(cost(fits, 1+3*len(p.passages)), cost(parts, 2*len(stretches)-1)) {
		return
	}
	p.drifts, p.passages = true, nil
	p.from, p.to = math.Exp(a+b*first), math.Exp(a+b*last)
}

// line fits y = a + b·x with weights, and gives what is left over.
func line(x, y, w []float64) (a, b, left float64) {
	var sw, sx, sy, sxx, sxy float64
	for k := range x {
		sw, sx, sy = sw+w[k], sx+w[k]*x[k], sy+w[k]*y[k]
		sxx, sxy = sxx+w[k]*x[k]*x[k], sxy+w[k]*x[k]*y[k]
	}
	b = (sw*sxy - sx*sy) / (sw*sxx - sx*sx)
	a = (sy - b*sx) / sw
	for k := range x {
		left += w[k] * sq(y[k]-a-b*x[k])
	}
	return a, b, left
}

func sq(x float64) float64 { return x * x }

// otherPaces tells of passages that go slower or faster than the rest.
func (t *take) otherPaces() {
	for _, q := range t.pace.passages {
		share := t.pace.own / q.rate
		trust := sureUnless(math.Abs(share-1) < clearlyMore*t.level.Tempo/100 || q.told < passageNotes)
		t.add(Finding{Kind: either(share-1, FasterPassage, SlowerPassage), Value: share, Trust: trust, Tolerance: t.level.Tempo / 100, Notes: q.onsets,
			Said: t.passageText(&q, share), Located: true}, q.first, q.last)
	}
}

// tempo tells of a pace other than the one asked for, or one that drifts.
func (t *take) tempo() {
	qpm := t.supposed / t.pace.own
	differs := t.asked > 0 && math.Abs(qpm/t.asked-1) > t.level.Tempo/100
	notes := len(t.aperiodicities) // heard by themselves
	if !t.pace.drifts && !differs || notes < tempoLeast {
		return
	}
	f := Finding{Kind: Tempo, Value: qpm, Trust: sureUnless(notes < tempoSure), Tolerance: round(t.level.Tempo/100*t.asked, 1), Notes: notes,
		Said: t.tempoText(qpm)}
	if t.pace.drifts {
		f.FromQPM, f.ToQPM = round(t.supposed/t.pace.from, 1), round(t.supposed/t.pace.to, 1)
	}
	t.whole(f)
}
