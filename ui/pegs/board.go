package pegs

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/ui/desk/tuner"
	"endpin/ui/prose"
)

// board is what is written large: a name at the left, and beside it a shape with
// a word, what to do, and a sentence. It fills what room there is.
type board struct {
	box                     *fyne.Container
	name, shape, word, turn *canvas.Text
	note                    *prose.Para
}

func newBoard() *board {
	text := func(bold bool) *canvas.Text {
		t := canvas.NewText("", nil)
		t.TextStyle.Bold = bold
		return t
	}
	b := &board{name: text(true), shape: text(true), word: text(true), turn: text(false), note: prose.NewPara("", leastNote, false, nil)}
	b.box = container.New(boardLayout{b}, b.name, b.shape, b.word, b.turn, b.note)
	return b
}

// show writes what is to be written; what moves is written softly.
func (b *board) show(x tuner.Board, ink, soft color.NRGBA) {
	c := ink
	if x.Moving {
		c = soft
	}
	changed := b.name.Text != x.Name || b.shape.Text != x.Shape || b.word.Text != x.Word || b.turn.Text != x.Turn
	prose.Write(b.name, x.Name, ink)
	prose.Write(b.shape, x.Shape, c)
	prose.Write(b.word, x.Word, c)
	prose.Write(b.turn, x.Turn, c)
	if b.note.Say(x.Note, false, soft) || changed {
		b.box.Layout.Layout(b.box.Objects, b.box.Size())
	}
}

const (
	leastNote = 16   // of the sentence below, which goes on in another line rather than be smaller
	leading   = 1.36 // of a line, times its letters
)

// boardLayout sets the name as large as it can be read from far, and the words as
// large as fit beside it.
type boardLayout struct{ b *board }

func (boardLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(600, 240) }

func (l boardLayout) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	b := l.b
	at := func(t *canvas.Text, most, x, y, width float32) (height float32) {
		height = prose.Fitted(t, most, width).Height
		t.Move(fyne.NewPos(x, y))
		t.Resize(fyne.NewSize(width, height))
		t.Refresh()
		return height
	}
	high := size.Height
	noted := func(most, middle, width float32) { // in more lines rather than too small
		note := most
		tall := b.note.HeightIn(width, note)
		for note > leastNote && tall > 1.5*note*leading {
			note = max(leastNote, 0.94*note)
			tall = b.note.HeightIn(width, note)
		}
		b.note.Move(fyne.NewPos((size.Width-width)/2, min(middle, high-tall/2)-tall/2))
		b.note.Resize(fyne.NewSize(width, tall))
		b.note.Refresh()
	}
	note := max(leastNote, min(22, high*0.07))
	edge := size.Width * 0.05
	if b.name.Text == "" && b.shape.Text == "" && b.word.Text == "" { // one sentence
		noted(high*0.12, high*0.5, size.Width-2*edge)
		return
	}
	if b.name.Text == "" && b.shape.Text == "" { // words alone
		y := high*0.5 - high*0.22
		y += at(b.word, high*0.22, edge, y, size.Width-2*edge)
		y += at(b.turn, high*0.1, edge, y, size.Width-2*edge)
		noted(note, high-note*1.1, size.Width-2*edge)
		return
	}
	left := size.Width * 0.34
	name := min(high*0.78, left)
	b.name.TextSize = name
	w := fyne.MeasureText(b.name.Text, name, b.name.TextStyle).Width
	if w > left-edge {
		name *= (left - edge) / w
	}
	h := at(b.name, name, edge, 0, left)
	b.name.Move(fyne.NewPos(edge, (high-h)/2-note))
	x := edge + left
	word := high * 0.24
	y := high*0.5 - word - note
	width := size.Width - x - edge
	beside := func(size float32) float32 { // the room of the shape
		if b.shape.Text == "" {
			return 0
		}
		return fyne.MeasureText(b.shape.Text, size, b.shape.TextStyle).Width + size*0.3
	}
	h = at(b.word, word, x, y, width-beside(word))
	b.word.Move(fyne.NewPos(x+beside(b.word.TextSize), y))
	at(b.shape, b.word.TextSize, x, y, width)
	at(b.turn, high*0.11, x, y+h, width)
	noted(note, high-note*1.1, size.Width-2*edge)
}
