package transcription

import (
	"cmp"
	"math"
	"slices"

	"endpin/piece"
)

// way is one way through the metre: which sounds are notes, and where each stands on the page.
type way struct {
	metre  metre
	sound  []int         // which of the sounds each note is: all but soft ones that are none
	at     []piece.Ticks // from the beginning of the first measure
	period []float64     // s a quarter note, at each sound
	hyps   []*hypothesis
	beat   beat
	cost   float64
}

// beat is how freely a player goes.
type beat struct {
	onset float64 // standard deviation of an onset about its beat, s
	drift float64 // … of the period, as a share of it, from one quarter note to the next
	pause float64 // what it costs, nats, that the beat waits
}

// A beat that a click gives does not change; one that a player keeps does, and may wait.
// The scatter is that of a teacher who plays a tune through (common practice, no source).
var (
	clicked = beat{onset: 0.025, drift: 0.0005, pause: 12}
	kept    = beat{onset: 0.025, drift: 0.015, pause: 9}
)

// A sign of a stroke inside of a note, beside where there is none. Of 20 strokes that a
// sampled and a recorded bow made unheard 17 left one, and of 44 signs that were no stroke 42
// came within 0.25 s of their note's beginning: looked at on the composed takes of seeds 901
// to 912, and tuned on those of 901 to 924.
const (
	forSign  = 2   // nats that it speaks for a stroke, …
	unrest   = 20  // … and against it, as the attack's own unrest, …
	unrestIn = 0.1 // … which dies away, s
)

// price is what it costs to take a sound for a note.
func (s Sound) price() float64 {
	if s.Soft {
		return unrest*math.Exp(-s.Since/unrestIn) - forSign
	}
	return 0
}

// proposed are the metres tried where none is asked for, and how seldom each is, nats
// (school tune books; from memory).
var proposed = []struct {
	time  piece.Time
	price float64
}{
	{piece.Time{Beats: 4, Unit: 4}, 0},
	{piece.Time{Beats: 3, Unit: 4}, 1},
	{piece.Time{Beats: 2, Unit: 4}, 1.5},
	{piece.Time{Beats: 6, Unit: 8}, 1.5},
}

// rhythmOf finds the simplest rhythm that explains the onsets.
func rhythmOf(sounds []Sound, asked Asked) *way {
	var best *way
	try := func(t piece.Time, price float64) {
		for _, b := range []beat{clicked, kept} {
			if w := follow(sounds, metreOf(t), b, asked); w != nil {
				if w.cost += price; best == nil || w.cost < best.cost {
					best = w
				}
			}
		}
	}
	if asked.Time != nil {
		try(*asked.Time, 0)
	} else {
		for _, p := range proposed {
			try(p.time, p.price)
		}
	}
	return best
}

// hypothesis is a sound at a place of the page, with what its way there says of the beat.
type hypothesis struct {
	at          piece.Ticks // from the beginning of the first measure
	when        float64     // s: where the beat has this place
	period      float64     // s a quarter note
	pww, pwp, p float64     // their covariance
	sound       int         // which it is
	cost        float64     // nats, of the whole way to here
	from        *hypothesis
}

const (
	width   = 256  // hypotheses kept from one sound to the next
	slowest = 1.7  // s a quarter note, where no tempo is asked for (♩ = 35)
	fastest = 0.25 // (♩ = 240)
	middle  = 0.63 // the commonest (♩ = 95)
	spread  = 0.25 // standard deviation of its logarithm
	near    = 0.03 // of a tempo asked for, as a share
	reach   = 4.5  // deviations within which a place is tried
	likely  = 16   // whole measures that one note may be held

	withClick = 0.06 // s about the click that a player comes in, one standard deviation: the devices' delay is in it
	ownWay    = 4    // nats: one in fifty comes in elsewhere, and counts the measures as it pleases (both common practice, no source)
)

func follow(sounds []Sound, m metre, b beat, asked Asked) *way {
	now := begin(sounds[0].Onset, m, b, asked)
	places := m.places()
	for i := 1; i < len(sounds); i++ {
		next := onward(now, sounds, i, m, b, places)
		if sounds[i].Soft { // or it is no note
			next = cheapest(append(next, now...))
		}
		now = next
	}
	return wayTo(now[0], m, b)
}

// played are the sounds that are notes.
func (w *way) played(sounds []Sound) (notes []Sound) {
	for k, i := range w.sound {
		if sounds[i].Soft {
			notes[k-1].Offset = sounds[i].Onset
		}
		notes = append(notes, sounds[i])
	}
	return notes
}

// soft counts the signs of strokes among sounds.
func soft(sounds []Sound) (n int) {
	for _, s := range sounds {
		if s.Soft {
			n++
		}
	}
	return n
}

func wayTo(end *hypothesis, m metre, b beat) *way {
	w := &way{metre: m, beat: b, cost: end.cost}
	for h := end; h != nil; h = h.from {
		w.at, w.period, w.hyps, w.sound = append(w.at, h.at), append(w.period, h.period), append(w.hyps, h), append(w.sound, h.sound)
	}
	slices.Reverse(w.sound)
	slices.Reverse(w.at)
	slices.Reverse(w.period)
	slices.Reverse(w.hyps)
	return w
}

