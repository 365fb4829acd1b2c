package ink

import (
	_ "embed"

	"fyne.io/fyne/v2"
)

// Signs that the window writes and the toolkit's font lacks: ♩ − ▸ ♯ and their like.
// Where the system has no font with them they were boxes. signs.py makes them.
var (
	//go:embed signs.ttf
	signsFont []byte
	//go:embed signs-bold.ttf
	boldSignsFont []byte

	signs     = fyne.NewStaticResource("signs.ttf", signsFont)
	boldSigns = fyne.NewStaticResource("signs-bold.ttf", boldSignsFont)
)
