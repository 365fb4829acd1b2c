package page

import (
	"image/color"
	"math"
	"reflect"
	"slices"

	"fyne.io/fyne/v2"

	"endpin/piece"
	"endpin/piece/engraving"
	"endpin/ui/mark"
)

// Written is what is shown of a page that is being written, by notes.
type Written struct {
	From, To engraving.Anchor // the notes chosen, or the one written last twice; Note -1 before the first of a measure
	Chosen   bool             // notes are chosen; else one writes behind To
}

// Rewrite shows the page as it is written now, with what is to be said of measures: what
// looks the same stays. It comes to the place that is written at.
func (v *View) Rewrite(p *piece.Piece, marks map[int][]mark.Mark, w Written) {
	pictures, before, was := v.sheet.pictures, v.page, v.marks
	v.piece, v.line, v.plan, v.marks, v.written = p, nil, nil, marks, &w
	v.lay()
	for i, x := range pictures {
		if before == nil || v.page == nil || i >= len(before.Systems) || i >= len(v.page.Systems) || !same(before, v.page, i) ||
			slices.ContainsFunc(v.page.Systems[i].Measures, func(b engraving.Box) bool { return !slices.Equal(was[b.Measure], marks[b.Measure]) }) {
			continue
		}
		v.sheet.pictures[i] = x
	}
	v.Bring(min(w.To.Measure, len(p.Measures)-1))
	v.sheet.Refresh()
}

// room is what stands free under a system for marks: little while a page is written of
// which nothing is to be said.
func (v *View) room() float64 {
	if v.written != nil && len(v.marks) == 0 {
		return 0.6
	}
	return markRoom
}

// same tells whether a system looks the same on two pages.
func same(a, b *engraving.Page, i int) bool {
	x, y := a.Systems[i], b.Systems[i]
	return x.Top == y.Top && x.Height == y.Height && reflect.DeepEqual(a.Items[x.First:x.Last], b.Items[y.First:y.Last])
}

// noteAt is the note nearest to a place in its measure.
func (s *sheet) noteAt(at fyne.Position) (measure, note int) {
	measure, note = s.measure(at), -1
	if measure < 0 {
		return measure, note
	}
	x, near := float64(at.X/s.view.space)-margin, math.Inf(1)
	i, _ := s.view.find(measure)
	for _, n := range s.view.page.Systems[i].Notes {
		if d := math.Abs(n.X - x); n.Measure == measure && d < near {
			near, note = d, n.Note
		}
	}
	return measure, note
}

// A ground reaches so far beside a note and over the staff, staff spaces.
const besideNote, overStaff = 1.0, 1.2

// box is a ground; places are in staff spaces.
func (r *sheetRenderer) box(x, y, wide, high float64, c color.NRGBA) {
	q := r.bar(x, y, wide, high)
	q.FillColor, q.CornerRadius = c, 2
}

// around is where some notes of a system stand, with the staff under them; from is beyond
// to where it has none of them.
func around(sys engraving.System, within func(engraving.Anchor) bool) (from, to, top, low float64) {
	from, to, top, low = math.Inf(1), math.Inf(-1), sys.StaffTop-overStaff, sys.StaffTop+4+overStaff
	for _, n := range sys.Notes {
		if within(n) {
			from, to, top, low = min(from, n.X-besideNote), max(to, n.X+besideNote), min(top, n.Y-overStaff), max(low, n.Y+overStaff)
		}
	}
	return from, to, top, low
}

// shadeMarked draws what the pencil marks on a ground, with the fingering over it.
func (r *sheetRenderer) shadeMarked() {
	v := r.s.view
	i, b := v.find(v.pencil[0])
	if i < 0 {
		return
	}
	sys := v.page.Systems[i]
	from, to, top, low := around(sys, func(n engraving.Anchor) bool { return n.Measure == v.pencil[0] && n.Note == v.pencil[1] })
	if from > to {
		from, to = b.X, b.X+b.Width
	}
	for _, it := range v.page.Items[sys.First:sys.Last] {
		l, t, _, _ := it.Shape.Bounds()
		if (it.Class == engraving.Fingers || it.Class == engraving.Frames) && from < l && l < to {
			top = min(top, t-0.4)
		}
	}
	r.box(from, top, to-from, low-top, v.colours.Chosen)
}

// shade draws the notes chosen on a ground, or where one writes a line.
func (r *sheetRenderer) shade() {
	v := r.s.view
	w := v.written
	if w == nil {
		return
	}
	before := func(a, b engraving.Anchor) bool {
		return a.Measure < b.Measure || a.Measure == b.Measure && a.Note < b.Note
	}
	within := func(n engraving.Anchor) bool { return !before(n, w.From) && !before(w.To, n) }
	for _, sys := range v.page.Systems {
		from, to, top, low := around(sys, within)
		switch {
		case w.Chosen && from < to:
			r.box(from, top, to-from, low-top, v.colours.Chosen)
		case !w.Chosen:
			for _, b := range sys.Measures {
				if b.Measure != w.To.Measure {
					continue
				}
				x := b.X + b.Width - 1.6
				if from < to {
					x = min(to+0.9, b.X+b.Width-0.5) // behind a dot
				}
				r.box(x, sys.StaffTop-overStaff, 0.22, 4+2*overStaff, v.colours.Cursor)
			}
		}
	}
}
