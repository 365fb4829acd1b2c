package weeks

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/report/progress"
	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// classOf is for a teacher: who moved, who is stuck, and on what, by name. A name
// is a button to that player's weeks.
func classOf(p *progress.TeachersPage, c ink.Colours, choose func(string)) []fyne.CanvasObject {
	all := []fyne.CanvasObject{fit.Space(6), prose.NewPara(p.Span, 16, false, c.Soft), fit.Space(4)}
	for _, line := range p.Story {
		all = append(all, prose.NewPara(line, 24, true, c.Ink))
	}
	heads := &pupilRow{colours: c}
	for _, h := range []string{"window.diary.player", "window.diary.nearer", "window.diary.still", "window.diary.off"} {
		heads.cells = append(heads.cells, []*prose.Para{prose.NewPara(words.Say(h), ink.Foot, false, c.Soft)})
	}
	heads.ExtendBaseWidget(heads)
	all = append(all, fit.Space(18), heads)
	for _, r := range p.Players {
		row := &pupilRow{colours: c, name: prose.NewButton(r.Name, func() { choose(r.Name) })}
		row.name.Alignment, row.name.Importance = widget.ButtonAlignLeading, widget.LowImportance
		row.cells = [][]*prose.Para{{prose.NewPara(r.Takes, 14, false, c.Soft)}}
		for _, lines := range [][]string{r.Moved, r.Stuck, r.Off} {
			if len(lines) == 0 {
				lines = []string{"–"}
			}
			var cell []*prose.Para
			for _, l := range lines {
				cell = append(cell, prose.NewPara(l, 16, false, c.Ink))
			}
			row.cells = append(row.cells, cell)
		}
		row.ExtendBaseWidget(row)
		all = append(all, row)
	}
	return append(all, fit.Space(14), prose.NewPara(words.Say("window.diary.no-rank"), 14, false, c.Soft), fit.Space(16))
}

// pupilRow is one row of the table.
type pupilRow struct {
	widget.BaseWidget
	colours ink.Colours
	name    *prose.Button // nil in the head
	cells   [][]*prose.Para
	rule    *canvas.Rectangle
}

// columnsOf are where the columns begin, and at the end the width.
func (r *pupilRow) columnsOf(width float32) []float32 {
	rest := (width - 220) / 3
	return []float32{0, 220, 220 + rest, 220 + 2*rest, width}
}

const (
	pupilEdge = 9
	nameEdge  = 10 // what a button has before its letters
)

// above is the height of the button.
func (r *pupilRow) above() float32 {
	if r.name == nil {
		return 0
	}
	return r.name.MinSize().Height
}

// HeightFor implements fit.Folding.
func (r *pupilRow) HeightFor(width float32) float32 {
	at, high := r.columnsOf(width), float32(0)
	for k, cell := range r.cells {
		h := float32(0)
		if k == 0 {
			h = r.above()
		}
		for _, p := range cell {
			h += p.HeightFor(at[k+1]-at[k]-18) + 3
		}
		high = max(high, h)
	}
	return high + 2*pupilEdge
}

// CreateRenderer implements fyne.Widget.
func (r *pupilRow) CreateRenderer() fyne.WidgetRenderer {
	r.rule = canvas.NewRectangle(ink.Mixed(r.colours.Paper, r.colours.Soft, 0.45))
	return &pupilRenderer{r}
}

type pupilRenderer struct{ r *pupilRow }

func (p *pupilRenderer) Layout(size fyne.Size) {
	r := p.r
	r.rule.Move(fyne.NewPos(0, size.Height-1))
	r.rule.Resize(fyne.NewSize(size.Width, 1))
	at := r.columnsOf(size.Width)
	for k, cell := range r.cells {
		x, y := at[k], float32(pupilEdge)
		if k == 0 && r.name != nil {
			m := r.name.MinSize()
			r.name.Move(fyne.NewPos(-nameEdge, 0))
			r.name.Resize(fyne.NewSize(at[1]-18+nameEdge, m.Height))
			y = m.Height
		}
		for _, q := range cell {
			w := at[k+1] - at[k] - 18
			h := q.HeightFor(w)
			q.Move(fyne.NewPos(x, y))
			q.Resize(fyne.NewSize(w, h))
			y += h + 3
		}
	}
}

func (p *pupilRenderer) MinSize() fyne.Size { return fyne.NewSize(600, p.r.HeightFor(600)) }
func (p *pupilRenderer) Refresh()           { p.Layout(p.r.Size()); canvas.Refresh(p.r) }
func (p *pupilRenderer) Destroy()           {}
func (p *pupilRenderer) Objects() []fyne.CanvasObject {
	all := []fyne.CanvasObject{p.r.rule}
	if p.r.name != nil {
		all = append(all, p.r.name)
	}
	for _, cell := range p.r.cells {
		for _, q := range cell {
			all = append(all, q)
		}
	}
	return all
}
