package prose

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// Larger is the look of the window with larger text.
type Larger struct{ Text float32 }

func (l Larger) now() fyne.Theme { return fyne.CurrentApp().Settings().Theme() }

// Color implements fyne.Theme.
func (l Larger) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	return l.now().Color(n, v)
}

// Font implements fyne.Theme.
func (l Larger) Font(s fyne.TextStyle) fyne.Resource { return l.now().Font(s) }

// Icon implements fyne.Theme.
func (l Larger) Icon(n fyne.ThemeIconName) fyne.Resource { return l.now().Icon(n) }

// Size implements fyne.Theme.
func (l Larger) Size(n fyne.ThemeSizeName) float32 {
	if n == theme.SizeNameText {
		return l.Text
	}
	return l.now().Size(n)
}
