package page

import (
	"image"
	"image/draw"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"endpin/piece"
	"endpin/piece/engraving"
	"endpin/piece/fingerboard"
	"endpin/ui/ink"
	"endpin/ui/mark"
	"endpin/ui/pen"
)

// View is the engraved page of a piece: it scrolls, shows what was heard under
// each measure, the measures chosen and where the beat is. Its methods belong to
// Fyne's goroutine.
type View struct {
	widget.BaseWidget

	// Choose is called while measures are dragged over or tapped, with indexes.
	Choose func(first, last int)
	// Open is asked first where a measure is tapped; if it takes the tap, nothing is
	// chosen.
	Open func(measure int) bool
	// Note is called instead of both where it is set: with the note that was tapped, or
	// dragged to, from which on more is chosen. Note -1 is a measure without any.
	Note func(measure, note int, more bool)
	// Press is asked before all: where a note is pressed, else a measure with a note below 0.
	// If it takes the press, nothing else is done with it.
	Press func(measure, note int) bool
	// Whole is called where what concerns the whole take is tapped.
	Whole func()

	piece   *piece.Piece
	line    []piece.Expected
	plan    *fingerboard.Plan
	colours ink.Colours
	space   float32 // a staff space, in Fyne's units
	asked   float32 // and what it is where there is room
	page    *engraving.Page
	wide    float32 // for which the page was laid out
	marks   map[int][]mark.Mark

	pencil   [2]int   // the measure and the note that are marked, see SetPencil
	written  *Written // while the page is being written; nil for one that is read
	rounds   []Round  // at what is being mended …
	roundsAt int      // … in this measure; -1 for none
	brought  int      // the measure brought into sight last
	excerpt  [2]int   // the measures shown, from which on and how many; 0 for all

	scroll *container.Scroll
	sheet  *sheet
	over   *over
}

// New makes a view of a piece, its line and fingering.
func New(p *piece.Piece, line []piece.Expected, plan *fingerboard.Plan, space float32, c ink.Colours) *View {
	v := &View{piece: p, line: line, plan: plan, space: space, asked: space, colours: c, marks: map[int][]mark.Mark{}, roundsAt: -1, brought: -1, pencil: nowhere}
	v.sheet = &sheet{view: v, cursor: newImage(), now: newImage(), pictures: map[int]*picture{}, first: -1, at: -1, looked: -1, hovered: -1}
	v.sheet.ExtendBaseWidget(v.sheet)
	v.scroll = container.NewVScroll(v.sheet)
	v.scroll.OnScrolled = func(fyne.Position) { v.sheet.Refresh() }
	v.over = newOver(v)
	v.ExtendBaseWidget(v)
	return v
}

// Put shows another piece, from its top, without anything heard in it.
func (v *View) Put(p *piece.Piece, line []piece.Expected, plan *fingerboard.Plan) {
	v.piece, v.line, v.plan, v.marks = p, line, plan, map[int][]mark.Mark{}
	v.sheet.first, v.sheet.looked, v.brought = -1, -1, -1
	v.SetWhole(nil)
	v.SetCursor(-1, 0)
	v.SetHeard(Heard{})
	v.scroll.Offset.Y = 0
	v.lay()
	v.sheet.Refresh()
}

// CreateRenderer implements fyne.Widget.
func (v *View) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(v.over.under) }

// MinSize is small: the page takes what it gets, beside what stands over it.
func (v *View) MinSize() fyne.Size { return fyne.NewSize(300, 120+v.over.high()) }

// Resize lays the page out anew where the width has changed.
func (v *View) Resize(size fyne.Size) {
	at := v.top()
	v.BaseWidget.Resize(size)
	v.settle(at)
	v.sheet.Refresh()
}

// settle lays the page out for the room there is, where a measure was to be read. Of what was
// brought into sight nothing is cut off then.
func (v *View) settle(at int) {
	if space, wide := v.fitting(), v.Size().Width; wide > 50 && (wide != v.wide || space != v.space) {
		v.wide, v.space = wide, space
		v.lay()
	} else if at != v.brought {
		return
	}
	if at >= 0 {
		v.Bring(at)
	}
}

