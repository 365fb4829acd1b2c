package prose

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Tight sets an object with half the room about its words, so that the page has it.
//
// Whenever a part with a theme of its own is refreshed, the toolkit forgets how wide every
// word in the window is. So this one is not: what stands in it refreshes itself.
func Tight(o fyne.CanvasObject) fyne.CanvasObject {
	t := &tight{inside: container.NewThemeOverride(o, close{})}
	t.ExtendBaseWidget(t)
	return t
}

type tight struct {
	widget.BaseWidget
	inside *container.ThemeOverride
}

// CreateRenderer implements fyne.Widget.
func (t *tight) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(t.inside) }

// Refresh implements fyne.CanvasObject.
func (t *tight) Refresh() { t.inside.Content.Refresh() }

// close is the look of the window with little room about words.
type close struct{}

func (close) now() fyne.Theme { return fyne.CurrentApp().Settings().Theme() }

// Color implements fyne.Theme.
func (c close) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	return c.now().Color(n, v)
}

// Font implements fyne.Theme.
func (c close) Font(s fyne.TextStyle) fyne.Resource { return c.now().Font(s) }

// Icon implements fyne.Theme.
func (c close) Icon(n fyne.ThemeIconName) fyne.Resource { return c.now().Icon(n) }

// Size implements fyne.Theme.
func (c close) Size(n fyne.ThemeSizeName) float32 {
	if n == theme.SizeNameInnerPadding {
		return c.now().Size(n) / 2
	}
	return c.now().Size(n)
}
