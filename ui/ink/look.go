package ink

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// Colours are what the desk is drawn in.
type Colours struct {
	Paper, Ink, Soft color.NRGBA
	Raised           color.NRGBA // the ground of what can be pressed
	Chosen, Cursor   color.NRGBA // the row chosen, and the accent: where the beat is, what is chosen on the page
}

// Look is the desk's theme: paper and ink, by day or by night. What matters is
// told by form and words; there is one accent, and no meaning hangs on it.
type Look struct{ Dark bool }

func hex(rgb uint32) color.NRGBA {
	return color.NRGBA{uint8(rgb >> 16), uint8(rgb >> 8), uint8(rgb), 255}
}

// Colours are those of the paper, of what is written on it, and of the accent.
func (l Look) Colours() Colours {
	if l.Dark {
		return Colours{Raised: hex(0x23272c), Paper: hex(0x15171a), Ink: hex(0xf6f3ec), Soft: hex(0xa09c93), Chosen: hex(0x33302a), Cursor: hex(0xe0ac62)}
	}
	return Colours{Raised: hex(0xf1ede4), Paper: hex(0xfbf9f4), Ink: hex(0x17181a), Soft: hex(0x6d6a63), Chosen: hex(0xeadfc9), Cursor: hex(0x8f4a12)}
}

// of gives what it is by day, or by night.
func (l Look) of(day, night uint32) color.NRGBA {
	if l.Dark {
		return hex(night)
	}
	return hex(day)
}

// Color implements fyne.Theme.
func (l Look) Color(name fyne.ThemeColorName, _ fyne.ThemeVariant) color.Color {
	c := l.Colours()
	variant := theme.VariantLight
	if l.Dark {
		variant = theme.VariantDark
	}
	switch name {
	case theme.ColorNameBackground, theme.ColorNameOverlayBackground, theme.ColorNameMenuBackground:
		return c.Paper
	case theme.ColorNameForeground:
		return c.Ink
	case theme.ColorNamePrimary:
		return l.of(0x4a260c, 0xf3d9ae)
	case theme.ColorNameFocus: // a ground on which is read what it stands under, and that is seen beside all others
		return l.of(0xb07a28, 0x8f6731)
	case theme.ColorNameButton:
		return l.of(0xf1ede4, 0x20242a)
	case theme.ColorNameInputBackground:
		return l.of(0xf1ede4, 0x1d2024)
	case theme.ColorNameSelection:
		return c.Chosen
	case theme.ColorNameInputBorder: // what may be filled in or ticked is seen by its edge
		return Mixed(c.Paper, c.Soft, 0.75)
	case theme.ColorNameSeparator:
		return l.of(0xd3cec2, 0x3a3f47)
	case theme.ColorNameShadow: // of what lies over the page, and where it scrolls on
		c.Soft.A = 48
		return c.Soft
	case theme.ColorNameSuccess: // what is chosen of a row
		return l.of(0x3c3a36, 0xd8d3c8)
	case theme.ColorNameForegroundOnPrimary, theme.ColorNameForegroundOnSuccess:
		return c.Paper
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled:
		return c.Soft
	}
	return theme.DefaultTheme().Color(name, variant)
}

// Font implements fyne.Theme. The toolkit looks for what this font lacks, which is every
// letter, in its own of that style, and only then among the system's.
func (Look) Font(s fyne.TextStyle) fyne.Resource {
	switch {
	case s.Symbol || s.Monospace:
		return theme.DefaultTheme().Font(s)
	case s.Bold:
		return boldSigns
	}
	return signs
}

// Icon implements fyne.Theme.
func (Look) Icon(n fyne.ThemeIconName) fyne.Resource { return theme.DefaultTheme().Icon(n) }

// Size implements fyne.Theme: large enough for somebody who stands.
func (Look) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case theme.SizeNameText:
		return 17
	case theme.SizeNameInnerPadding:
		return 10
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 4
	}
	return theme.DefaultTheme().Size(n)
}

// Foot is the size of the small lines under a screen. Text is given whole pixels,
// and at 15 what hangs under the line falls outside them.
const Foot = 16