// top is the measure that is to be read wherever the page goes: the one that was brought into
// sight and still stands there, else the first that does; -1 before there is any.
func (v *View) top() int {
	if v.page == nil {
		return -1
	}
	y, high := v.scroll.Offset.Y, v.scroll.Size().Height
	if i, _ := v.find(v.brought); i >= 0 {
		if s := v.page.Systems[i]; v.units(s.Top+s.Height) > y && v.units(s.Top) < y+high {
			return v.brought
		}
	}
	for _, s := range v.page.Systems {
		if v.units(s.StaffTop) >= y && len(s.Measures) > 0 {
			return s.Measures[0].Measure
		}
	}
	return -1
}

// fitting is the staff space asked for, or in a low window the largest, in steps,
// at which a staff is seen with what stands over and under it.
func (v *View) fitting() float32 {
	const least, step, spaces = 9, 1.5, 14.5
	most := step * float32(math.Floor(float64(v.Size().Height-v.over.high())/spaces/step))
	return min(v.asked, max(least, most))
}

// margin on either side of the page, in staff spaces.
const margin = 2.5

func (v *View) lay() {
	if v.wide == 0 {
		return
	}
	o := engraving.Options{Width: float64(v.wide/v.space) - 2*margin, Plan: v.plan, Line: v.line, Frames: v.plan != nil, Below: v.room(), Above: 0.8, First: v.excerpt[0], Count: v.excerpt[1]}
	if v.pencil != nowhere { // what is written there, and nothing that is supposed
		o.Fingers, o.Frames = engraving.MarkedFingers, false
	}
	v.page = engraving.Engrave(v.piece, o)
	v.sheet.forget()
	v.scroll.Refresh()
}

// Finger draws the piece fingered otherwise.
func (v *View) Finger(p *piece.Piece, line []piece.Expected, plan *fingerboard.Plan) {
	if v.plan != plan {
		v.piece, v.line, v.plan = p, line, plan
		v.lay()
		v.sheet.Refresh()
	}
}

// SetSpace sets the size of the page: a staff space, in Fyne's units.
func (v *View) SetSpace(space float32) {
	if space != v.asked {
		v.asked = space
		v.space = v.fitting()
		v.lay()
		v.sheet.Refresh()
	}
}

// SetColours changes the colours.
func (v *View) SetColours(c ink.Colours) {
	if c != v.colours {
		v.colours = c
		v.sheet.cursor.Resize(fyne.Size{}) // it is drawn anew
		v.over.draw()
		v.sheet.forget()
		v.sheet.Refresh()
	}
}

// SetMarks says what was heard, by measure; systems that look the same stay.
func (v *View) SetMarks(marks map[int][]mark.Mark) {
	if v.page != nil {
		for i, s := range v.page.Systems {
			for _, b := range s.Measures {
				if !slices.Equal(v.marks[b.Measure], marks[b.Measure]) {
					delete(v.sheet.pictures, i)
					break
				}
			}
		}
	}
	v.marks = marks
	v.sheet.Refresh()
}

// SetRange shows which measures are chosen; first -1 for the whole piece,
// which is not marked.
func (v *View) SetRange(first, last int) {
	if v.sheet.first != first || v.sheet.last != last {
		v.sheet.first, v.sheet.last = first, last
		v.sheet.Refresh()
	}
}

// SetLooked brackets the measure that is looked at closer; -1 for none.
func (v *View) SetLooked(measure int) {
	if v.sheet.looked != measure {
		v.sheet.looked = measure
		v.sheet.Refresh()
	}
}

// nowhere is where the pencil is not in the hand.
var nowhere = [2]int{-1, -1}

// SetPencil shades the note that is marked, or where it is below 0 the measure, and brings
// it into sight; a measure below 0 for no pencil.
func (v *View) SetPencil(measure, note int) {
	at := [2]int{measure, max(-1, note)}
	if measure < 0 {
		at = nowhere
	}
	if at == v.pencil {
		return
	}
	was := v.pencil
	v.pencil = at
	if (was == nowhere) != (at == nowhere) {
		v.lay() // with every mark, or as it is read
	}
	if at != nowhere {
		v.Bring(measure)
	}
	v.sheet.Refresh()
}

// Place is where a note stands in the window; it is to be seen there.
func (v *View) Place(measure, note int) (at fyne.Position, seen bool) {
	i, _ := v.find(measure)
	if i < 0 {
		return at, false
	}
	for _, a := range v.page.Systems[i].Notes {
		if a.Measure == measure && a.Note == note {
			corner := fyne.CurrentApp().Driver().AbsolutePositionForObject(v.sheet)
			return corner.AddXY(v.units(a.X+margin), v.units(a.Y)), true
		}
	}
	return at, false
}

