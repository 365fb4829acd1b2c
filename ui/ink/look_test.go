package ink

import (
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"github.com/stretchr/testify/assert"
)

// contrast is the ratio of two colours, 1 to 21, as WCAG 2.2 reckons it.
func contrast(a, b color.Color) float64 {
	light := func(c color.Color) float64 {
		n := color.NRGBAModel.Convert(c).(color.NRGBA)
		sum := 0.0
		for i, v := range []uint8{n.R, n.G, n.B} {
			x := float64(v) / 255
			if x <= 0.04045 {
				x /= 12.92
			} else {
				x = math.Pow((x+0.055)/1.055, 2.4)
			}
			sum += []float64{0.2126, 0.7152, 0.0722}[i] * x
		}
		return sum + 0.05
	}
	x, y := light(a), light(b)
	return math.Max(x, y) / math.Min(x, y)
}

// The least contrasts are those of WCAG 2.2: 3 to 1 for what shows where the keys go and
// for large words, 4.5 to 1 for others.
func TestWhereTheKeysGoIsSeenAndReadByDayAndNight(t *testing.T) {
	for _, dark := range []bool{false, true} {
		of := func(n fyne.ThemeColorName) color.Color { return Look{Dark: dark}.Color(n, theme.VariantLight) }
		focus, ink, paper := of(theme.ColorNameFocus), of(theme.ColorNameForeground), of(theme.ColorNameBackground)
		for _, other := range []fyne.ThemeColorName{theme.ColorNameBackground, theme.ColorNameButton, theme.ColorNameInputBackground, theme.ColorNamePrimary, theme.ColorNameSuccess} {
			assert.GreaterOrEqual(t, contrast(focus, of(other)), 3.0, "beside %s, dark %v", other, dark)
		}
		assert.GreaterOrEqual(t, contrast(focus, of(theme.ColorNameForegroundOnPrimary)), 3.0, "the large start, dark %v", dark)
		assert.GreaterOrEqual(t, contrast(focus, ink), 4.5, "what is written on it, dark %v", dark)
		for _, c := range []color.Color{ink, Look{Dark: dark}.Colours().Soft, Look{Dark: dark}.Colours().Cursor} {
			assert.GreaterOrEqual(t, contrast(c, paper), 4.5, "what is written on paper, dark %v", dark)
		}
	}
}
