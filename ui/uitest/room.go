package uitest

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
)

// Text is a line of letters where it stands in a window.
type Text struct {
	Says   string
	box    box               // of its letters
	seen   box               // that much of it at most
	scroll *container.Scroll // that it stands in; nil for none
	cut    string            // why it is cut off; "" where it is not
}

type box struct{ left, top, right, bottom float32 }

func boxOf(at fyne.Position, size fyne.Size) box {
	return box{at.X, at.Y, at.X + size.Width, at.Y + size.Height}
}

func (b box) and(c box) box {
	return box{max(b.left, c.left), max(b.top, c.top), min(b.right, c.right), min(b.bottom, c.bottom)}
}

func (b box) empty() bool { return b.right <= b.left+slack || b.bottom <= b.top+slack }

// slack is what a measure may be off by rounding, in Fyne's units.
const slack = 1.5

// Texts are all that is to be read in a window: of what lies over it where something
// does, else of the window itself.
func Texts(win fyne.Window) (all []Text) {
	whole := boxOf(fyne.Position{}, win.Canvas().Size())
	top := win.Canvas().Overlays().Top()
	if top == nil {
		top = win.Content()
	}
	texts(top, fyne.Position{}, whole, whole, nil, &all)
	return all
}

// texts goes through what stands in an object at a place. room is how wide a line may
// be, seen what is not hidden by the edge of something that scrolls.
func texts(o fyne.CanvasObject, from fyne.Position, room, seen box, scroll *container.Scroll, all *[]Text) {
	if !o.Visible() {
		return
	}
	at := from.Add(o.Position())
	if t, is := o.(*canvas.Text); is {
		*all = append(*all, text(t, at, room, seen, scroll))
		return
	}
	here := boxOf(at, o.Size())
	if o.Size().Width > 0 { // the toolkit gives some none, and draws them all the same
		room.left, room.right = max(room.left, here.left), min(room.right, here.right)
	}
	var inside []fyne.CanvasObject
	switch x := o.(type) {
	case *container.Scroll:
		seen, scroll = seen.and(here), x
		room.top, room.bottom = -1e6, 1e6 // it is scrolled to
		inside = []fyne.CanvasObject{x.Content}
	case *fyne.Container:
		inside = x.Objects
	case fyne.Widget:
		inside = test.WidgetRenderer(x).Objects()
	}
	for _, i := range inside {
		texts(i, at, room, seen, scroll, all)
	}
}

func text(t *canvas.Text, at fyne.Position, room, seen box, scroll *container.Scroll) Text {
	need := fyne.MeasureText(t.Text, t.TextSize, t.TextStyle)
	switch spare := t.Size().Width - need.Width; t.Alignment {
	case fyne.TextAlignCenter:
		at.X += spare / 2
	case fyne.TextAlignTrailing:
		at.X += spare
	}
	at.Y += max(0, t.Size().Height-need.Height) / 2
	b := boxOf(at, need)
	edge := need.Height / 5 // what a line has above and below its letters
	b.top, b.bottom = b.top+edge, b.bottom-edge
	x := Text{Says: t.Text, box: b, seen: seen, scroll: scroll}
	if strings.TrimSpace(t.Text) == "" {
		return x
	}
	switch {
	case b.left < room.left-slack || b.right > room.right+slack:
		x.cut = fmt.Sprintf("%q is %.0f wide and has room for %.0f", t.Text, need.Width, room.right-room.left)
	case b.top < room.top-slack || b.bottom > room.bottom+slack:
		x.cut = fmt.Sprintf("%q stands beyond the window's edge, at %.0f", t.Text, b.bottom)
	}
	return x
}

// Misplaced says of each text in a window that is cut off or lies on another what is
// wrong with it, and whether the window would be larger than it is to be.
func Misplaced(win fyne.Window) (faults []string) {
	if need, is := win.Content().MinSize(), win.Canvas().Size(); need.Width > is.Width+slack || need.Height > is.Height+slack {
		faults = append(faults, fmt.Sprintf("the window asks for %.0f × %.0f", need.Width, need.Height))
	}
	all := Texts(win)
	for i, a := range all {
		if strings.TrimSpace(a.Says) == "" {
			continue
		}
		if a.cut != "" {
			faults = append(faults, a.cut)
		}
		for _, b := range all[:i] {
			one, other := a.box, b.box
			if a.scroll != b.scroll { // what is scrolled out of sight lies on nothing
				one, other = one.and(a.seen), other.and(b.seen)
			}
			if strings.TrimSpace(b.Says) != "" && !one.empty() && !other.empty() && !one.and(other).empty() {
				faults = append(faults, fmt.Sprintf("%q lies on %q", a.Says, b.Says))
			}
		}
	}
	return faults
}
