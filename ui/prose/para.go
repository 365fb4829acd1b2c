package prose

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
)

// Para is running text that breaks where its width asks.
type Para struct {
	widget.BaseWidget
	text   string
	size   float32
	bold   bool
	colour color.Color
	lines  []*canvas.Text
	width  float32
}

// NewPara is running text in a size and a colour.
func NewPara(text string, size float32, bold bool, colour color.Color) *Para {
	p := &Para{text: text, size: size, bold: bold, colour: colour}
	p.ExtendBaseWidget(p)
	return p
}

// leading is how far apart the lines are, in sizes of the type.
const leading = 1.36

// Say says something else, in another weight or colour; it reports whether it does.
func (p *Para) Say(text string, bold bool, colour color.Color) bool {
	if p.text == text && p.bold == bold && p.colour == colour {
		return false
	}
	p.text, p.bold, p.colour = text, bold, colour
	width := p.width
	p.width = -1
	p.set(width)
	p.Refresh()
	return true
}

// HeightFor is its height at a width.
func (p *Para) HeightFor(width float32) float32 {
	p.set(width)
	return float32(len(p.lines)) * p.size * leading
}

// HeightIn is its height at a width in another size of type.
func (p *Para) HeightIn(width, size float32) float32 {
	if size != p.size {
		p.size, p.width = size, -1
	}
	return p.HeightFor(width)
}

// OneLine reports whether it takes no more than a line at a width.
func (p *Para) OneLine(width float32) bool {
	return fyne.MeasureText(p.text, p.size, fyne.TextStyle{Bold: p.bold}).Width <= width
}

// set breaks the text into lines.
func (p *Para) set(width float32) {
	if width == p.width {
		return
	}
	p.width, p.lines = width, nil
	for _, line := range Lines(p.text, p.size, p.bold, width) {
		t := canvas.NewText(line, p.colour)
		t.TextSize, t.TextStyle.Bold = p.size, p.bold
		p.lines = append(p.lines, t)
	}
	p.place()
}

// place sets the lines one under the other, also those broken anew between two layouts.
func (p *Para) place() {
	for i, t := range p.lines {
		t.Move(fyne.NewPos(0, (float32(i)+(leading-1.2)/2)*p.size*leading))
		t.Resize(t.MinSize())
	}
}

// Lines breaks a text into lines of a width, at its spaces where it can.
func Lines(text string, size float32, bold bool, width float32) (lines []string) {
	fits := func(s string) bool { return fyne.MeasureText(s, size, fyne.TextStyle{Bold: bold}).Width <= width }
	line := ""
	put := func() { lines, line = append(lines, line), "" }
	for _, word := range words.Apart(text) {
		switch {
		case line == "":
			line = word
		case fits(line + " " + word):
			line += " " + word
		default:
			put()
			line = word
		}
		for !fits(line) && len([]rune(line)) > 1 { // one word wider than the column
			r := []rune(line)
			cut := len(r) - 1
			for cut > 1 && !fits(string(r[:cut])) {
				cut--
			}
			line = string(r[:cut])
			put()
			line = string(r[cut:])
		}
	}
	if line != "" {
		put()
	}
	return lines
}

// MinSize implements fyne.CanvasObject.
func (p *Para) MinSize() fyne.Size { return fyne.NewSize(10, float32(len(p.lines))*p.size*leading) }

// CreateRenderer implements fyne.Widget.
func (p *Para) CreateRenderer() fyne.WidgetRenderer { return &paraRenderer{p} }

type paraRenderer struct{ p *Para }

func (r *paraRenderer) Layout(size fyne.Size) {
	r.p.set(size.Width)
	r.p.place()
}
func (r *paraRenderer) MinSize() fyne.Size { return r.p.MinSize() }
func (r *paraRenderer) Refresh()           { r.Layout(r.p.Size()) }
func (r *paraRenderer) Destroy()           {}
func (r *paraRenderer) Objects() []fyne.CanvasObject {
	all := make([]fyne.CanvasObject, len(r.p.lines))
	for i, t := range r.p.lines {
		all[i] = t
	}
	return all
}

// Says is its text.
func (p *Para) Says() string { return p.text }
