package page

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/ui/ink"
	"endpin/ui/mark"
)

func paint(rgb uint32) color.NRGBA {
	return color.NRGBA{uint8(rgb >> 16), uint8(rgb >> 8), uint8(rgb), 255}
}

var (
	day   = ink.Colours{Raised: paint(0xf1ede4), Paper: paint(0xfbf9f4), Ink: paint(0x17181a), Soft: paint(0x6d6a63), Chosen: paint(0xeadfc9), Cursor: paint(0x8f4a12)}
	night = ink.Colours{Raised: paint(0x23272c), Paper: paint(0x15171a), Ink: paint(0xf6f3ec), Soft: paint(0xa09c93), Chosen: paint(0x33302a), Cursor: paint(0xe0ac62)}
)

// tune is so many measures of our own, of quarters, eighths and halves, with what
// a page may hold: accidentals, slurs, rests, repeats.
func tune(measures int) string {
	figures := []string{"E,2 G,2 A,2 B,2", "C4 B,2 A,2", "D2 E2 F2 ^F2", "(G2 F2) E2 z2", "E,E, F,F, G,G, A,A,", "B,3 C D2 C2", "(A,4 G,4)", "E8"}
	var b strings.Builder
	b.WriteString("X:1\nT:Slow boats in F♯ and B♭\nM:4/4\nL:1/8\nQ:1/4=76\nK:C clef=bass octave=-1\n")
	for m := range measures {
		if m%16 == 8 {
			b.WriteString("|: ")
		}
		b.WriteString(figures[(m*5+m/8)%len(figures)])
		switch {
		case m%16 == 11:
			b.WriteString(" :|\n")
		case m%4 == 3:
			b.WriteString(" |\n")
		default:
			b.WriteString(" | ")
		}
	}
	return b.String()
}

func read(t testing.TB, abc string) *piece.Piece {
	t.Helper()
	p, err := notation.Read("tune.abc", []byte(abc))
	require.NoError(t, err)
	return p
}

// shown is a view of a piece in a window of the test driver.
func shown(t testing.TB, p *piece.Piece, width, height, space float32, c ink.Colours) (*View, fyne.Window) {
	t.Helper()
	test.NewTempApp(t)
	line, _ := p.Line()
	plan := fingerboard.DoubleBass().Finger(line, fingerboard.Options{QPM: 76})
	v := New(p, line, &plan, space, c)
	w := test.NewTempWindow(t, container.NewStack(canvas.NewRectangle(c.Paper), v))
	w.SetPadded(false)
	w.Resize(fyne.NewSize(width, height))
	return v, w
}

func TestTheCursorStandsBehindTheNoteThatIsToSound(t *testing.T) {
	p := read(t, tune(8))
	v, _ := shown(t, p, 1280, 500, 12.5, day)
	for _, sys := range v.page.Systems {
		for _, a := range sys.Notes {
			m := &p.Measures[a.Measure]
			v.SetCursor(a.Measure, float64(m.Notes[a.Note].Start)/float64(m.Length))
			middle := v.sheet.cursor.Position().X + v.sheet.cursor.Size().Width/2
			assert.InDelta(t, v.units(margin+a.X), middle, 0.1, "measure %s, note %d", m.Number, a.Note)
			assert.True(t, v.sheet.cursor.Visible())
		}
	}
	v.SetCursor(-1, 0)
	assert.False(t, v.sheet.cursor.Visible())
}

func TestTheCursorGoesOnlyForward(t *testing.T) {
	v, _ := shown(t, read(t, tune(4)), 1280, 500, 12.5, day)
	before := float32(-1)
	for k := range 40 {
		v.SetCursor(1, float64(k)/40)
		require.GreaterOrEqual(t, v.sheet.cursor.Position().X, before)
		before = v.sheet.cursor.Position().X
	}
	_, b := v.find(1)
	assert.Less(t, before, v.units(margin+b.X+b.Width), "it stays within its measure")
}

