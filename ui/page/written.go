package page

import (
	"image/color"
	"math"
	"reflect"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

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

// shade draws the notes chosen on a ground, or where one writes a line.
func (r *sheetRenderer) shade() {
	v := r.s.view
	w := v.written
	if w == nil {
		return
	}
	const beside, over = 1.0, 1.2
	box := func(x, y, wide, high float64, c color.NRGBA) {
		q := canvas.NewRectangle(c)
		q.CornerRadius = 2
		q.Move(fyne.NewPos(v.units(x+margin), v.units(y)))
		q.Resize(fyne.NewSize(max(2, v.units(wide)), v.units(high)))
		r.objects = append(r.objects, q)
	}
	within := func(n engraving.Anchor) bool {
		before := func(a, b engraving.Anchor) bool {
			return a.Measure < b.Measure || a.Measure == b.Measure && a.Note < b.Note
		}
		return !before(n, w.From) && !before(w.To, n)
	}
	for _, sys := range v.page.Systems {
		from, to := math.Inf(1), math.Inf(-1)
		for _, n := range sys.Notes {
			if within(n) {
				from, to = min(from, n.X-beside), max(to, n.X+beside)
			}
		}
		switch {
		case w.Chosen && from < to:
			top, low := sys.StaffTop-over, sys.StaffTop+4+over
			for _, n := range sys.Notes {
				if within(n) {
					top, low = min(top, n.Y-over), max(low, n.Y+over)
				}
			}
			box(from, top, to-from, low-top, v.colours.Chosen)
		case !w.Chosen:
			for _, b := range sys.Measures {
				if b.Measure != w.To.Measure {
					continue
				}
				x := b.X + b.Width - 1.6
				if from < to {
					x = min(to+0.9, b.X+b.Width-0.5) // behind a dot
				}
				box(x, sys.StaffTop-over, 0.22, 4+2*over, v.colours.Cursor)
			}
		}
	}
}
