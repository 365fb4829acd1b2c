package page

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
)

// What can be pressed is seen before anybody knows it: what was heard in a measure stands on
// the ground that buttons have, and the measure under the mouse has it too.

var _ desktop.Hoverable = (*sheet)(nil)

// MouseIn implements desktop.Hoverable.
func (s *sheet) MouseIn(e *desktop.MouseEvent) { s.MouseMoved(e) }

// MouseMoved implements desktop.Hoverable.
func (s *sheet) MouseMoved(e *desktop.MouseEvent) {
	if s.view.written == nil {
		s.hover(s.measure(e.Position))
	}
}

// MouseOut implements desktop.Hoverable.
func (s *sheet) MouseOut() { s.hover(-1) }

func (s *sheet) hover(measure int) {
	if s.hovered != measure {
		s.hovered = measure
		s.Refresh()
	}
}

// grounds draws what lies under all that can be pressed, in the systems in sight.
func (r *sheetRenderer) grounds(top, end float32) {
	s, v := r.s, r.s.view
	if v.written != nil { // where each note is chosen by itself
		return
	}
	for _, sys := range v.page.Systems {
		if v.units(sys.Top) > end || v.units(sys.Top+sys.Height) < top {
			continue
		}
		marks := sys.Top + sys.Height - v.room()
		for _, b := range sys.Measures {
			from, to := marks, marks+0.3+markLine*float64(lines(v.marks[b.Measure], b.Width))
			if len(v.marks[b.Measure]) == 0 || b.Measure == v.roundsAt {
				to = from
			}
			if b.Measure == s.hovered {
				from, to = sys.StaffTop-1, max(to, sys.StaffTop+5)
			}
			if to <= from {
				continue
			}
			g := canvas.NewRectangle(v.colours.Raised)
			g.CornerRadius = 4
			g.Move(fyne.NewPos(v.units(b.X+margin+0.15), v.units(from)))
			g.Resize(fyne.NewSize(v.units(b.Width-0.3), v.units(to-from)))
			r.objects = append(r.objects, g)
		}
	}
}
