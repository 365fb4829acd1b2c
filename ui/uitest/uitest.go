// Package uitest is a user's hands and eyes, for tests: it presses what a label
// names, types, and reads what stands there. What is hidden is not there for it.
package uitest

import (
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/prose"
)

// Press taps the button that a user reads a label on.
func Press(t *testing.T, win fyne.Window, label string) {
	t.Helper()
	press(t, win.Content(), label)
}

// PressOver taps a button of the dialogue that lies over the window.
func PressOver(t *testing.T, win fyne.Window, label string) {
	t.Helper()
	top := win.Canvas().Overlays().Top()
	if top == nil {
		t.Fatal("nothing lies over the window")
	}
	press(t, top, label)
}

func press(t *testing.T, in fyne.CanvasObject, label string) {
	t.Helper()
	if !Seen(in, func(o fyne.CanvasObject) bool {
		b, ok := labelled(o)
		if ok = ok && b == label; ok {
			test.Tap(o.(fyne.Tappable))
		}
		return ok
	}) {
		t.Fatalf("there is no button %q", label)
	}
}

// labelled is what stands on a button, ours or one of the toolkit's dialogues.
func labelled(o fyne.CanvasObject) (label string, is bool) {
	switch b := o.(type) {
	case *prose.Button:
		return b.Text, true
	case *widget.Button:
		return b.Text, true
	}
	return "", false
}

// TypeOver writes into the first line of the dialogue that lies over the window.
func TypeOver(t *testing.T, win fyne.Window, text string) {
	t.Helper()
	if !Seen(win.Canvas().Overlays().Top(), func(o fyne.CanvasObject) bool {
		e, ok := o.(interface {
			SetText(string)
			SetPlaceHolder(string)
		})
		if ok {
			e.SetText(text)
		}
		return ok
	}) {
		t.Fatal("there is nothing to write in")
	}
}

// Key presses a key that writes nothing, Rune one that does.
func Key(win fyne.Window, k fyne.KeyName) {
	if f := win.Canvas().Focused(); f != nil {
		f.TypedKey(&fyne.KeyEvent{Name: k})
		return
	}
	win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: k})
}

// Shortcut is a key with Control, of those that the toolkit knows as a shortcut of its own.
func Shortcut(win fyne.Window, s fyne.Shortcut) {
	if f, is := win.Canvas().Focused().(fyne.Shortcutable); is {
		f.TypedShortcut(s)
		return
	}
	win.Canvas().(fyne.Shortcutable).TypedShortcut(s)
}

// Rune is a key that writes.
func Rune(win fyne.Window, r rune) {
	if f := win.Canvas().Focused(); f != nil {
		f.TypedRune(r)
		return
	}
	win.Canvas().OnTypedRune()(r)
}

// Reads reports whether just this is to be read.
func Reads(win fyne.Window, text string) bool {
	return read(win.Content(), func(s string) bool { return s == text })
}

// Written reports whether these words are to be read, with others or without.
func Written(win fyne.Window, words string) bool {
	return read(win.Content(), func(s string) bool { return strings.Contains(s, words) })
}

// Stands reports whether there is a button with a label.
func Stands(win fyne.Window, label string) bool {
	return Seen(win.Content(), func(o fyne.CanvasObject) bool {
		b, ok := labelled(o)
		return ok && b == label
	})
}

func read(in fyne.CanvasObject, is func(string) bool) bool {
	return Seen(in, func(o fyne.CanvasObject) bool {
		switch x := o.(type) {
		case *canvas.Text:
			return is(x.Text)
		case *widget.Label:
			return is(x.Text)
		case interface{ Says() string }: // running text
			return is(x.Says())
		}
		return false
	})
}

// Seen goes through all that a user sees until one of it is what is sought.
func Seen(o fyne.CanvasObject, is func(fyne.CanvasObject) bool) bool {
	if !o.Visible() {
		return false
	}
	if is(o) {
		return true
	}
	var inside []fyne.CanvasObject
	switch x := o.(type) {
	case *fyne.Container:
		inside = x.Objects
	case fyne.Widget:
		inside = test.WidgetRenderer(x).Objects()
	}
	for _, i := range inside {
		if Seen(i, is) {
			return true
		}
	}
	return false
}

// Find are all of a kind that a user sees.
func Find[T fyne.CanvasObject](win fyne.Window) (all []T) {
	Seen(win.Content(), func(o fyne.CanvasObject) bool {
		if x, is := o.(T); is {
			all = append(all, x)
		}
		return false
	})
	return all
}

// Keep keeps a picture in the folder that ENDPIN_PICTURES names, for whoever wants
// to see it.
func Keep(t *testing.T, win fyne.Window, name string) {
	folder := os.Getenv("ENDPIN_PICTURES")
	if folder == "" {
		return
	}
	f, err := os.Create(filepath.Join(folder, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, win.Canvas().Capture()); err != nil {
		t.Fatal(err)
	}
}
