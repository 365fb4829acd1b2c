package engraving

import (
	"fmt"
	"math"
	"strings"

	"endpin/piece"
)

// Sizes of words in staff spaces; common practice, no source.
const (
	fingerScale = 1.0
	numberSize  = 1.7
	wordSize    = 2.1
	sulSize     = 1.6
	labelSize   = 2.3
	frameSize   = 1.7
	underSize   = 1.9
)

// tuplets sets the number of each tuplet on the beam's side, with a bracket
// where no beam holds its notes together.
func (e *engraver) tuplets() {
	for i := 0; i < len(e.notes); {
		h := e.notes[i]
		t := h.n.Tuplet
		if t.Actual == 0 {
			i++
			continue
		}
		// A tuplet fills Normal of some value: gather until it is full.
		j, sum := i, piece.Ticks(0)
		unit := h.n.Length
		for j < len(e.notes) && e.notes[j].n.Tuplet == t && e.notes[j].measure == h.measure {
			sum += e.notes[j].n.Length
			unit = min(unit, e.notes[j].n.Length)
			j++
			if sum >= unit*piece.Ticks(t.Actual) && sum%(unit*piece.Ticks(t.Actual)) == 0 {
				break
			}
		}
		e.tuplet(e.notes[i:j], t.Actual)
		i = j
	}
}

func (e *engraver) tuplet(g []*placed, number int) {
	up, beamed := 0, len(g) > 1
	for _, h := range g {
		up += h.dir
		beamed = beamed && !h.rest && valueLengths[valueOf(h.n)].flags > 0
	}
	side := 1.0
	if up <= 0 {
		side = -1
	}
	e.now = g[0].measure
	a, z := g[0], g[len(g)-1]
	l, r := a.x-0.1, z.x+z.width+0.1
	sky := e.down
	if side < 0 {
		sky = e.up
	}
	width := 0.0
	for _, d := range digits(number) {
		width += boxes[tuplet0+rune(d)].right
	}
	mid := (l + r) / 2
	y := sky.at(l, r) + side*0.5
	if beamed {
		mid = (a.stemX() + z.stemX()) / 2
		y = sky.at(mid-width/2, mid+width/2) + side*0.35
	}
	h := -boxes[tuplet0+3].top
	centre := y + side*h/2
	x := mid - width/2
	for _, d := range digits(number) {
		e.put(Articles, glyph(tuplet0+rune(d), x, centre+h/2))
		x += boxes[tuplet0+rune(d)].right
	}
	if beamed {
		return
	}
	t := tupletBracketThickness
	for _, s := range [][2]float64{{l, mid - width/2 - 0.3}, {mid + width/2 + 0.3, r}} {
		if s[1] > s[0] {
			e.put(Articles, Rect{s[0], centre - t/2, s[1] - s[0], t})
		}
	}
	for _, at := range []float64{l, r - t} { // the hooks point to the notes
		e.put(Articles, Rect{at, min(centre, centre-side*0.6), t, 0.6})
	}
}

// articles sets staccato dots at the heads, fermatas and bow marks over them.
func (e *engraver) articles() {
	for _, h := range e.notes {
		e.now = h.measure
		if h.n.Articulated.Staccato && !h.rest {
			if side := e.tieSide(h); side < 0 {
				y := min(h.y-1, -0.6)
				if h.y > 0.6 { // inside the staff it takes a space
					y = math.Ceil(h.y-1) - 0.5
					if y >= h.y-0.9 {
						y--
					}
				}
				e.put(Articles, glyph(articStaccatoAbove, h.middle()-boxes[articStaccatoAbove].right/2, y+boxes[articStaccatoAbove].bottom/2))
			} else {
				y := h.y + 1
				if h.y < 3.4 {
					y = math.Floor(h.y+1) + 0.5
					if y <= h.y+0.9 {
						y++
					}
				}
				e.put(Articles, glyph(articStaccatoBelow, h.middle()-boxes[articStaccatoBelow].right/2, y-boxes[articStaccatoBelow].bottom/2))
			}
		}
	}
}

