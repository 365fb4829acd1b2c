package far

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Head stands over the page: what lies on the desk, and what goes on. While
// somebody plays that is read from far, and so it is written large.
type Head struct {
	Box         *fyne.Container
	title, says *canvas.Text
	left, right *prose.Short
	size        float32 // of what goes on, where there is room
}

const (
	titleSize = 26
	saysSmall = 20
	saysLarge = 34
	headLeast = 0.62 // of these sizes: rather small than cut off
)

// NewHead names what lies on the desk.
func NewHead(title string) *Head {
	h := &Head{title: canvas.NewText(title, nil), says: canvas.NewText("", nil), size: saysSmall}
	h.title.TextSize, h.title.TextStyle.Bold = titleSize, true
	h.says.TextSize, h.says.Alignment = saysSmall, fyne.TextAlignTrailing
	h.left, h.right = prose.NewShort(h.title), prose.NewShort(h.says)
	h.Box = container.New(h, h.left, h.right)
	return h
}

// Name says what lies on the desk.
func (h *Head) Name(title string) {
	if h.left.Says() != title {
		h.left.Say(title)
	}
}

// Show says what goes on.
func (h *Head) Show(what string, far bool, c ink.Colours) {
	size, colour := float32(saysSmall), c.Soft
	if far {
		size, colour = saysLarge, c.Ink
	}
	if h.size == size && h.right.Says() == what && h.says.Color == colour && h.title.Color == c.Ink {
		return
	}
	h.title.Color, h.says.Color = c.Ink, colour
	h.size, h.says.TextStyle.Bold = size, far
	h.right.Say(what)
	h.title.Refresh()
	h.Box.Refresh()
}

const headEdge = 8

// Says is what goes on, as it is shown.
func (h *Head) Says() string { return h.says.Text }

// MinSize implements fyne.Layout: the same whatever is said.
func (h *Head) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(280, 44) }

// Layout implements fyne.Layout: both are as much smaller as it takes to stand beside each
// other. Where even so one must be cut, what goes on has what it needs of two thirds while it
// is read from far, and else of what the title leaves, a third at least.
func (h *Head) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	const between = 24
	wide := size.Width - 2*headEdge
	const step = 0.96
	for share := float32(1); share > headLeast; share *= step {
		h.title.TextSize, h.says.TextSize = share*titleSize, share*h.size
		if h.left.Needs()+h.right.Needs()+2 <= wide-2*between {
			break
		}
	}
	most := wide * 2 / 3
	if needs := h.left.Needs() + 2*between; h.size == saysSmall || needs+h.right.Needs() < wide {
		most = max(wide/3, wide-needs)
	}
	right := min(h.right.Needs()+1, most)
	put := func(o fyne.CanvasObject, x, w float32) {
		high := o.MinSize().Height
		o.Move(fyne.NewPos(x, (size.Height-high)/2))
		o.Resize(fyne.NewSize(w, high))
	}
	put(h.left, headEdge, size.Width-headEdge-right-2*between)
	put(h.right, size.Width-between-right, right)
}
