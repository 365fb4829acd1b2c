package report

import (
	"bytes"
	"regexp"
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
	"endpin/piece/words/pseudo"
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

func TestEveryWordOfAnOutlineStandsInTheCatalogue(t *testing.T) {
	p, out, plan := outlineOf(t, "")
	p.Composer = ""
	defer pseudo.Speak()()
	// What the outline and the plan say for themselves is theirs.
	own := []string{"WHY", "III", "double bass", "half position"}
	out.Division, out.Remarks = "WHY", nil
	for i := range out.Measures {
		m := &out.Measures[i]
		for k := range m.Reasons {
			m.Reasons[k], m.Short[k] = "WHY", "WHY"
		}
	}
	for i := range out.Shifts {
		out.Shifts[i].IfYouShift, out.Shifts[i].Marked = i%3 == 0, i%3 == 1
	}
	plan.Caution, plan.Changed, plan.Minutes = "WHY", []string{"WHY"}, 99
	for i := range plan.Items {
		plan.Items[i].Why = "WHY"
	}
	out.Assumed = true
	for _, how := range []outline.How{outline.EndingDiffers, outline.Transposed, outline.Transposed, outline.Exact} {
		out.Same = append(out.Same, outline.Same{As: [2]string{"1", "2"}, From: [2]string{"3", "3"}, How: how, By: 2*len(out.Same)%5 - 2})
	}
	plain := &outline.Outline{Measures: out.Measures[:1]}
	for _, o := range []*outline.Outline{out, plain} {
		var table, page bytes.Buffer
		require.NoError(t, OutlineTable(&table, p, o, plan, Options{}))
		assert.Empty(t, pseudo.Plain(table.String(), own...))
		for _, l := range strings.Split(table.String(), "\n") {
			assert.LessOrEqual(t, uniseg.StringWidth(l), 100, l)
		}
		require.NoError(t, OutlineHTML(&page, p, o, plan, Options{}))
		text := regexp.MustCompile(`(?s)<style>.*?</style>|<svg.*?</svg>|<[^>]*>`).ReplaceAllString(page.String(), " ")
		assert.Empty(t, pseudo.Plain(text, own...))
	}
	for _, w := range []practice.Work{practice.BowSilently, practice.Echo, practice.WorkUp, practice.PlayAlone, practice.Join, practice.Rest} {
		assert.Empty(t, pseudo.Plain(WorkWords(w)))
		assert.NotContains(t, WorkWords(w), "[")
	}
}
