package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// larger is the look of the window with larger text.
type larger struct{ text float32 }

func (l larger) now() fyne.Theme { return fyne.CurrentApp().Settings().Theme() }

// Color implements fyne.Theme.
func (l larger) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	return l.now().Color(n, v)
}

// Font implements fyne.Theme.
func (l larger) Font(s fyne.TextStyle) fyne.Resource { return l.now().Font(s) }

// Icon implements fyne.Theme.
func (l larger) Icon(n fyne.ThemeIconName) fyne.Resource { return l.now().Icon(n) }

// Size implements fyne.Theme.
func (l larger) Size(n fyne.ThemeSizeName) float32 {
	if n == theme.SizeNameText {
		return l.text
	}
	return l.now().Size(n)
}
