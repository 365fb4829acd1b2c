package prose

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// Notice is a sentence that breaks where its room ends: a hint in plain letters, and what does not
// go in bold ones behind a filled square with an exclamation mark, which is told in grey, too.
type Notice struct {
	Box *fyne.Container

	says   *widget.Label
	square *canvas.Rectangle
	bang   *canvas.Text
	mark   *fyne.Container
}

const noticeMark = 26 // of the square

// NewNotice is an empty one.
func NewNotice() *Notice {
	n := &Notice{says: Wrapped(""), square: canvas.NewRectangle(color.Transparent), bang: canvas.NewText("!", color.Transparent)}
	n.square.CornerRadius, n.bang.TextSize, n.bang.TextStyle.Bold, n.bang.Alignment = 4, 20, true, fyne.TextAlignCenter
	n.square.SetMinSize(fyne.NewSquareSize(noticeMark))
	n.mark = container.NewCenter(container.NewStack(n.square, n.bang))
	n.mark.Hide()
	n.Box = container.NewBorder(nil, nil, n.mark, nil, n.says)
	return n
}

// Tell says something else, in the colours of ink and paper; trouble is what does not go.
func (n *Notice) Tell(text string, trouble bool, ink, paper color.Color) {
	if n.says.Text == text && n.mark.Visible() == trouble && n.square.FillColor == ink {
		return
	}
	n.square.FillColor, n.bang.Color = ink, paper
	n.says.TextStyle.Bold = trouble
	n.mark.Hidden = !trouble
	n.says.SetText(text)
	n.Box.Refresh()
}
