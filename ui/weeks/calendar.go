package weeks

import (
	"image"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/report/progress"
	"endpin/piece/words"
	"endpin/ui/ink"
)

// grid is rows of cells with words in them, painted as one picture: the calendar
// of takes, and the measures by week.
type grid struct {
	widget.BaseWidget
	colours ink.Colours
	heads   []string
	rows    []gridRow
	label   float32 // width of the row's name
	cell    float32 // widest a cell may be
	high    float32
	size    float32 // of the type
	picture *canvas.Raster
	texts   []*canvas.Text
}

type gridRow struct {
	name  string
	above string // stands over the row, as a piece's title; "" for nothing
	cells []gridCell
}

type gridCell struct {
	in    bool // has an edge
	shade int  // 0 to 4
	text  string
	small string // in the corner
	dots  int    // in the place of a text
}

// above is the room of the words over a row.
const aboveRow = 30

func newGrid(c ink.Colours, heads []string, rows []gridRow, label, cell, high, size float32) *grid {
	g := &grid{colours: c, heads: heads, rows: rows, label: label, cell: cell, high: high, size: size}
	g.picture = canvas.NewRaster(g.draw)
	g.ExtendBaseWidget(g)
	return g
}

func (g *grid) headHeight() float32 { return g.size * 1.6 }

// HeightFor implements fit.Folding.
func (g *grid) HeightFor(float32) float32 {
	h := g.headHeight() + float32(len(g.rows))*g.high + 2
	for _, r := range g.rows {
		if r.above != "" {
			h += aboveRow
		}
	}
	return h
}

// across is the width of a cell.
func (g *grid) across() float32 {
	return min(g.cell, (g.Size().Width-g.label-2)/float32(max(1, len(g.heads))))
}

// each hands over every row with its top.
func (g *grid) each(do func(r *gridRow, top float32)) {
	y := g.headHeight()
	for i := range g.rows {
		if g.rows[i].above != "" {
			y += aboveRow
		}
		do(&g.rows[i], y)
		y += g.high
	}
}

// shaded is the paper under a cell.
func (g *grid) shaded(shade int) (share float64) {
	return []float64{0, 0.1, 0.22, 0.36, 1}[max(0, min(4, shade))]
}

func (g *grid) draw(w, h int) image.Image {
	c := g.colours
	k := ink.OfPixels(w, h, g.Size().Width)
	wide := g.across()
	g.each(func(r *gridRow, top float32) {
		for i, cell := range r.cells {
			x, y := g.label+float32(i)*wide, top
			if cell.in {
				k.Block(x, y, x+wide, y+g.high, ink.Mixed(c.Paper, c.Ink, g.shaded(cell.shade)))
				k.Edge(x, y, x+wide+1, y+g.high+1, 1, ink.Mixed(c.Paper, c.Soft, 0.5))
			}
			for d := range cell.dots {
				k.Disc(x+wide/2+(float32(d)-float32(cell.dots-1)/2)*8, y+g.high*0.66, 2.8, c.Ink)
			}
		}
	})
	return k.Image()
}

// CreateRenderer implements fyne.Widget.
func (g *grid) CreateRenderer() fyne.WidgetRenderer { return &gridRenderer{g} }

type gridRenderer struct{ g *grid }

func (r *gridRenderer) Layout(size fyne.Size) {
	g := r.g
	g.picture.Resize(size)
	g.texts = nil
	wide := g.across()
	put := func(text string, size float32, bold bool, x, y, room float32) *canvas.Text {
		t := canvas.NewText(text, g.colours.Soft)
		t.TextSize, t.TextStyle.Bold = size, bold
		m := t.MinSize()
		if room > 0 && m.Width > room+2 {
			return nil // it has no room: the shade tells it
		}
		t.Move(fyne.NewPos(x-m.Width/2, y-m.Height/2))
		t.Resize(m)
		g.texts = append(g.texts, t)
		return t
	}
	free := float32(0) // where the next head may begin
	for k, head := range g.heads {
		x := g.label + (float32(k)+0.5)*wide
		w := fyne.MeasureText(head, g.size, fyne.TextStyle{}).Width
		if x-w/2 >= free {
			put(head, g.size, false, x, g.headHeight()/2, 0)
			free = x + w/2 + 6
		}
	}
	named := float32(-100)
	g.each(func(row *gridRow, top float32) {
		middle := top + g.high/2
		if row.above != "" {
			if t := put(row.above, g.size+2, true, 0, top-g.size, 0); t != nil {
				t.Move(fyne.NewPos(0, t.Position().Y))
				t.Color = g.colours.Ink
			}
		}
		if row.name != "" && middle-named >= g.size*1.25 { // rows too low for every name
			named = middle
			if t := put(row.name, g.size, false, 0, middle, 0); t != nil {
				t.Move(fyne.NewPos(0, t.Position().Y))
			}
		}
		for k, cell := range row.cells {
			x := g.label + (float32(k)+0.5)*wide
			if cell.small != "" && g.high >= 34 {
				if t := put(cell.small, g.size-2, false, x, top+g.size*0.75, wide); t != nil {
					t.Move(fyne.NewPos(g.label+float32(k)*wide+5, t.Position().Y))
				}
			}
			if cell.text == "" {
				continue
			}
			y := middle
			if cell.small != "" && g.high >= 34 {
				y = top + g.high*0.66
			}
			if t := put(cell.text, g.size, true, x, y, wide); t != nil {
				t.Color = g.colours.Ink
				if cell.shade == 4 {
					t.Color = g.colours.Paper
				}
			}
		}
	})
}

func (r *gridRenderer) MinSize() fyne.Size { return fyne.NewSize(200, r.g.HeightFor(0)) }
func (r *gridRenderer) Refresh()           { r.Layout(r.g.Size()); r.g.picture.Refresh() }
func (r *gridRenderer) Destroy()           {}
func (r *gridRenderer) Objects() []fyne.CanvasObject {
	all := []fyne.CanvasObject{r.g.picture}
	for _, t := range r.g.texts {
		all = append(all, t)
	}
	return all
}

// calendarOf shows the takes of each day; a long time in low rows.
func calendarOf(weeks []progress.CalendarWeek, c ink.Colours) *grid {
	var rows []gridRow
	for _, w := range weeks {
		r := gridRow{name: w.Name}
		for _, d := range w.Days {
			cell := gridCell{in: d.In}
			if d.In {
				cell.small = d.Number
				if d.Takes <= 4 {
					cell.dots = d.Takes
				} else {
					cell.text = d.Dots()
				}
			}
			r.cells = append(r.cells, cell)
		}
		rows = append(rows, r)
	}
	high := float32(44)
	if len(weeks) > 8 {
		high = 22
	}
	var heads []string
	for i := range 7 {
		heads = append(heads, words.BriefWeekday((time.Monday+time.Weekday(i))%7).String())
	}
	return newGrid(c, heads, rows, 62, 60, high, 14)
}

// weeksOf shows in how many of its playings something stood out in a measure.
func weeksOf(heads []string, measures []progress.WeekRow, c ink.Colours) *grid {
	var rows []gridRow
	for _, m := range measures {
		r := gridRow{name: m.Measure, above: m.Piece}
		for _, cell := range m.Cells {
			r.cells = append(r.cells, gridCell{in: cell.Text != "", shade: cell.Shade, text: cell.Text})
		}
		rows = append(rows, r)
	}
	return newGrid(c, heads, rows, 62, 90, 24, 14)
}