func TestWhatSoundsStandsUnderItsNoteAndGoesWithIt(t *testing.T) {
	v, _ := shown(t, read(t, tune(8)), 1280, 500, 12.5, day)
	v.SetHeard(Heard{Measure: 2, Note: 1, Cents: 28})
	require.True(t, v.sheet.now.Visible())
	i, _ := v.find(2)
	for _, a := range v.page.Systems[i].Notes {
		if a.Measure == 2 && a.Note == 1 {
			assert.InDelta(t, v.units(margin+a.X), v.sheet.now.Position().X, float64(v.space))
		}
	}
	first := v.sheet.now.Image
	v.SetHeard(Heard{Measure: 2, Note: 1, Cents: 28})
	assert.Same(t, first, v.sheet.now.Image, "the same is not drawn twice")
	v.SetHeard(Heard{Measure: 2, Note: 2})
	assert.False(t, v.sheet.now.Visible())
}

func TestWhatSoundsDoesNotStandOverWhatWasFound(t *testing.T) {
	v, _ := shown(t, read(t, tune(8)), 1280, 500, 12.5, day)
	v.SetHeard(Heard{Measure: 2, Note: 1, Cents: -31})
	free := v.sheet.now.Position().Y
	v.SetMarks(map[int][]mark.Mark{2: {{Measure: 2, Kind: finding.Sharp, Text: "+30"}}})
	v.SetHeard(Heard{Measure: 2, Note: 1, Cents: -32})
	assert.InDelta(t, free+v.units(markLine), v.sheet.now.Position().Y, 0.1)
}

func TestEveryMeasureTellsItsFirstMarkHoweverNarrow(t *testing.T) {
	all := []mark.Mark{{Kind: finding.SharpAfterShift, Text: "+28 after shift", Brief: "+28"}, {Kind: finding.Late, Text: "140 ms late", Brief: "140 ms"},
		{Kind: finding.HeldShort, Text: "held 60 %", Brief: "held 60 %"}, {Kind: finding.Flat, Text: "−31", Brief: "−31"}}
	for _, w := range []float64{8, 12, 30} {
		for n := 1; n <= len(all); n++ {
			out, more := set(all[:n], w)
			require.NotEmpty(t, out, "%d marks in %g spaces", n, w)
			assert.Equal(t, n, len(out)+more)
			assert.LessOrEqual(t, lines(all[:n], w), markLines)
			assert.Contains(t, out[0].lines[0], "+28")
		}
	}
}

func TestOnlyTheSystemWithAnotherMarkIsDrawnAnew(t *testing.T) {
	v, _ := shown(t, read(t, tune(24)), 1280, 900, 9, day)
	before := map[int]*picture{}
	for i, img := range v.sheet.pictures {
		before[i] = img
	}
	require.Greater(t, len(before), 1)
	v.SetCursor(0, 0.5)
	v.SetMarks(map[int][]mark.Mark{0: {{Kind: finding.Late, Text: "120 ms late"}}})
	for i, img := range before {
		if i == 0 {
			assert.NotSame(t, img, v.sheet.pictures[i])
		} else {
			assert.Same(t, img, v.sheet.pictures[i], "system %d", i)
		}
	}
}

// What is painted costs by its size, each time that a cursor moves.
func TestAPictureHoldsNoEmptyRowsAndItsStaffStandsWhereItStood(t *testing.T) {
	v, _ := shown(t, read(t, tune(24)), 1280, 900, 10, day)
	for i, img := range v.sheet.pictures {
		sys, inked := v.page.Systems[i], img.Image.Image.(*image.RGBA)
		rows, wide := inked.Rect.Dy(), inked.Stride
		assert.Less(t, float32(rows), 0.75*v.units(sys.Height), "system %d", i)
		for _, row := range []int{0, rows - 1} {
			assert.True(t, slices.ContainsFunc(inked.Pix[row*wide:(row+1)*wide], func(b byte) bool { return b > 0 }), "system %d, row %d", i, row)
		}
		x, y := int(v.units(margin+1)), int(v.units(sys.StaffTop-sys.Top)-img.down+0.5)
		assert.Equal(t, uint8(255), max(inked.RGBAAt(x, y-1).A, inked.RGBAAt(x, y).A), "system %d: its first line", i)
	}
}

