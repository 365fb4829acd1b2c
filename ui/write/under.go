package write

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// under sets the head, the buttons, the page and the line under it one below the other. The page
// has what the others leave, and each of them is as high as the width asks that it gets now.
type under struct{}

// thePage is which of them has what is left.
const thePage = 2

// MinSize implements fyne.Layout.
func (under) MinSize(all []fyne.CanvasObject) (size fyne.Size) {
	for _, o := range all {
		m := o.MinSize()
		size.Width, size.Height = max(size.Width, m.Width), size.Height+m.Height
	}
	return size.AddWidthHeight(0, theme.Padding()*float32(len(all)-1))
}

// Layout implements fyne.Layout.
func (under) Layout(all []fyne.CanvasObject, size fyne.Size) {
	high := func(o fyne.CanvasObject) float32 {
		o.Resize(fyne.NewSize(size.Width, o.Size().Height)) // what is asked hangs on the width
		return o.MinSize().Height
	}
	left := size.Height - theme.Padding()*float32(len(all)-1)
	for i, o := range all {
		if i != thePage {
			left -= high(o)
		}
	}
	y := float32(0)
	for i, o := range all {
		h := max(0, left)
		if i != thePage {
			h = o.MinSize().Height
		}
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += h + theme.Padding()
	}
}
