package report

import (
	"math"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
)

// note draws one note: the box where it belongs, what was heard against it,
// its onset, its name and finger.
func (s *score) note(p *panel, n *sounded) {
	if !p.meets(n.tick, n.tick+max(n.length, 1)) {
		return
	}
	half := s.tolerance / s.reach * laneHeight / 2
	left, right := p.x(float64(max(n.tick, p.from))), p.x(float64(min(n.tick+n.length, p.to)))
	width := math.Max(2, right-left-1.5)
	kind := "note"
	switch n.State {
	case finding.StateMissing:
		kind = "missing"
	case finding.StateWrong:
		kind = "other"
	}
	if kind == "note" && s.pointedAt(n) {
		kind = "told"
	}
	p.Boxes = append(p.Boxes, box{X: px(left), Y: p.Middle - px(half), W: px(width), H: px(2 * half), Kind: kind})
	if n.tick >= p.from {
		s.name(p, n, left, width)
	}
	if n.Onset == nil {
		return
	}
	if n.tick >= p.from {
		s.onset(p, n)
	}
	s.pitch(p, n, left, width)
}

// pointedAt reports whether a finding of intonation is about a note: of a hand
// frame the stopped notes, of a narrow hand the fourth fingers.
func (s *score) pointedAt(n *sounded) bool {
	for i := range s.hearing.Findings {
		f := &s.hearing.Findings[i]
		if f.First < 0 || n.Line < f.First || n.Line > f.Last {
			continue
		}
		switch row := f.Kind.Row(); {
		case row.OffPitch():
			if f.First == f.Last || n.Finger != "0" {
				return true
			}
		case row.About == finding.Hand:
			if n.Finger == "4" {
				return true
			}
		}
	}
	return false
}

// name writes the note's name under it, and the finger under that.
func (s *score) name(p *panel, n *sounded, left, width float64) {
	if n.entry == nil || width < 9 {
		return
	}
	at := px(left + 1)
	p.Names = append(p.Names, label{X: at, Y: p.NamesAt, Text: s.music.name(n.entry).String()})
	if n.Finger != "" {
		p.Fingers = append(p.Fingers, label{X: at, Y: p.FingersAt, Text: n.Finger})
	}
}

func (s *score) onset(p *panel, n *sounded) {
	x := p.x(n.at(*n.Onset))
	if x < plotLeft-6 || x > plotRight+6 {
		return
	}
	p.Onsets = append(p.Onsets, px(x))
	for i := range s.hearing.Findings {
		f := &s.hearing.Findings[i]
		if f.Kind.Row().OffBeat() && f.First >= 0 && f.First == n.Line {
			beat := p.x(float64(n.tick))
			p.Lateness = append(p.Lateness, box{X: px(math.Min(x, beat)), Y: p.BeatBottom - 4, W: px(math.Abs(x - beat)), H: 4})
		}
	}
}

const (
	speaks  = 0.03 // s after the onset that the pitch still tells of the note before
	noisy   = 0.35 // aperiodicity above which a frame says nothing of a note's pitch
	another = 0.6  // semitones from a note's pitch where the track is still, or already, on another
)

// pitch draws what was heard of a note, in cents from where it belongs.
func (s *score) pitch(p *panel, n *sounded, left, width float64) {
	if s.heard == nil || n.Offset == nil || n.Heard < 0 || n.Heard >= len(s.heard.Notes) || n.pace <= 0 {
		return
	}
	h := &s.heard.Notes[n.Heard]
	place := func(f dsp.Frame) (point, bool) {
		x, pitch := p.x(n.at(f.Time)), dsp.MIDI(f.Freq)
		cents := 100 * (pitch - n.target)
		in := f.Voiced && f.Aperiodicity < noisy && math.Abs(pitch-h.Pitch) < another && math.Abs(cents) <= s.reach && x >= plotLeft-4 && x <= plotRight+8
		return point{x, float64(p.Middle) - cents/s.reach*laneHeight/2}, in
	}
	if d := trace(frames(s.heard, *n.Onset+speaks, *n.Offset), place); d != "" {
		p.Traces = append(p.Traces, d)
	}
	cents := 100 * (h.Pitch - n.target)
	from := math.Max(p.x(n.at(math.Max(h.SteadyFrom, *n.Onset))), plotLeft)
	to := math.Min(p.x(n.at(math.Min(h.SteadyTo, *n.Offset))), p.end())
	if math.Abs(cents) <= s.reach && to-from > 0.5 {
		p.Means = append(p.Means, box{X: px(from), Y: p.Middle - px(cents/s.reach*laneHeight/2), W: px(to - from)})
	}
	if math.Abs(cents) > s.reach && n.tick >= p.from {
		e := edge{X: px(left + math.Min(width/2, 8)), Y: p.Top + 7, Shape: "up", Text: s.pitchName(int(math.Round(h.Pitch)), s.bars[n.bar].Measure).String()}
		if cents < 0 {
			e.Y, e.Shape = p.Bottom-7, "down"
		}
		p.Edges = append(p.Edges, e)
	}
}

// extras stand where a note was heard that is not written.
func (s *score) extras(p *panel) {
	for i := range s.hearing.Notes {
		n := &s.hearing.Notes[i]
		if n.State != finding.StateExtra {
			continue
		}
		bar := s.indexed(n.Measure, n.Pass)
		if bar < 0 {
			continue
		}
		if t := s.tick(bar, n.Beat); t >= p.from && t < p.to {
			p.Edges = append(p.Edges, edge{X: px(p.x(float64(t))), Y: p.Middle, Shape: "plus", Text: s.pitchName(n.MIDI, s.bars[bar].Measure).String()})
		}
	}
}

// unsure shades what could not be judged.
func (s *score) unsure(p *panel) {
	for i := range s.hearing.Findings {
		f := &s.hearing.Findings[i]
		if f.Kind != finding.NotSure || s.whole(f) {
			continue
		}
		from, to, ok := s.stretch(f)
		if !ok || !p.meets(from, to) {
			continue
		}
		left, right := p.x(float64(max(from, p.from))), p.x(float64(min(to, p.to)))
		p.Unsure = append(p.Unsure, box{X: px(left), Y: p.Top, W: px(right - left), H: p.Bottom - p.Top})
	}
}

// stretch is the music that a finding covers.
func (s *score) stretch(f *finding.Finding) (from, to piece.Ticks, ok bool) {
	first, last := s.covers(f)
	if first < 0 {
		return 0, 0, false
	}
	from, to = s.tick(first, math.Max(1, f.Beat)), s.bars[last].Onset+s.bars[last].Length
	if len(f.Places) > 0 { // and each of the others by itself
		return from, from + 1, true
	}
	if f.First >= 0 && f.First <= f.Last && f.Kind.Row().About != finding.WentBack {
		if i, ok := s.byLine[f.Last]; ok {
			to = s.sounds[i].tick + max(s.sounds[i].length, 1)
		}
	}
	return from, max(to, from+1), true
}
