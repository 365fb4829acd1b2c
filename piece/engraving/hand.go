package engraving

import (
	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// hand is what the Plan says of one printed note, the first time it is played.
type hand struct {
	fingerboard.Fingered
	arrives bool // a shift lands on it, or the hand is first placed
}

func handsOf(o *Options) map[[2]int]hand {
	hands := map[[2]int]hand{}
	if o.Plan == nil || len(o.Plan.Notes) != len(o.Line) {
		return hands
	}
	arrives := map[int]bool{}
	for _, s := range o.Plan.Shifts {
		arrives[s.Note] = true
	}
	placed := false
	for i, e := range o.Line {
		at := [2]int{e.Measure, e.Note}
		f := o.Plan.Notes[i]
		opening := f.Stopped() && !placed
		placed = placed || f.Stopped()
		if _, seen := hands[at]; !seen {
			hands[at] = hand{f, arrives[i] || opening}
		}
	}
	return hands
}

// fingers sets what a teacher writes over a note, from the note outward:
// harmonic, finger, bow, fermata.
func (e *engraver) fingers() {
	for _, h := range e.notes {
		e.now = h.measure
		m := h.n.Marks
		centred := func(r rune, scale, gap, limit float64, c Class) {
			b := boxes[r]
			e.over(c, Glyph{r, h.middle() - scale*(b.left+b.right)/2, 0, scale}, gap, limit)
		}
		finger, harmonic := m.Finger, m.Harmonic
		if m.Open {
			finger = "0"
		}
		f, planned := e.hands[[2]int{h.measure, h.note}]
		if planned && !h.rest {
			if finger == "" && (e.o.Fingers == AllFingers || e.o.Fingers == HandFingers && (f.arrives || h.sul != "")) {
				finger = f.Finger
			}
			harmonic = harmonic || f.Harmonic
		}
		if harmonic && finger != "0" {
			centred(stringsHarmonic, 1, 0.4, -0.6, Fingers)
		}
		switch {
		case finger == "T":
			centred(stringsThumbPosition, 0.9, 0.35, -0.7, Fingers)
		case len(finger) == 1 && finger[0] >= '0' && finger[0] <= '4':
			centred(fingering0+rune(finger[0]-'0'), 1, 0.35, -0.7, Fingers)
		}
		switch m.Bow {
		case piece.Down:
			centred(stringsDownBow, 1, 0.4, -0.7, Articles)
		case piece.Up:
			centred(stringsUpBow, 1, 0.4, -0.7, Articles)
		}
		if h.n.Articulated.Fermata {
			centred(fermataAbove, 1, 0.4, -0.7, Articles)
		}
	}
}

// positionMark is a position as it is printed over notes, "" for none.
func positionMark(token string) string {
	switch token {
	case "", "0":
		return ""
	case "half":
		return "½"
	case "thumb":
		return words.Say("engraving.thumb")
	}
	return words.Position(token).Printed().String()
}

// held is a run of a system's notes that one hand frame holds.
type held struct {
	frame        int
	from, to     *placed
	word         Text
	left, right  float64 // of the notes
	end          float64 // of the word
	opens, close bool    // the frame begins here, and ends here
}

// frames sets a bracket over the notes of one hand, with its position where it
// begins; without brackets the positions that the piece itself marks. All
// brackets of a system stand at one height, and a word that would run into the
// next one goes up a row.
func (e *engraver) frames() {
	if !e.o.Frames || e.o.Plan == nil {
		for _, h := range e.notes {
			if word := positionMark(h.n.Marks.Position); word != "" && !h.rest {
				e.now = h.measure
				e.over(Frames, e.within(Text{word, h.x, 0, frameSize, Start, Roman}), 0.4, -0.9)
			}
		}
		return
	}
	const line, row = 0.14, 1.9
	runs := e.heldRuns()
	y := -1.6
	for _, r := range runs {
		y = min(y, e.up.at(r.left, max(r.right, r.end))-1)
	}
	var ends []float64 // how far each row is taken
	for _, r := range runs {
		k := 0
		for k < len(ends) && ends[k] > r.left {
			k++
		}
		if k == len(ends) {
			ends = append(ends, 0)
		}
		at := y - row*float64(k)
		e.now = r.from.measure
		e.put(Frames, r.word.move(0, at+0.5))
		ends[k] = r.end
		if r.right-r.end < 0.6 {
			continue
		}
		ends[k] = r.right + 0.2
		e.put(Frames, Rect{r.end, at - line/2, r.right - r.end, line})
		if r.close {
			e.put(Frames, Rect{r.right - line, at - line/2, line, 0.8})
		}
	}
}

func (e *engraver) heldRuns() []held {
	var runs []held
	for _, h := range e.notes {
		f, ok := e.hands[[2]int{h.measure, h.note}]
		if h.rest || !ok || !f.Stopped() {
			continue
		}
		if k := len(runs) - 1; k >= 0 && runs[k].frame == f.Frame {
			runs[k].to, runs[k].right = h, h.x+h.width+0.2
			continue
		}
		word := positionMark(f.Position)
		r := held{frame: f.Frame, from: h, to: h, left: h.x - 0.2, right: h.x + h.width + 0.2, opens: e.frame != f.Frame+1}
		e.frame = f.Frame + 1
		r.word = Text{word, r.left, 0, frameSize, Start, Roman}
		if !r.opens {
			r.word.String, r.word.Style = "("+word+")", Italic
		}
		r.word = e.within(r.word)
		r.left = min(r.left, r.word.X)
		r.end = r.word.X + textWidth(r.word.String, frameSize, r.word.Style) + 0.4
		runs = append(runs, r)
	}
	for i := range runs {
		r := &runs[i]
		r.close = e.lastOf[r.frame] == [2]int{r.to.measure, r.to.note} || i+1 < len(runs)
	}
	return runs
}

// lastOfFrames gives the note that each hand frame ends on.
func lastOfFrames(hands map[[2]int]hand) map[int][2]int {
	last := map[int][2]int{}
	for at, h := range hands {
		was, ok := last[h.Frame]
		if h.Stopped() && (!ok || at[0] > was[0] || at[0] == was[0] && at[1] > was[1]) {
			last[h.Frame] = at
		}
	}
	return last
}
