package page

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"endpin/piece/engraving"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Heard is how far the note that sounds now lies from where it belongs. It stands
// under the note, small and soft, as long as it sounds: what is kept comes later.
type Heard struct {
	Measure, Note int     // indexes into Piece.Measures and Measure.Notes
	Cents         float64 // above 0 for sharp; 0 for near enough, and then nothing stands there
}

// SetCursor shows where the beat is, a measure and the share of it gone by, and
// brings it into sight; measure -1 for nowhere.
func (v *View) SetCursor(measure int, share float64) {
	if v.sheet.at == measure && v.sheet.share == share {
		return
	}
	if measure >= 0 && measure != v.sheet.at {
		v.Bring(measure)
	}
	v.sheet.at, v.sheet.share = measure, share
	v.sheet.place()
}

// SetHeard shows what sounds now; Cents 0 for nothing to be told.
func (v *View) SetHeard(h Heard) {
	if h.Cents == 0 {
		h = Heard{}
	}
	if h != v.sheet.heard {
		v.sheet.heard = h
		v.sheet.tell()
	}
}

// cursorWidth is a band behind a head, staff spaces.
const cursorWidth = 2.4

// place puts the cursor where the beat is: a band behind the note that is to sound,
// or on its way to the next one.
func (s *sheet) place() {
	v := s.view
	i, b := v.find(s.at)
	if s.at < 0 || i < 0 {
		if s.cursor.Visible() {
			s.cursor.Hide()
		}
		return
	}
	sys := v.page.Systems[i]
	at := fyne.NewPos(v.units(margin+v.across(sys, b, s.share)-cursorWidth/2), v.units(sys.StaffTop-2))
	size := fyne.NewSize(v.units(cursorWidth), v.units(8))
	if s.cursor.Size() != size {
		s.cursor.CornerRadius = v.space / 2
		s.cursor.Resize(size)
	}
	if s.cursor.Position() != at {
		s.cursor.Move(at)
	}
	if !s.cursor.Visible() {
		s.cursor.Show()
	}
}

// across is where a share of a measure stands, staff spaces from the left margin:
// at the heads, and in between as time goes by.
func (v *View) across(sys engraving.System, b engraving.Box, share float64) float64 {
	m := &v.piece.Measures[b.Measure]
	length := float64(max(1, m.Length))
	before, x := -1.0, 0.0
	for _, a := range sys.Notes {
		if a.Measure != b.Measure || a.Note >= len(m.Notes) {
			continue
		}
		at := float64(m.Notes[a.Note].Start) / length
		if at > share+1e-4 {
			if before < 0 {
				return a.X
			}
			return x + (a.X-x)*(share-before)/(at-before)
		}
		if at > before {
			before, x = at, a.X
		}
	}
	end := b.X + b.Width - 0.5
	if before < 0 {
		return b.X + b.Width*share
	}
	return x + math.Max(0, end-x)*(share-before)/(1-before+1e-9)
}

// tell draws how the note that sounds lies, under its measure.
func (s *sheet) tell() {
	v, h := s.view, s.heard
	i, b := v.find(h.Measure)
	if h.Cents == 0 || i < 0 {
		if s.now.Visible() {
			s.now.Hide()
		}
		return
	}
	sys := v.page.Systems[i]
	x := b.X
	for _, a := range sys.Notes {
		if a.Measure == h.Measure && a.Note == h.Note {
			x = a.X - 0.9
		}
	}
	kind, text := finding.Sharp, words.Shown(h.Cents, 0).String()
	if h.Cents < 0 {
		kind = finding.Flat
	}
	w, high := shapeSize+0.9+width(text, markSize, engraving.Roman), markLine
	x = math.Min(x, b.X+b.Width-w)
	px := float64(v.space * v.scale())
	img := image.NewRGBA(image.Rect(0, 0, int(math.Ceil(w*px)), int(math.Ceil(high*px))))
	p := &pen{to: img, space: px}
	p.shape(Mark{Kind: kind, Fair: true}, shapeSize/2+0.1, markLine/2+0.05, v.colours.Soft)
	p.text(text, shapeSize+0.55, markLine-0.5, markSize, engraving.Roman, v.colours.Soft)
	s.now.Image = img
	line := min(markLines-1, lines(v.marks[h.Measure], b.Width))
	s.now.Move(fyne.NewPos(v.units(margin+x), v.units(sys.Top+sys.Height-markRoom+float64(line)*markLine)))
	s.now.Resize(fyne.NewSize(float32(img.Rect.Dx())/v.scale(), float32(img.Rect.Dy())/v.scale()))
	s.now.Refresh()
	if !s.now.Visible() {
		s.now.Show()
	}
}

// scale is how many pixels one of Fyne's units has.
func (v *View) scale() float32 {
	if c := fyne.CurrentApp().Driver().CanvasForObject(v); c != nil {
		return c.Scale()
	}
	return 1
}

// band is the colour of the cursor, through which the page's own tint is seen.
func band(c color.NRGBA) color.NRGBA {
	c.A = 92
	return c
}

func newNow() *canvas.Image {
	now := canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))
	now.FillMode, now.ScaleMode = canvas.ImageFillStretch, canvas.ImageScaleFastest
	now.Hide()
	return now
}