// begin puts the first sound at every place that it may have, at every pace.
func begin(onset float64, m metre, b beat, asked Asked) (all []*hypothesis) {
	beat := m.beat.Quarters()
	add := func(period, doubt, price float64) {
		h := hypothesis{when: onset, period: period, pww: b.onset * b.onset, p: doubt * doubt * period * period, cost: price}
		if asked.Origin != nil {
			h.at = m.nearest((onset - *asked.Origin) / period)
			all = append(all, &h)
			return
		}
		for _, at := range m.places() {
			if d := m.dividing(at); d == whole || d == parts {
				first := h
				in := m.entering(at)
				if asked.Click != nil {
					off := m.beside(at, (onset-*asked.Click)/period) * period
					in = min(sq(off/withClick)/2, ownWay+in)
				}
				first.at, first.cost = at, price+in
				all = append(all, &first)
			}
		}
	}
	if asked.QPM > 0 {
		add(60/asked.QPM, near, 0)
		return all
	}
	const step = 1.06
	for period := fastest; period <= slowest; period *= step {
		off := math.Log(period*beat/middle) / spread
		add(period, step-1, off*off/2)
	}
	return all
}

// onward takes every hypothesis to every place that the next onset may have, and keeps
// the best at each place and pace.
func onward(now []*hypothesis, sounds []Sound, i int, m metre, b beat, places []piece.Ticks) []*hypothesis {
	s := sounds[i]
	type key struct {
		at   piece.Ticks
		pace int
	}
	best := map[key]*hypothesis{}
	keep := func(h *hypothesis) {
		k := key{h.at % m.bar, int(math.Round(math.Log(h.period) * 30))}
		if old := best[k]; old == nil || h.cost < old.cost {
			best[k] = h
		}
	}
	for _, h := range now {
		gap := (s.Onset - h.when) / h.period // quarter notes
		doubt := reach * math.Sqrt(h.pww+b.onset*b.onset+gap*gap*h.p+gap*gap*gap*sq(b.drift*h.period)) / h.period
		h.each(gap-doubt, gap+doubt, m, places, func(at piece.Ticks) { keep(h.to(at, s, i, m, b)) })
		h.each(gap*0.4, gap-doubt, m, places, func(at piece.Ticks) { // the beat waits
			if m.dividing(at%m.bar) <= parts {
				keep(h.waiting(at, s, i, m, b))
			}
		})
	}
	if len(best) == 0 && !s.Soft { // a silence beyond all that is written: on from the next beat
		keep(now[0].waiting((now[0].at/m.beat+1)*m.beat, s, i, m, b))
	}
	next := make([]*hypothesis, 0, len(best))
	for _, h := range best {
		next = append(next, h)
	}
	return cheapest(next)
}

// cheapest keeps the best hypotheses, in order.
func cheapest(all []*hypothesis) []*hypothesis {
	slices.SortFunc(all, byCost)
	return all[:min(width, len(all))]
}

func byCost(a, b *hypothesis) int {
	return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.at, b.at), cmp.Compare(a.period, b.period))
}

// each calls do with the places between so many quarter notes after h and so many.
func (h *hypothesis) each(from, to float64, m metre, places []piece.Ticks, do func(piece.Ticks)) {
	low := h.at + max(1, piece.Ticks(math.Ceil(from*float64(piece.Quarter))))
	high := h.at + min(likely*m.bar, piece.Ticks(math.Floor(to*float64(piece.Quarter))))
	for bar := low / m.bar * m.bar; bar <= high; bar += m.bar {
		for _, p := range places {
			if at := bar + p; at >= low && at <= high {
				do(at)
			}
		}
	}
}

func sq(x float64) float64 { return x * x }

// ahead is where a hypothesis expects the beat at a later place: a step of the Kalman
// filter without its measurement.
func (h *hypothesis) ahead(at piece.Ticks, b beat) *hypothesis {
	d := (at - h.at).Quarters()
	noise := sq(b.drift*h.period) * d
	return &hypothesis{
		at: at, when: h.when + d*h.period, period: h.period,
		pww: h.pww + 2*d*h.pwp + d*d*h.p + noise*d*d/3, pwp: h.pwp + d*h.p + noise*d/2, p: h.p + noise,
		cost: h.cost, from: h,
	}
}

// to puts a sound at a place.
func (h *hypothesis) to(at piece.Ticks, s Sound, i int, m metre, b beat) *hypothesis {
	n := h.ahead(at, b)
	n.sound = i
	n.cost += m.landing(h.at, at) + s.price()
	n.measure(s.Onset, b)
	return n
}

// measure takes in when the place was heard.
func (n *hypothesis) measure(onset float64, b beat) {
	s := n.pww + sq(b.onset)
	off := onset - n.when
	n.cost += off*off/(2*s) + math.Log(s/sq(b.onset))/2
	kw, kp := n.pww/s, n.pwp/s
	n.when += kw * off
	n.period += kp * off
	n.pww, n.pwp, n.p = (1-kw)*n.pww, (1-kw)*n.pwp, n.p-kp*n.pwp
}

// waiting puts a sound at a place that the beat has waited for.
func (h *hypothesis) waiting(at piece.Ticks, s Sound, i int, m metre, b beat) *hypothesis {
	n := h.ahead(at, b)
	n.sound = i
	n.cost += m.landing(h.at, at) + b.pause + s.price()
	n.when, n.pww, n.pwp, n.p = s.Onset, sq(b.onset), 0, h.p
	return n
}