// fingers sets what a teacher writes over a note, from the note outward:
// harmonic, finger, bow, string, fermata.
func (e *engraver) fingers() {
	for _, h := range e.notes {
		e.now = h.measure
		m := h.n.Marks
		centred := func(r rune, scale, gap, limit float64, c Class) {
			b := boxes[r]
			e.over(c, Glyph{r, h.middle() - scale*(b.left+b.right)/2, 0, scale}, gap, limit)
		}
		finger, str, harmonic := m.Finger, m.String, m.Harmonic
		if m.Open {
			finger = "0"
		}
		f, planned := e.hands[[2]int{h.measure, h.note}]
		if planned && !h.rest {
			if finger == "" && (e.o.Fingers == AllFingers || e.o.Fingers == HandFingers && f.arrives) {
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
			centred(fingering0+rune(finger[0]-'0'), fingerScale, 0.35, -0.7, Fingers)
		}
		switch m.Bow {
		case piece.Down:
			centred(stringsDownBow, 1, 0.4, -0.7, Articles)
		case piece.Up:
			centred(stringsUpBow, 1, 0.4, -0.7, Articles)
		}
		// Whole lines on one string are marked note by note in some files: the
		// string is named where it changes, and where a mark alone says so.
		if str > 0 && str <= len(e.o.Strings) && str != e.sul {
			e.over(Fingers, Text{"sul " + e.o.Strings[str-1], h.x, 0, sulSize, Start, Italic}, 0.35, -0.8)
		}
		if str > 0 {
			e.sul = str
		}
		if h.n.Articulated.Fermata {
			centred(fermataAbove, 1, 0.4, -0.7, Articles)
		}
	}
}

// numbers sets the printed number over every measure.
func (e *engraver) numbers(bars []*bar) {
	for i, b := range bars {
		if b.m.Implicit || b.m.Number == "" {
			continue
		}
		e.now = b.index
		x := e.sys.Measures[i].X
		t := Text{b.m.Number, x, 0, numberSize, Start, Roman}
		if i > 0 {
			t.X, t.Align = x-0.1, Middle
		}
		e.over(Numbers, t, 0.45, -0.9)
	}
}

var positionWords = map[string]string{
	"half": "½", "1": "I", "2": "II", "2-3": "II–III", "3": "III", "3-4": "III–IV", "4": "IV",
	"5": "V", "5-6": "V–VI", "6": "VI", "6-7": "VI–VII", "7": "VII", "thumb": "thumb",
}

// frames sets a bracket over the notes of one hand, with its position where it
// begins; without brackets the positions that the piece itself marks.
func (e *engraver) frames() {
	if !e.o.Frames || e.o.Plan == nil {
		for _, h := range e.notes {
			if word := positionWords[h.n.Marks.Position]; word != "" && !h.rest {
				e.now = h.measure
				e.over(Frames, Text{word, h.x, 0, frameSize, Start, Roman}, 0.4, -0.9)
			}
		}
		return
	}
	type run struct {
		frame    int
		position string
		from, to *placed
	}
	var runs []run
	for _, h := range e.notes {
		f, ok := e.hands[[2]int{h.measure, h.note}]
		if h.rest || !ok || !f.Stopped() {
			continue
		}
		if k := len(runs) - 1; k >= 0 && runs[k].frame == f.Frame {
			runs[k].to = h
			continue
		}
		runs = append(runs, run{f.Frame, f.Position, h, h})
	}
	for _, r := range runs {
		e.now = r.from.measure
		word := positionWords[r.position]
		if word == "" {
			word = r.position
		}
		goesOn := e.frame == r.frame+1
		e.frame = r.frame + 1
		t := Text{word, r.from.x - 0.2, 0, frameSize, Start, Roman}
		w := textWidth(word, frameSize, Roman) + 0.5
		l, right := r.from.x-0.2, r.to.x+r.to.width+0.2
		y := min(e.up.at(l, max(right, l+w))-1.0, -1.6)
		if goesOn {
			t.String, t.Style = "("+word+")", Italic
			w = textWidth(t.String, frameSize, Italic) + 0.5
		}
		e.put(Frames, t.move(0, y+0.55))
		const line = 0.14
		if right-l > w+0.5 {
			e.put(Frames, Rect{l + w, y - line/2, right - l - w, line})
			e.put(Frames, Rect{right - line, y - line/2, line, 0.8})
		}
	}
}

// words sets what stands over whole measures: pizz. and arco, tempo, section
// labels, signs, endings, jumps.
func (e *engraver) words(bars []*bar, first bool) {
	for _, h := range e.notes {
		if h.rest {
			continue
		}
		e.now = h.measure
		if pizz := h.n.Articulated.Pizz; pizz != e.pizz {
			word := "arco"
			if pizz {
				word = "pizz."
			}
			e.over(Articles, Text{word, h.x, 0, wordSize, Start, Italic}, 0.5, -1)
			e.pizz = pizz
		}
	}
	for i, b := range bars {
		e.now = b.index
		box := e.sys.Measures[i]
		e.volta(bars, i)
		m := b.m
		if m.Segno {
			e.over(Articles, glyph(segno, box.X+0.4, 0), 0.6, -1)
		}
		if m.Coda {
			e.over(Articles, glyph(coda, box.X+0.4, 0), 0.6, -1)
		}
		word := jumpWords(m)
		if word != "" {
			e.over(Articles, Text{word, box.X + box.Width, 0, wordSize, End, Italic}, 0.5, -1)
		}
		for _, t := range m.Tempos {
			e.tempo(t, e.placeOf(b, box, t.At))
		}
		label := e.o.Labels[b.index]
		if label == "" {
			label = m.Rehearsal
		}
		if label != "" {
			e.label(label, box.X)
		}
	}
}

// jumpWords says where to go at a measure's end.
func jumpWords(m *piece.Measure) string {
	var words []string
	if m.Fine {
		words = append(words, "Fine")
	}
	if m.ToCoda {
		words = append(words, "To Coda")
	}
	switch m.Jump {
	case piece.DaCapo:
		words = append(words, "D.C.")
	case piece.DalSegno:
		words = append(words, "D.S.")
	}
	return strings.Join(words, ", ")
}

// placeOf is where a time inside a measure stands.
func (e *engraver) placeOf(b *bar, box Box, at piece.Ticks) float64 {
	if at == 0 {
		return box.X
	}
	for _, h := range e.notes {
		if h.measure == b.index && h.n.Start >= at {
			return h.x
		}
	}
	return box.X
}

// tempo sets a metronome mark; in compound time it counts dotted quarters.
func (e *engraver) tempo(t piece.Tempo, x float64) {
	qpm, dot := t.QPM, false
	if m := &e.p.Measures[e.now]; m.Time.Unit == 8 && m.Time.Beats%3 == 0 && m.Time.Beats > 3 {
		qpm, dot = qpm/1.5, true
	}
	note := Glyph{metNoteQuarterUp, x, 0, 0.7}
	_, _, r, _ := note.Bounds()
	tail := r + 0.4
	if dot {
		tail += 0.5
	}
	words := Text{fmt.Sprintf("= %s", number(qpm)), tail, 0, wordSize, Start, Roman}
	_, _, end, _ := words.Bounds()
	y := min(e.up.at(x-0.3, end+0.3)-0.8, -1.4)
	e.put(Articles, note.move(0, y))
	if dot {
		e.put(Articles, Glyph{metAugmentationDot, r + 0.25, y, 0.7})
	}
	e.put(Articles, words.move(0, y))
}

func number(x float64) string {
	s := fmt.Sprintf("%.1f", x)
	return strings.TrimSuffix(s, ".0")
}

// label sets a section's name in a frame.
func (e *engraver) label(s string, x float64) {
	w := textWidth(s, labelSize, Bold)
	const pad, t = 0.45, textEnclosureThickness
	height := 0.72*labelSize + 2*pad
	bottom := min(e.up.at(x, x+w+2*pad)-0.7, -1.2)
	e.put(Sections, Text{s, x + pad, bottom - pad, labelSize, Start, Bold})
	for _, q := range []Rect{
		{x, bottom - height, w + 2*pad, t}, {x, bottom - t, w + 2*pad, t},
		{x, bottom - height, t, height}, {x + w + 2*pad - t, bottom - height, t, height},
	} {
		e.put(Sections, q)
	}
}

// volta sets the bracket of an ending at its first measure on this system.
func (e *engraver) volta(bars []*bar, i int) {
	ends := bars[i].m.Endings
	same := func(j int) bool { return fmt.Sprint(bars[j].m.Endings) == fmt.Sprint(ends) }
	if len(ends) == 0 || i > 0 && same(i-1) && bars[i-1].m.RepeatTimes == 0 {
		return
	}
	j := i
	for j+1 < len(bars) && same(j+1) && bars[j].m.RepeatTimes == 0 {
		j++
	}
	l, r := e.sys.Measures[i].X+0.2, e.sys.Measures[j].X+e.sys.Measures[j].Width-0.2
	var nums []string
	for _, n := range ends {
		nums = append(nums, fmt.Sprintf("%d.", n))
	}
	const t, hook = repeatEndingLineThickness, 2.0
	top := min(e.up.at(l, r)-hook-0.4, -3.4)
	from := bars[i].index
	goesOn := from > 0 && fmt.Sprint(e.p.Measures[from-1].Endings) == fmt.Sprint(ends) && e.p.Measures[from-1].RepeatTimes == 0
	if !goesOn {
		e.draw(Articles, Rect{l, top, t, hook})
	}
	e.put(Articles, Text{strings.Join(nums, " "), l + 0.5, top + 1.7, 1.7, Start, Roman})
	e.put(Articles, Rect{l, top, r - l, t})
	if bars[j].m.RepeatTimes > 0 {
		e.draw(Articles, Rect{r - t, top, t, hook})
	}
}

// remarks sets the lines under the measures, all from one height.
func (e *engraver) remarks(bars []*bar) {
	y := 4.0
	for _, b := range bars {
		if len(e.o.Under[b.index]) > 0 {
			for _, d := range e.down.y {
				y = max(y, d)
			}
		}
	}
	for i, b := range bars {
		e.now = b.index
		x := e.sys.Measures[i].X + 0.5
		for k, r := range e.o.Under[b.index] {
			base := y + 2.3 + 2.5*float64(k)
			at := x
			if s := sign(r.Shape); s != nil {
				e.put(Under, s.move(x+0.75, base-0.6))
				at += 1.9
			}
			e.put(Under, Text{r.Text, at, base, underSize, Start, Roman})
		}
	}
}

// sign draws a remark's shape about its middle, 1.4 staff spaces large.
func sign(name string) Shape {
	turn := func(p Polygon, f func(Point) Point) Polygon {
		q := make(Polygon, len(p))
		for i := range p {
			q[i] = f(p[i])
		}
		return q
	}
	arrow := Polygon{{0, -0.75}, {0.6, 0}, {0.18, 0}, {0.18, 0.75}, {-0.18, 0.75}, {-0.18, 0}, {-0.6, 0}}
	switch name {
	case "up":
		return arrow
	case "down":
		return turn(arrow, func(p Point) Point { return Point{p.X, -p.Y} })
	case "right":
		return turn(arrow, func(p Point) Point { return Point{-p.Y, p.X} })
	case "left":
		return turn(arrow, func(p Point) Point { return Point{p.Y, p.X} })
	case "":
		return nil
	}
	if name == "plus" {
		return Polygon{{-0.15, -0.65}, {0.15, -0.65}, {0.15, -0.15}, {0.65, -0.15}, {0.65, 0.15}, {0.15, 0.15}, {0.15, 0.65}, {-0.15, 0.65}, {-0.15, 0.15}, {-0.65, 0.15}, {-0.65, -0.15}, {-0.15, -0.15}}
	}
	return Polygon{{0, -0.7}, {0.55, 0}, {0, 0.7}, {-0.55, 0}}
}