func TestALongPieceKeepsOnlyThePicturesAboutWhatIsSeen(t *testing.T) {
	v, _ := shown(t, read(t, tune(400)), 1280, 700, 12.5, day)
	most := 0
	for y := float32(0); y < v.sheet.MinSize().Height; y += 400 {
		v.scroll.Offset.Y = y
		v.sheet.Refresh()
		most = max(most, len(v.sheet.pictures))
	}
	assert.Less(t, most, 20, "of %d systems", len(v.page.Systems))
}

// BenchmarkScroll goes through four hundred measures, twenty units at a time, as a
// wheel does; what is drawn is what has come into sight.
func BenchmarkScroll(b *testing.B) {
	v, _ := shown(b, read(b, tune(400)), 1280, 700, 12.5, day)
	b.ResetTimer()
	y := float32(0)
	for i := 0; i < b.N; i++ {
		if y += 20; y > v.sheet.MinSize().Height-700 {
			y = 0
		}
		v.scroll.Offset.Y = y
		v.sheet.Refresh()
	}
}

// BenchmarkSystem draws one line of music.
func BenchmarkSystem(b *testing.B) {
	v, _ := shown(b, read(b, tune(24)), 1280, 700, 12.5, day)
	for i := 0; i < b.N; i++ {
		v.picture(i % len(v.page.Systems))
	}
}

// BenchmarkCursor moves the cursor and changes what sounds.
func BenchmarkCursor(b *testing.B) {
	v, _ := shown(b, read(b, tune(24)), 1280, 700, 12.5, day)
	for i := 0; i < b.N; i++ {
		v.SetCursor(i/8%8, float64(i%8)/8)
		v.SetHeard(Heard{Measure: i / 8 % 8, Note: 0, Cents: float64(20 + i%8)})
	}
}

// TestLook draws pages to be judged by eye: LOOK=folder go test -run TestLook ./ui/page
func TestEveryMeasureThatAFindingNamesIsMarked(t *testing.T) {
	measures := make([]piece.Measure, 8)
	for i := range measures {
		measures[i].Number = fmt.Sprint(i + 1)
	}
	f := func(from, to string, k finding.Kind) finding.Finding {
		return finding.Finding{Measure: from, ToMeasure: to, Kind: k, Value: 31, Trust: dsp.Sure}
	}
	all := []finding.Finding{
		f("2", "4", finding.SharpAfterShift),
		f("8", "1", finding.FlatAfterShift), // over a repeat's sign
		f("3", "6", finding.Restarted),
		f("1", "8", finding.Tempo),
		f("x", "x", finding.Late), // of no measure here
	}
	marks := mark.ByMeasure(all, measures, func(i int) bool { return i == 1 })
	where := map[finding.Kind][]int{}
	for m := range measures {
		for _, k := range marks[m] {
			where[k.Kind] = append(where[k.Kind], m+1)
			assert.Equal(t, m, k.Measure)
			assert.Equal(t, k.Kind == finding.FlatAfterShift, k.Aside)
		}
	}
	assert.Equal(t, map[finding.Kind][]int{finding.SharpAfterShift: {2, 3, 4}, finding.FlatAfterShift: {1, 8}, finding.Restarted: {3}}, where)
	assert.False(t, marks[1][0].GoesOn)
	out, _ := set(marks[2], 20)
	assert.Equal(t, []string{"… +31 cents"}, out[0].lines, "it goes on")
}

