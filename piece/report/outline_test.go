package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/outline"
	"endpin/piece/practice"
)

func TestTheTableOfAnOutlineFitsIntoAHundredColumns(t *testing.T) {
	p, out, plan := outlineOf(t, strings.Repeat("A very long title ", 20))
	var b bytes.Buffer
	require.NoError(t, OutlineTable(&b, p, out, plan, Options{}))
	for _, l := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, uniseg.StringWidth(l), 100, l)
	}
	assert.Contains(t, b.String(), "I to III")
}

func TestWhatAFileCallsItselfIsTextOnThePage(t *testing.T) {
	p, out, plan := outlineOf(t, `<script>alert(1)</script>&"'`)
	out.Measures[4].Number = "<i>5"
	var b bytes.Buffer
	require.NoError(t, OutlineHTML(&b, p, out, plan, Options{}))
	assert.False(t, strings.Contains(b.String(), "<script"))
	assert.False(t, strings.Contains(b.String(), "<i>5"))
	assert.True(t, strings.Contains(b.String(), "&lt;script&gt;"))
}

func TestUnderAHardMeasureStandWordsAndNoNumber(t *testing.T) {
	p, out, plan := outlineOf(t, "Words")
	var b bytes.Buffer
	require.NoError(t, OutlineHTML(&b, p, out, plan, Options{}))
	assert.True(t, strings.Contains(b.String(), "shift to III"))
	for _, m := range out.Measures {
		assert.Len(t, m.Short, len(m.Reasons))
		for _, s := range m.Short {
			assert.LessOrEqual(t, len(strings.Fields(s)), 5, s)
			assert.NotEmpty(t, s)
		}
	}
}

func outlineOf(t *testing.T, title string) (*piece.Piece, *outline.Outline, practice.Plan) {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	p.Title = title
	out, err := outline.Of(p, outline.Options{})
	require.NoError(t, err)
	return p, out, practice.For(out, practice.Options{})
}
