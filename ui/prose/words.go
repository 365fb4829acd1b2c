package prose

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Wrapped is a sentence that breaks where its room ends.
func Wrapped(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.Wrapping = fyne.TextWrapWord
	return l
}

// Large is a larger one.
func Large(text string) *widget.Label {
	l := Wrapped(text)
	l.SizeName = theme.SizeNameSubHeadingText
	return l
}

// Bold is a few words that stand out.
func Bold(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.TextStyle.Bold = true
	return l
}

// Heading stands over a part of a screen.
func Heading(text string) *widget.Label {
	l := Bold(text)
	l.SizeName = theme.SizeNameHeadingText
	return l
}

// Line is one line, which ends in an ellipsis where its room does.
func Line(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.Truncation = fyne.TextTruncateEllipsis
	return l
}

// OnButton is what is written on a button of a width: in several lines where one is
// too long.
func OnButton(text string, width float32) string {
	room := width - 2*theme.InnerPadding()
	if fyne.MeasureText(text, theme.TextSize(), fyne.TextStyle{Bold: true}).Width <= room {
		return text
	}
	return strings.Join(Lines(text, theme.TextSize(), true, room), "\n")
}

// Room is how wide a line to type in or a choice must be for any of some words, least
// at least.
func Room(least float32, texts ...string) float32 {
	for _, t := range texts {
		letters := fyne.MeasureText(t, theme.TextSize(), fyne.TextStyle{}).Width
		least = max(least, letters+2*theme.InnerPadding()+2*theme.Padding()+theme.IconInlineSize())
	}
	return least
}

// Tell changes a label where it says something else.
func Tell(l *widget.Label, text string) {
	if l.Text != text {
		l.SetText(text)
	}
}

// Write changes a text where it says something else, or in another colour.
func Write(t *canvas.Text, text string, c color.Color) {
	if Rewrite(t, text, c) {
		t.Refresh()
	}
}

// Rewrite is Write, for whoever draws the text himself; it says whether it changed.
func Rewrite(t *canvas.Text, text string, c color.Color) bool {
	if t.Text == text && t.Color == c {
		return false
	}
	t.Text, t.Color = text, c
	return true
}

// Mark shows whether a button is the one chosen of its row: filled with ink.
func Mark(b *Button, chosen bool) {
	importance := widget.MediumImportance
	if chosen {
		importance = widget.SuccessImportance // see ink.Look
	}
	if b.Importance != importance {
		b.Importance = importance
		b.Refresh()
	}
}