func TestInALowWindowThePageIsSmallerSoThatNotesAndMarksAreSeen(t *testing.T) {
	v, w := shown(t, read(t, tune(24)), 1280, 600, 22, day)
	assert.EqualValues(t, 22, v.space)
	w.Resize(fyne.NewSize(1280, 190))
	assert.EqualValues(t, 12, v.space)
	v.SetMarks(map[int][]mark.Mark{20: {{Kind: finding.Late, Text: "140 ms late"}, {Kind: finding.Flat, Text: "−31"}}})
	v.Bring(20)
	i, _ := v.find(20)
	s := v.page.Systems[i]
	y, high := v.scroll.Offset.Y, v.scroll.Size().Height
	assert.LessOrEqual(t, y, v.units(s.StaffTop-1), "the staff is in sight")
	assert.GreaterOrEqual(t, y+high, v.units(s.Top+s.Height-markLine), "and both marks")
	w.Resize(fyne.NewSize(1280, 600))
	assert.EqualValues(t, 22, v.space, "and large again")
}

func TestWhereThePageGetsNarrowerTheSameMeasureIsRead(t *testing.T) {
	v, w := shown(t, read(t, tune(48)), 1280, 400, 12, day)
	seen := func(measure int) bool {
		i, _ := v.find(measure)
		s := v.page.Systems[i]
		return v.units(s.StaffTop) >= v.scroll.Offset.Y && v.units(s.StaffTop+4) <= v.scroll.Offset.Y+v.scroll.Size().Height
	}
	for _, measure := range []int{20, 44, 3} {
		v.Bring(measure)
		for _, width := range []float32{520, 1280, 700} {
			w.Resize(fyne.NewSize(width, 400))
			assert.True(t, seen(measure), "measure %d, %.0f wide", measure+1, width)
		}
	}
}

func TestWhereThePageGetsLowerTheRowOfRoundsIsSeen(t *testing.T) {
	v, w := shown(t, read(t, tune(24)), 1280, 400, 12, day)
	v.SetRounds(12, []Round{{Off: 2}, {Off: -2}, {Clean: true}})
	v.Bring(12)
	seen := func(with string) {
		t.Helper()
		i, _ := v.find(12)
		s := v.page.Systems[i]
		top, low := v.scroll.Offset.Y, v.scroll.Offset.Y+v.scroll.Size().Height
		assert.GreaterOrEqual(t, low+1, v.units(s.Top+s.Height-v.room()+markRoom/2+bandHalf), with)
		assert.LessOrEqual(t, top, v.units(s.StaffTop-1), with)
	}
	for _, high := range []float32{400, 240, 212, 190} {
		w.Resize(fyne.NewSize(1280, high))
		seen("lower")
		v.SetWhole([]mark.Mark{{Kind: finding.Tuning, Text: "tuning +40 cents"}})
		seen("and something stands over it")
		v.SetWhole(nil)
	}
	w.Resize(fyne.NewSize(1280, 900)) // in which it is seen far below the first
	v.Scroll(-10)
	v.Bring(12)
	require.Zero(t, v.scroll.Offset.Y)
	w.Resize(fyne.NewSize(1280, 212))
	seen("much lower")
}

