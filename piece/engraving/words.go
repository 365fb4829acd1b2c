package engraving

import (
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// plucked sets pizz. and arco where the playing changes, near the notes.
func (e *engraver) plucked() {
	for _, h := range e.notes {
		if h.rest || h.n.Articulated.Pizz == e.pizz {
			continue
		}
		e.pizz = h.n.Articulated.Pizz
		word := words.Say("engraving.arco")
		if e.pizz {
			word = words.Say("engraving.pizz")
		}
		e.now = h.measure
		e.over(Articles, e.within(Text{word, h.x, 0, wordSize, Start, Italic}), 0.4, -1)
	}
}

// dynamics sets how loud under the staff.
func (e *engraver) dynamics() {
	const ascent, gap, least = 1.3, 0.5, 6.2
	for _, h := range e.notes {
		if h.rest || h.n.Dynamics == "" {
			continue
		}
		e.now = h.measure
		x := h.x - 0.3
		for _, said := range piece.DynamicsOf(h.n.Dynamics) {
			style := Italic
			if piece.IsLoudness(said) {
				style = Bold
			}
			text := e.within(Text{said, x, 0, wordSize, Start, style})
			l, _, r, _ := text.Bounds()
			e.put(Articles, text.move(0, max(least, e.down.at(l-0.15, r+0.15)+gap+ascent)))
			x = r + 0.6
		}
	}
}

// words sets what stands over whole measures: endings, signs, jumps, tempo,
// section labels.
func (e *engraver) words(bars []*bar) {
	e.voltas(bars)
	for i, b := range bars {
		e.now = b.index
		box, m := e.sys.Measures[i], b.m
		at := box.X
		if i == 0 { // over the music, not over the clef
			at = e.begins[i]
		}
		if m.Segno {
			e.over(Articles, glyph(segno, at, 0), 0.5, -1)
		}
		if m.Coda {
			e.over(Articles, Glyph{coda, at, 0, 0.8}, 0.5, -1)
		}
		if word := e.jumpWords(m); word != "" {
			e.over(Articles, Text{word, box.X + box.Width, 0, wordSize, End, Italic}, 0.4, -1)
		}
		for _, t := range m.Tempos {
			e.tempo(t, e.placeOf(i, b, t.At))
		}
		for _, t := range slices.Backward(m.Texts) { // the last one nearest to the notes
			e.text(t.Says, e.placeOf(i, b, t.At))
		}
		label := e.o.Labels[b.index]
		if label == "" {
			label = m.Rehearsal
		}
		if label != "" {
			e.label(label, at)
		}
	}
}

// jumpWords says where to go at a measure's end, and how far.
func (e *engraver) jumpWords(m *piece.Measure) string {
	var said []words.Sentence
	if m.Fine {
		said = append(said, words.Of("engraving.fine"))
	}
	if m.ToCoda {
		said = append(said, words.Of("engraving.to-coda"))
	}
	if m.Jump != piece.NoJump {
		jump := words.Of("engraving.da-capo")
		if m.Jump == piece.DalSegno {
			jump = words.Of("engraving.dal-segno")
		}
		switch {
		case e.toCoda:
			jump.Key += ".coda"
		case e.fine:
			jump.Key += ".fine"
		}
		said = append(said, jump)
	}
	return words.Row(said...).String()
}

// placeOf is where a time inside a measure stands.
func (e *engraver) placeOf(i int, b *bar, at piece.Ticks) float64 {
	if at > 0 {
		for _, h := range e.notes {
			if h.measure == b.index && h.n.Start >= at {
				return h.x
			}
		}
	}
	return e.begins[i]
}

// text sets a line of words, from a place on; what is longer than the system in several.
func (e *engraver) text(says string, x float64) {
	var lines []string
	for _, word := range strings.Fields(says) {
		if n := len(lines); n > 0 && textWidth(lines[n-1]+" "+word, wordSize, Italic) <= e.width {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	wide := 0.0
	for _, line := range lines {
		wide = max(wide, textWidth(line, wordSize, Italic))
	}
	x = max(0, min(x, e.width-wide))
	y := min(e.up.at(x-0.15, x+wide+0.15)-0.4, -1)
	for i, line := range lines {
		e.put(Articles, Text{line, x, y - (float64(len(lines)-1-i)*1.1+0.22)*wordSize, wordSize, Start, Italic})
	}
}

// tempo sets a metronome mark; in compound time it counts dotted quarters.
func (e *engraver) tempo(t piece.Tempo, x float64) {
	qpm, dot := t.QPM, false
	if m := &e.p.Measures[e.now]; m.Time.Unit == 8 && m.Time.Beats%3 == 0 && m.Time.Beats > 3 {
		qpm, dot = qpm/1.5, true
	}
	const scale = 0.65
	tail := boxes[metNoteQuarterUp].right*scale + 0.4
	if dot {
		tail += 0.5
	}
	mark := Text{words.Say("engraving.tempo", "qpm", words.Short(qpm)), 0, 0, wordSize, Start, Roman}
	w := tail + textWidth(mark.String, mark.Size, mark.Style)
	x = max(0, min(x, e.width-w))
	mark.X = x + tail
	y := min(e.up.at(x-0.3, x+w+0.3)-0.8, -1.4)
	e.put(Articles, Glyph{metNoteQuarterUp, x, y, scale})
	if dot {
		e.put(Articles, Glyph{metAugmentationDot, mark.X - 0.65, y, scale})
	}
	e.put(Articles, mark.move(0, y))
}

// label sets a section's name in a frame.
func (e *engraver) label(s string, x float64) {
	const pad, t = 0.45, textEnclosureThickness
	w := textWidth(s, labelSize, Bold) + 2*pad
	x = max(0, min(x, e.width-w))
	height := 0.72*labelSize + 2*pad + 0.12
	bottom := min(e.up.at(x-0.15, x+w+0.15)-0.6, -1.2)
	e.put(Sections, Text{s, x + pad, bottom - pad - 0.12, labelSize, Start, Bold})
	for _, q := range []Rect{
		{x, bottom - height, w, t}, {x, bottom - t, w, t},
		{x, bottom - height, t, height}, {x + w - t, bottom - height, t, height},
	} {
		e.put(Sections, q)
	}
}

// voltas sets the brackets of endings, all of a system at one height. One that
// runs on from the system before has no hook at its left; one that no repeat
// sign ends stays open at its right.
func (e *engraver) voltas(bars []*bar) {
	type volta struct {
		from         int
		words        Text
		l, r         float64
		opens, close bool
	}
	const t, hook, text = repeatEndingLineThickness, 1.8, 1.5
	goesOn := func(m, next *piece.Measure) bool {
		return m.RepeatTimes == 0 && slices.Equal(m.Endings, next.Endings)
	}
	var all []volta
	top := -3.0
	for i := 0; i < len(bars); i++ {
		if len(bars[i].m.Endings) == 0 {
			continue
		}
		j := i
		for j+1 < len(bars) && goesOn(bars[j].m, bars[j+1].m) {
			j++
		}
		var nums []words.Sentence
		for _, n := range bars[i].m.Endings {
			nums = append(nums, words.Of("engraving.ending", "n", n))
		}
		from, to := e.sys.Measures[i], e.sys.Measures[j]
		v := volta{from: bars[i].index, l: from.X + 0.2, r: to.X + to.Width - 0.2, close: bars[j].m.RepeatTimes > 0}
		if i == 0 { // not over the clef
			v.l = max(v.l, e.begins[0]-leadIn)
		}
		v.opens = bars[i].before == nil || !goesOn(bars[i].before, bars[i].m)
		v.words = Text{words.Sentences(nums...).String(), v.l + 0.5, 0, text, Start, Roman}
		_, _, end, _ := v.words.Bounds()
		top = min(top, e.up.at(v.l, v.r)-0.6, e.up.at(v.l-0.2, end+0.2)-hook-0.2)
		if v.close {
			top = min(top, e.up.at(v.r-0.5, v.r)-hook-0.2)
		}
		all = append(all, v)
		i = j
	}
	for _, v := range all {
		e.now = v.from
		if v.opens {
			e.put(Articles, Rect{v.l, top, t, hook})
		}
		e.put(Articles, v.words.move(0, top+1.45))
		e.put(Articles, Rect{v.l, top, v.r - v.l, t})
		if v.close {
			e.put(Articles, Rect{v.r - t, top, t, hook})
		}
	}
}