// Scroll goes on by so many systems, or back.
func (v *View) Scroll(by int) {
	if v.page == nil {
		return
	}
	at := 0
	for i, s := range v.page.Systems {
		if v.units(s.Top) <= v.scroll.Offset.Y+1 {
			at = i
		}
	}
	at = max(0, min(len(v.page.Systems)-1, at+by))
	v.scrollTo(v.units(v.page.Systems[at].Top))
}

// Offset is how far it is scrolled, in Fyne's units.
func (v *View) Offset() float32 { return v.scroll.Offset.Y }

// scrollTo has the page begin at a height, as far as there is page.
func (v *View) scrollTo(y float32) {
	most := max(0, v.sheet.MinSize().Height-v.scroll.Size().Height)
	v.scroll.Offset.Y = max(0, min(most, y))
	v.scroll.Refresh()
	v.sheet.Refresh()
}

// Bring brings a measure into sight, with the next system below it where it fits.
func (v *View) Bring(measure int) {
	i, _ := v.find(measure)
	if i < 0 {
		return
	}
	v.brought = measure
	s := v.page.Systems[i]
	top, end := v.units(s.Top), v.units(s.Top+s.Height)
	if next := i + 1; next < len(v.page.Systems) && v.units(v.page.Systems[next].Top+v.page.Systems[next].Height)-top <= v.scroll.Size().Height {
		end = v.units(v.page.Systems[next].Top + v.page.Systems[next].Height)
	}
	y := v.scroll.Offset.Y
	if top >= y && end <= y+v.scroll.Size().Height {
		return
	}
	if low := end - v.scroll.Size().Height - v.unused(i); low > top { // staff and marks rather than what stands above them
		top = low
	}
	v.scrollTo(top)
}

// unused is the room for marks that none of a system's measures takes.
func (v *View) unused(system int) float32 {
	used := 0.0
	for _, b := range v.page.Systems[system].Measures {
		if used = max(used, markLine*float64(lines(v.marks[b.Measure], b.Width))); b.Measure == v.roundsAt {
			used = max(used, lowest(v.rounds))
		}
	}
	return v.units(max(0, v.room()-0.6-used))
}

func (v *View) units(spaces float64) float32 { return float32(spaces) * v.space }

// find gives the system of a measure, and its box.
func (v *View) find(measure int) (system int, box engraving.Box) {
	if v.page != nil {
		for i, s := range v.page.Systems {
			for _, b := range s.Measures {
				if b.Measure == measure {
					return i, b
				}
			}
		}
	}
	return -1, box
}

// sheet is what scrolls.
type sheet struct {
	widget.BaseWidget
	view     *View
	pictures map[int]*picture // by system, of those in sight
	cursor   *canvas.Image    // where the beat is
	now      *canvas.Image    // how the note that sounds lies

	first, last int // measures chosen; first -1 for none
	looked      int // the measure looked at closer, -1 for none
	hovered     int // the measure under the mouse, -1 for none
	at          int
	share       float64
	heard       Heard
	dragged     int
	dragging    bool
}

var (
	_ fyne.Draggable     = (*sheet)(nil)
	_ fyne.Tappable      = (*sheet)(nil)
	_ desktop.Cursorable = (*sheet)(nil)
)

// Cursor implements desktop.Cursorable.
func (s *sheet) Cursor() desktop.Cursor {
	if s.view.pencil != nowhere {
		return desktop.CrosshairCursor
	}
	return desktop.PointerCursor
}

// MinSize is that of the whole page.
func (s *sheet) MinSize() fyne.Size {
	if s.view.page == nil {
		return fyne.NewSize(100, 100)
	}
	return fyne.NewSize(100, s.view.units(s.view.page.Height+2))
}

func (s *sheet) forget() { s.pictures = map[int]*picture{} }

// measure is the measure at a place, or -1.
func (s *sheet) measure(at fyne.Position) int {
	v := s.view
	if v.page == nil {
		return -1
	}
	x, y := float64(at.X/v.space)-margin, float64(at.Y/v.space)
	for _, sys := range v.page.Systems {
		if y >= sys.Top && y < sys.Top+sys.Height {
			for _, b := range sys.Measures {
				if x >= b.X && x < b.X+b.Width {
					return b.Measure
				}
			}
		}
	}
	return -1
}