func TestWhatConcernsTheWholeTakeStandsOverThePage(t *testing.T) {
	v, w := shown(t, read(t, tune(24)), 900, 400, 12, day)
	all := []finding.Finding{
		{Kind: finding.Tuning, Measure: "1", ToMeasure: "24", Value: 40, Trust: dsp.Sure},
		{Kind: finding.Late, Measure: "3", ToMeasure: "3", Value: 200, Trust: dsp.Sure},
		{Kind: finding.Tempo, Measure: "1", ToMeasure: "24", Value: 63, Trust: dsp.Fair},
	}
	v.SetWhole(mark.OfTake(all, func(i int) bool { return i == 2 }))
	says := func() (lines []string) {
		for _, o := range test.LaidOutObjects(w.Content()) {
			if x, is := o.(*canvas.Text); is && x.Visible() {
				lines = append(lines, x.Text)
			}
		}
		return lines
	}
	assert.Equal(t, []string{"The whole take: tuning +40 cents", "The whole take: ♩ = 63"}, says())
	assert.Empty(t, mark.ByMeasure(all, v.piece.Measures, nil)[0], "and under no measure")
	v.Scroll(2)
	assert.Greater(t, v.scroll.Position().Y, float32(30), "whatever is read under it")
	tapped := false
	v.Whole = func() { tapped = true }
	test.Tap(v.over)
	assert.True(t, tapped)
	v.SetWhole(nil)
	assert.Empty(t, says())
	assert.Zero(t, v.scroll.Position().Y, "and the page has its room again")
}

func TestWhatCanBePressedStandsOnAGroundOfItsOwn(t *testing.T) {
	v, _ := shown(t, read(t, tune(24)), 900, 400, 12, day)
	grounds := func() (n int) {
		for _, o := range test.WidgetRenderer(v.sheet).Objects() {
			if g, is := o.(*canvas.Rectangle); is && g.FillColor == day.Raised {
				n++
			}
		}
		return n
	}
	assert.Zero(t, grounds())
	v.SetMarks(map[int][]mark.Mark{1: {{Kind: finding.Late, Text: "140 ms late"}}})
	assert.Equal(t, 1, grounds())
	_, b := v.find(0)
	over := fyne.NewPos(v.units(b.X+margin+1), v.units(v.page.Systems[0].StaffTop+2))
	v.sheet.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: over}})
	assert.Equal(t, 2, grounds(), "as the measure under the mouse does")
	v.sheet.MouseOut()
	assert.Equal(t, 1, grounds())
}

func TestLook(t *testing.T) {
	folder := os.Getenv("LOOK")
	if folder == "" {
		t.Skip("LOOK names no folder")
	}
	shorts := []mark.Mark{
		{Kind: finding.SharpAfterShift, Text: "+28 after shift"}, {Kind: finding.Late, Text: "140 ms late"}, {Kind: finding.Flat, Text: "−31", Fair: true},
		{Kind: finding.WrongNote, Text: "2 semitones too high"}, {Kind: finding.HeldShort, Text: "held 60 %"}, {Kind: finding.Missing, Text: "not heard"},
		{Kind: finding.NarrowHand, Text: "hand narrow by 24"}, {Kind: finding.WrongRhythm, Text: "rhythm, by 0.5 beat"}, {Kind: finding.Extra, Text: "one note too many", Fair: true},
	}
	for _, size := range []fyne.Size{{Width: 1280, Height: 560}, {Width: 1920, Height: 830}} {
		for k, space := range []float32{9, 12.5, 22} {
			for name, c := range map[string]ink.Colours{"day": day, "night": night} {
				if k != 1 && name == "night" {
					continue
				}
				for _, n := range []int{3, 24} {
					v, w := shown(t, read(t, tune(n)), size.Width, size.Height, space, c)
					marks := map[int][]mark.Mark{}
					for m := range min(n, 24) {
						for j := range []int{0, 1, 0, 2, 3, 1, 0, 4}[m%8] {
							marks[m] = append(marks[m], shorts[(m*3+j)%len(shorts)])
						}
					}
					v.SetRange(1, 1)
					v.SetMarks(marks)
					v.SetCursor(2, 0.25)
					v.SetHeard(Heard{Measure: 2, Note: 1, Cents: 24})
					f, err := os.Create(filepath.Join(folder, fmt.Sprintf("page-%d-%g-%s-%d.png", n, space, name, int(size.Width))))
					require.NoError(t, err)
					require.NoError(t, png.Encode(f, w.Canvas().Capture()))
					require.NoError(t, f.Close())
				}
			}
		}
	}
}
