package weeks

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/report/progress"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// shiftView is one shift: at the left its place, its verdict and the sentence
// with the numbers, at the right the strip of its landings.
type shiftView struct {
	widget.BaseWidget
	rule  *canvas.Rectangle
	told  []*prose.Para
	shape *canvas.Raster
	word  *canvas.Text
	strip *strip
}

const (
	toldWidth  = 300 // of the words
	stripTall  = 176
	shiftEdge  = 12
	shapeSize  = 15
	afterWhere = 2 // paragraphs before the verdict
)

func newShiftView(row progress.ShiftRow, c ink.Colours) *shiftView {
	v := &shiftView{rule: canvas.NewRectangle(ink.Mixed(c.Paper, c.Soft, 0.45)), shape: verdictShape(row.Shape, c), strip: newStrip(row, c)}
	v.told = []*prose.Para{prose.NewPara(row.Where, 17, true, c.Ink), prose.NewPara(row.How, 14, false, c.Soft), prose.NewPara(row.Text, 16, false, c.Ink), prose.NewPara(row.Facts, 13, false, c.Soft)}
	v.word = canvas.NewText(row.Verdict.Word().String(), c.Ink)
	v.word.TextSize, v.word.TextStyle.Bold = 21, true
	v.ExtendBaseWidget(v)
	return v
}

// HeightFor implements fit.Folding.
func (v *shiftView) HeightFor(float32) float32 {
	h := float32(0)
	for _, p := range v.told {
		h += p.HeightFor(toldWidth)
	}
	return max(stripTall, h+v.word.MinSize().Height+8) + 2*shiftEdge
}

// CreateRenderer implements fyne.Widget.
func (v *shiftView) CreateRenderer() fyne.WidgetRenderer { return &shiftRenderer{v} }

type shiftRenderer struct{ v *shiftView }

func (r *shiftRenderer) Layout(size fyne.Size) {
	v := r.v
	v.rule.Resize(fyne.NewSize(size.Width, 1))
	y := float32(shiftEdge)
	for i, p := range v.told {
		if i == afterWhere {
			m := v.word.MinSize()
			v.shape.Resize(fyne.NewSize(shapeSize, shapeSize))
			v.shape.Move(fyne.NewPos(0, y+4+(m.Height-shapeSize)/2)) // on the letters' middle
			v.word.Move(fyne.NewPos(shapeSize+8, y+2))
			v.word.Resize(m)
			y += m.Height + 4
		}
		h := p.HeightFor(toldWidth)
		p.Move(fyne.NewPos(0, y))
		p.Resize(fyne.NewSize(toldWidth, h))
		y += h
	}
	v.strip.Move(fyne.NewPos(toldWidth+12, shiftEdge))
	v.strip.Resize(fyne.NewSize(size.Width-toldWidth-12, stripTall))
}

func (r *shiftRenderer) MinSize() fyne.Size { return fyne.NewSize(toldWidth+300, r.v.HeightFor(0)) }
func (r *shiftRenderer) Refresh()           { r.Layout(r.v.Size()); canvas.Refresh(r.v) }
func (r *shiftRenderer) Destroy()           {}
func (r *shiftRenderer) Objects() []fyne.CanvasObject {
	all := []fyne.CanvasObject{r.v.rule, r.v.shape, r.v.word, r.v.strip}
	for _, p := range r.v.told {
		all = append(all, p)
	}
	return all
}