// A press this near to a note, staff spaces, is one on it: beside its head, over and under
// the staff as far as marks of a note stand.
const (
	nearNote = 1.6
	overNote = 2
)

// note is the note of a measure at a place, or -1.
func (s *sheet) note(measure int, at fyne.Position) (note int) {
	v := s.view
	i, _ := v.find(measure)
	x, y := float64(at.X/v.space)-margin, float64(at.Y/v.space)
	note = -1
	best := nearNote
	for _, a := range v.page.Systems[i].Notes {
		top, end := v.page.Systems[i].StaffTop, v.page.Systems[i].StaffTop+4
		if d := math.Abs(a.X - x); a.Measure == measure && d < best && y > min(top, a.Y)-overNote && y < max(end, a.Y)+overNote {
			note, best = a.Note, d
		}
	}
	return note
}

// Tapped chooses one measure.
func (s *sheet) Tapped(e *fyne.PointEvent) {
	m := s.measure(e.Position)
	switch v := s.view; {
	case m >= 0 && v.Note != nil:
		m, n := s.noteAt(e.Position)
		v.Note(m, n, false)
	case m >= 0 && v.Press != nil && v.Press(m, s.note(m, e.Position)):
	case m < 0 || v.Open != nil && v.Open(m):
	case v.Choose != nil:
		v.Choose(m, m)
	}
}

// Dragged chooses the measures dragged over.
func (s *sheet) Dragged(e *fyne.DragEvent) {
	m := s.measure(e.Position)
	if m >= 0 && s.view.Note != nil {
		if !s.dragging {
			s.dragging = true
			m, n := s.noteAt(e.Position.SubtractXY(e.Dragged.DX, e.Dragged.DY))
			s.view.Note(m, n, false)
		}
		m, n := s.noteAt(e.Position)
		s.view.Note(m, n, true)
		return
	}
	if m < 0 || s.view.Choose == nil {
		return
	}
	if !s.dragging {
		from := s.measure(e.Position.SubtractXY(e.Dragged.DX, e.Dragged.DY))
		if from < 0 {
			from = m
		}
		s.dragging, s.dragged = true, from
	}
	s.view.Choose(min(s.dragged, m), max(s.dragged, m))
}

// DragEnd implements fyne.Draggable.
func (s *sheet) DragEnd() { s.dragging = false }

// CreateRenderer implements fyne.Widget.
func (s *sheet) CreateRenderer() fyne.WidgetRenderer { return &sheetRenderer{s: s} }

type sheetRenderer struct {
	s       *sheet
	objects []fyne.CanvasObject
}

func (r *sheetRenderer) Destroy()                     {}
func (r *sheetRenderer) Layout(fyne.Size)             {}
func (r *sheetRenderer) MinSize() fyne.Size           { return r.s.MinSize() }
func (r *sheetRenderer) Objects() []fyne.CanvasObject { return r.objects }

// Refresh draws the systems in sight, and lets go of the others.
func (r *sheetRenderer) Refresh() {
	s, v := r.s, r.s.view
	r.objects = r.objects[:0]
	if v.page == nil {
		return
	}
	top := v.scroll.Offset.Y
	high := v.scroll.Size().Height
	s.place()
	if s.heard.Cents != 0 {
		s.tell()
	}
	r.grounds(top, top+high)
	r.choose(top, top+high)
	r.shade()
	r.shadeMarked()
	r.objects = append(r.objects, s.cursor)
	for i, sys := range v.page.Systems {
		y, h := v.units(sys.Top), v.units(sys.Height)
		if y > top+2*high || y+h < top-high {
			delete(s.pictures, i) // a screen away in either direction
			continue
		}
		if y > top+high+h || y+h < top {
			continue // not in sight, nor next
		}
		img := s.pictures[i]
		if img == nil {
			img = v.picture(i)
			s.pictures[i] = img
		}
		img.Move(fyne.NewPos(0, y+img.down))
		r.objects = append(r.objects, img.Image)
	}
	r.look()
	r.objects = append(r.objects, s.now)
	canvas.Refresh(s)
}

// thick is a bracket's line, and leg how far it turns in at its ends, staff spaces.
const (
	thick = 0.3
	leg   = 1.0
)

