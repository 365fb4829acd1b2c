package engraving

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"endpin/piece"
)

// TestLook writes every piece as a person would see it, where LOOK names a
// directory: pictures are judged by eye, in any browser.
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("LOOK names no directory")
	}
	for name, p := range pieces(t) {
		for _, width := range []float64{70, 110, 160} {
			page := Engrave(p, full(p, width))
			f, err := os.Create(filepath.Join(dir, fmt.Sprintf("%s-%.0f.html", name, width)))
			require.NoError(t, err)
			fmt.Fprint(f, "<!doctype html><meta charset=utf-8><body style='margin:0;background:white'>")
			require.NoError(t, page.SVG(f, SVGOptions{ScalePx: 11}))
			require.NoError(t, f.Close())
		}
	}
}

// full asks for all that can stand on a page: every second width all fingers,
// labels and remarks.
func full(p *piece.Piece, width float64) Options {
	o := planned(p, Options{Width: width})
	if width > 100 && width < 120 {
		o.Fingers = AllFingers
	}
	o.Labels = map[int]string{0: "Opening", len(p.Measures) / 2: "Middle"}
	o.Under = map[int][]Remark{}
	for i := range p.Measures {
		switch i % 4 {
		case 1:
			o.Under[i] = []Remark{{"up", "about 20 cents sharp"}}
		case 2:
			o.Under[i] = []Remark{{"right", "late by 140 ms"}, {"", "not sure"}}
		}
	}
	return o
}
