package page

import (
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"endpin/piece/engraving"
	"endpin/piece/finding"
	"endpin/ui/ink"
	"endpin/ui/letters"
	"endpin/ui/mark"
	"endpin/ui/pen"
)

// Heard is how far the note that sounds now lies from where it belongs. It stands
// under the note, small and soft, as long as it sounds: what is kept comes later.
type Heard struct {
	Measure, Note int     // indexes into Piece.Measures and Measure.Notes
	Cents         float64 // above 0 for sharp; 0 for near enough, and then nothing stands there
	Says          string  // that in words, or in cents with their unit
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

// A bracket about a head, staff spaces.
const (
	cursorWidth = 2.6
	cursorOver  = 3.0 // the staff,
	cursorHead  = 2.6 // and the highest head of the measure: a finger stands between
	cursorUnder = 2.2 // the staff
)

// place puts the cursor where the beat is: a bracket over and under the note that is to
// sound, or on its way to the next one.
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
	over := cursorOver
	for _, a := range sys.Notes {
		if a.Measure == b.Measure {
			over = max(over, sys.StaffTop-a.Y+cursorHead)
		}
	}
	at := fyne.NewPos(v.units(margin+v.across(sys, b, s.share)-cursorWidth/2), v.units(sys.StaffTop-over))
	size := fyne.NewSize(v.units(cursorWidth), v.units(over+4+cursorUnder))
	if s.cursor.Size() != size {
		s.cursor.Image = v.bracket(size)
		s.cursor.Resize(size)
		s.cursor.Refresh()
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
	kind, text := finding.Sharp, h.Says
	if h.Cents < 0 {
		kind = finding.Flat
	}
	w, high := shapeSize+0.9+letters.Width(text, markSize, engraving.Roman), markLine
	x = math.Min(x, b.X+b.Width-w)
	px := float64(v.space * v.scale())
	img := image.NewRGBA(image.Rect(0, 0, int(math.Ceil(w*px)), int(math.Ceil(high*px))))
	p := &pen.Pen{To: img, Space: px}
	shapeOn(p, mark.Mark{Kind: kind, Fair: true}, shapeSize/2+0.1, markLine/2+0.05, v.colours.Soft)
	p.Text(text, shapeSize+0.55, markLine-0.5, markSize, engraving.Roman, v.colours.Soft)
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

// bracket is the cursor's picture: what lies between is seen as it is.
func (v *View) bracket(size fyne.Size) image.Image {
	k := ink.New(size, v.scale())
	w, h, line, turn := size.Width, size.Height, v.units(1.2*thick), v.units(leg)
	for _, y := range []float32{0, h - line} {
		k.Block(0, y, w, y+line, v.colours.Cursor)
	}
	for _, x := range []float32{0, w - line} {
		k.Block(x, 0, x+line, turn, v.colours.Cursor)
		k.Block(x, h-turn, x+line, h, v.colours.Cursor)
	}
	return k.Image()
}

// newImage is a picture that is not there yet.
func newImage() *canvas.Image {
	i := canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))
	i.FillMode, i.ScaleMode = canvas.ImageFillStretch, canvas.ImageScaleFastest
	i.Hide()
	return i
}