// bar is one line of a bracket; places are in staff spaces.
func (r *sheetRenderer) bar(x, y, w, h float64) *canvas.Rectangle {
	v := r.s.view
	q := canvas.NewRectangle(v.colours.Cursor)
	q.Move(fyne.NewPos(v.units(x+margin), v.units(y)))
	q.Resize(fyne.NewSize(max(3, v.units(w)), max(3, v.units(h))))
	r.objects = append(r.objects, q)
	return q
}

// choose brackets the measures chosen, in the systems in sight: where they begin and
// end, and along all of them.
func (r *sheetRenderer) choose(top, end float32) {
	s, v := r.s, r.s.view
	if s.first < 0 {
		return
	}
	for _, sys := range v.page.Systems {
		if v.units(sys.Top) > end || v.units(sys.Top+sys.Height) < top {
			continue
		}
		from, to := math.Inf(1), math.Inf(-1)
		high := sys.StaffTop // numbers stand over the staff, and what was heard in it under the bracket
		low := min(high+6.2, sys.Top+sys.Height-v.room()-thick)
		for _, b := range sys.Measures {
			if b.Measure < s.first || b.Measure > s.last {
				continue
			}
			from, to = min(from, b.X), max(to, b.X+b.Width)
			if b.Measure == s.first {
				r.bar(b.X-thick/2, high, thick, low-high)
			}
			if b.Measure == s.last {
				r.bar(b.X+b.Width-thick/2, high, thick, low-high)
			}
		}
		if from < to {
			r.bar(from, low-thick, to-from, thick)
		}
	}
}

// look draws a bracket under the measure looked at closer, over what was heard in it.
func (r *sheetRenderer) look() {
	s, v := r.s, r.s.view
	i, b := v.find(s.looked)
	if s.looked < 0 || i < 0 {
		return
	}
	sys := v.page.Systems[i]
	y := sys.Top + sys.Height - markRoom - thick // no note is lower, and no word as high
	r.bar(b.X, y, b.Width, thick)
	r.bar(b.X, y-leg, thick, leg)
	r.bar(b.X+b.Width-thick, y-leg, thick, leg)
}

// picture is one system with its marks, as far as there is ink: what is painted
// costs by its size, empty or not.
type picture struct {
	*canvas.Image
	down float32 // from the system's top
}

// picture draws one system.
func (v *View) picture(i int) *picture {
	sys := v.page.Systems[i]
	scale := v.scale()
	px := float64(v.space * scale)
	img := image.NewRGBA(image.Rect(0, 0, int(v.wide*scale), int(math.Ceil(sys.Height*px))))
	draw.Draw(img, img.Bounds(), image.Transparent, image.Point{}, draw.Src)
	p := &pen.Pen{To: img, Space: px, Left: -margin, Top: sys.Top}
	for _, it := range v.page.Items[sys.First:sys.Last] {
		c := v.colours.Ink
		if it.Class == engraving.Frames || it.Class == engraving.Numbers {
			c = v.colours.Soft
		}
		p.Item(it, c)
	}
	for _, b := range sys.Measures {
		if b.Measure == v.roundsAt {
			rowOn(p, v.rounds, b.X, sys.Top+sys.Height-v.room(), b.Width, v.colours.Ink, v.colours.Soft, v.colours.Paper)
		} else if all := v.marks[b.Measure]; len(all) > 0 {
			marksOn(p, all, b.X, sys.Top+sys.Height-v.room(), b.Width, v.colours.Ink, v.colours.Soft)
		}
	}
	inked, from := trim(img)
	out := canvas.NewImageFromImage(inked)
	out.FillMode, out.ScaleMode = canvas.ImageFillStretch, canvas.ImageScaleFastest
	out.Resize(fyne.NewSize(float32(inked.Rect.Dx())/scale, float32(inked.Rect.Dy())/scale))
	return &picture{out, float32(from) / scale}
}

// trim leaves empty rows out above and below, and tells how many there were above.
func trim(img *image.RGBA) (inked *image.RGBA, from int) {
	empty := func(row int) bool {
		for _, b := range img.Pix[row*img.Stride : (row+1)*img.Stride] {
			if b != 0 {
				return false
			}
		}
		return true
	}
	end := img.Rect.Dy()
	for end > 1 && empty(end-1) {
		end--
	}
	for from < end-1 && empty(from) {
		from++
	}
	return &image.RGBA{Pix: img.Pix[from*img.Stride : end*img.Stride], Stride: img.Stride, Rect: image.Rect(0, 0, img.Rect.Dx(), end-from)}, from
}
