package report_test

import (
	"encoding/xml"
	"html"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/report"
	"endpin/piece/words/pseudo"
)

// drawing is one panel of a page: its elements, read back from the page itself.
type drawing struct{ elements []xml.StartElement }

// drawings reads the panels of a page.
func drawings(t *testing.T, page string) []drawing {
	t.Helper()
	tags, _ := elements(t, page)
	var all []drawing
	for _, e := range tags {
		if e.Name.Local == "svg" && attribute(e, "role") == "img" {
			all = append(all, drawing{})
		}
		if len(all) > 0 {
			all[len(all)-1].elements = append(all[len(all)-1].elements, e)
		}
	}
	return all
}

// of lists the elements of one class.
func (d drawing) of(class string) []xml.StartElement {
	var found []xml.StartElement
	for _, e := range d.elements {
		for _, c := range strings.Fields(attribute(e, "class")) {
			if c == class {
				found = append(found, e)
			}
		}
	}
	return found
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

var numbers = regexp.MustCompile(`-?[\d.]+`)

func path(t *testing.T, e xml.StartElement) []float64 {
	t.Helper()
	var v []float64
	for _, s := range numbers.FindAllString(attribute(e, "d"), -1) {
		v = append(v, number(t, s))
	}
	return v
}

// cents gives the height of a line in cents, by the panel's own ruler: the line
// at 0 and the first one above it.
func (d drawing) cents(t *testing.T, y, ruler float64) float64 {
	t.Helper()
	zero, above := path(t, d.of("zero")[0])[1], path(t, d.of("grid")[0])[1]
	return (zero - y) / (zero - above) * ruler
}

func TestThePictureAgreesWithTheFigures(t *testing.T) {
	p := take(2)
	p.off(1, 30)
	p.off(5, -22)
	d := drawings(t, page(t, p, report.Options{}))
	require.Len(t, d, 1)
	means := d[0].of("mean")
	require.Len(t, means, 8)
	for i, want := range []float64{0, 30, 0, 0, 0, -22, 0, 0} {
		assert.InDelta(t, want, d[0].cents(t, path(t, means[i])[1], 50), 0.5, "note %d", i)
		trace := path(t, d[0].of("trace")[i])
		assert.InDelta(t, want, d[0].cents(t, trace[len(trace)-1], 50), 0.5, "the track of note %d", i)
	}
	// The band is the level's tolerance for one note: 25 cents each way.
	box := d[0].of("box")[0]
	top := number(t, attribute(box, "y"))
	assert.InDelta(t, 25, d[0].cents(t, top, 50), 0.5)
	assert.InDelta(t, -25, d[0].cents(t, top+number(t, attribute(box, "height")), 50), 0.5)
}

// In just intonation the figures are against another pitch, and so is the picture.
func TestThePictureKeepsToTheIntonationAskedFor(t *testing.T) {
	p := take(2)
	p.h.Intonation = "just"
	p.heard.Notes[2].Pitch -= 0.14 // a pure third below equal temperament …
	p.h.Notes[2].Cents = ptr(0.0)  // … is in tune
	p.sing(0)
	d := drawings(t, page(t, p, report.Options{}))[0]
	assert.InDelta(t, 0, d.cents(t, path(t, d.of("mean")[2])[1], 50), 0.5)
}

// A take an octave from where the file has it is drawn where it was heard.
func TestAPartReadInAnotherOctaveIsNotOffThePage(t *testing.T) {
	p := take(2)
	for i := range p.heard.Notes {
		p.heard.Notes[i].Pitch += 12.1
		p.h.Notes[i].Cents = ptr(10.0)
	}
	p.sing(0)
	d := drawings(t, page(t, p, report.Options{}))[0]
	require.Len(t, d.of("mean"), 8)
	assert.InDelta(t, 10, d.cents(t, path(t, d.of("mean")[3])[1], 50), 0.5)
}

func TestALateNoteStandsRightOfItsBeat(t *testing.T) {
	p := take(2)
	*p.h.Notes[2].Onset += 0.25 // a quarter of a beat at ♩ = 60
	*p.h.Notes[2].LateMS = 250
	p.heard.Notes[2].Onset += 0.25
	p.tell(finding.Late, 2, 2, 250, finding.Finding{Short: "250 ms late"})
	d := drawings(t, page(t, p, report.Options{}))[0]
	beats, onsets := path(t, d.of("beat")[0]), path(t, d.of("onset")[0])
	require.Len(t, beats, 3*8)
	require.Len(t, onsets, 3*8)
	beat := beats[3] - beats[0]
	for i := range 8 {
		want := 0.0
		if i == 2 {
			want = 0.25
		}
		assert.InDelta(t, want, (onsets[3*i]-beats[3*i])/beat, 0.01, "note %d", i)
	}
	late := d.of("late")
	require.Len(t, late, 1)
	assert.InDelta(t, 0.25, number(t, attribute(late[0], "width"))/beat, 0.01)
}

// A beat is as wide as any other however long the player makes it: what is late
// is measured by the beat that the player keeps, hereabouts and not on the whole.
func TestAStretchedMeasureHasNoLateNotesInThePicture(t *testing.T) {
	p := take(4)
	for i := range p.h.Notes {
		n, heard := &p.h.Notes[i], &p.heard.Notes[i]
		for _, at := range []*float64{n.Onset, n.Offset, &heard.Onset, &heard.Offset, &heard.SteadyFrom, &heard.SteadyTo} {
			*at = 1 + 1.4*(*at-1)
		}
	}
	p.h.Duration *= 1.4
	p.sing(0)
	d := drawings(t, page(t, p, report.Options{}))[0]
	beats, onsets := path(t, d.of("beat")[0]), path(t, d.of("onset")[0])
	for i := range 8 {
		assert.InDelta(t, beats[3*i], onsets[3*i], 0.2)
		trace := path(t, d.of("trace")[i])
		assert.InDelta(t, 0.95, (trace[len(trace)-2]-beats[3*i])/(beats[3]-beats[0]), 0.02, "note %d sounds for as much of its box", i)
	}
}

func TestAMissingNoteIsAnEmptyBox(t *testing.T) {
	p := take(2)
	n := &p.h.Notes[3]
	n.Onset, n.Offset, n.Cents, n.State, n.Heard = nil, nil, nil, finding.StateMissing, -1
	d := drawings(t, page(t, p, report.Options{}))[0]
	assert.Len(t, d.of("missing"), 1)
	assert.Len(t, d.of("mean"), 7)
}

func TestAFarLandingIsStillOnThePaper(t *testing.T) {
	p := take(4)
	for i := 8; i <= 10; i++ {
		p.off(i, 110)
	}
	p.tell(finding.SharpAfterShift, 8, 10, 110, finding.Finding{Short: "+110 after shift"})
	d := drawings(t, page(t, p, report.Options{}))[1]
	assert.InDelta(t, 110, d.cents(t, path(t, d.of("mean")[0])[1], 100), 1)
	assert.Len(t, d.of("told"), 3, "the notes of the frame are pointed at")
}

// Where the hand is narrow all through, the fourth fingers are pointed at.
func TestANarrowHandShowsAtItsFourthFingers(t *testing.T) {
	p := take(4)
	p.off(6, -55)
	p.off(9, -55)
	p.tell(finding.NarrowHand, 5, 9, -55, finding.Finding{Short: "hand narrow by 55"})
	all := drawings(t, page(t, p, report.Options{}))
	assert.Len(t, all[0].of("told"), 1)
	assert.Len(t, all[1].of("told"), 1)
	assert.InDelta(t, -55, all[0].cents(t, path(t, all[0].of("mean")[6])[1], 100), 1)
}

func TestAHandFrameGoesOnOverTheOpenStringAndTheLine(t *testing.T) {
	d := drawings(t, page(t, take(8), report.Options{}))
	// Notes 1-8 (an open A and D and G among them) in first position, 9-11 in third.
	assert.Len(t, d[0].of("frame"), 1)
	assert.Len(t, d[1].of("frame"), 2)
	assert.NotContains(t, attribute(d[1].of("frame")[1], "d"), "v5", "the last frame goes on in the next panel")
}

var markText = regexp.MustCompile(`<text class="mark" x="([^"]*)" y="([^"]*)" dy="4" text-anchor="([^"]*)">([^<]*)<`)

// Thirty findings on two measures: no words lie over others.
func TestMarksDoNotLieOverEachOther(t *testing.T) {
	t.Run("en", marksLieApart)
	t.Run(pseudo.Tag, func(t *testing.T) {
		defer pseudo.Speak()()
		marksLieApart(t)
	})
}

func marksLieApart(t *testing.T) {
	p := take(2)
	for i := range 30 {
		kind := []finding.Kind{finding.Sharp, finding.SharpAfterShift, finding.WrongNote}[i%3]
		f := finding.Finding{Kind: kind, Value: []float64{30, 28, 2}[i%3]}
		p.tell(kind, i%8, i%8, f.Value, finding.Finding{Short: f.Mark(finding.PlainMark).String()})
	}
	type span struct{ from, to float64 }
	rows := map[string][]span{}
	texts := markText.FindAllStringSubmatch(page(t, p, report.Options{}), -1)
	require.Len(t, texts, 30)
	for _, m := range texts {
		from, width := number(t, m[1]), 6.0*float64(len([]rune(html.UnescapeString(m[4]))))
		if m[3] == "end" {
			from -= width
		}
		rows[m[2]] = append(rows[m[2]], span{from, from + width})
	}
	for y, row := range rows {
		sort.Slice(row, func(a, b int) bool { return row[a].from < row[b].from })
		for i := 1; i < len(row); i++ {
			assert.LessOrEqual(t, row[i-1].to, row[i].from, "row at %s", y)
		}
	}
	assert.Greater(t, len(rows), 5)
}

var drawnText = regexp.MustCompile(`<text(?: class="(\w+)")? x="([^"]*)"([^>]*)>([^<]*)<`)

// What stands in a picture ends before its edges, in a language with longer words, too.
func TestNoWordRunsOffAPicture(t *testing.T) {
	inside := func(t *testing.T) {
		sizes := map[string]float64{"n": 12, "t": 9.5, "u": 9.5, "mark": 11}
		right := map[string]float64{page(t, inPseudo(), report.Options{}): 420, diaryPage(t, aMonth("Ada")): 470}
		for drawn, edge := range right {
			texts := drawnText.FindAllStringSubmatch(drawn, -1)
			require.Greater(t, len(texts), 40)
			for _, m := range texts {
				size, x := sizes[m[1]], number(t, m[2])
				if size == 0 {
					size = 10
				}
				width := 0.55 * size * float64(len([]rune(html.UnescapeString(m[4]))))
				if at := strings.Index(m[3], `textLength="`); at >= 0 {
					width = number(t, m[3][at+12:at+12+strings.IndexByte(m[3][at+12:], '"')])
				}
				switch {
				case m[1] == "out":
					x -= width / 2
				case m[1] == "u" && edge == 470: // the axis of weeks stands a little left of its line
					x -= width + 4
				case m[1] == "u" || strings.Contains(m[3], `text-anchor="end"`):
					x -= width
				}
				assert.GreaterOrEqual(t, x, -0.1, m[0])
				assert.LessOrEqual(t, x+width, edge+0.1, m[0])
			}
		}
	}
	t.Run("en", inside)
	t.Run(pseudo.Tag, func(t *testing.T) {
		defer pseudo.Speak()()
		inside(t)
	})
}

func TestTheTrackIsThinnedWithoutShowing(t *testing.T) {
	p := take(2)
	p.sing(25)
	d := drawings(t, page(t, p, report.Options{}))[0]
	for i, e := range d.of("trace") {
		v := path(t, e)
		highest, lowest := math.Inf(-1), math.Inf(1)
		for k := 1; k < len(v); k += 2 {
			c := d.cents(t, v[k], 50)
			highest, lowest = math.Max(highest, c), math.Min(lowest, c)
		}
		assert.InDelta(t, 25, highest, 2.5, "note %d", i)
		assert.InDelta(t, -25, lowest, 2.5, "note %d", i)
	}
	p.bend(func(at float64) float64 { return 6 * math.Sin(2*math.Pi*0.5*(at-1)) })
	d = drawings(t, page(t, p, report.Options{}))[0]
	half := path(t, d.of("trace")[0]) // the first note lasts for half a wave
	assert.Greater(t, len(half), 10)
	for k := 0; k < len(half); k += 2 {
		at := (half[k] - path(t, d.of("beat")[0])[0]) / (path(t, d.of("beat")[0])[3] - path(t, d.of("beat")[0])[0])
		assert.InDelta(t, 6*math.Sin(math.Pi*at), d.cents(t, half[k+1], 50), 0.5)
	}
	p.sing(0)
	d = drawings(t, page(t, p, report.Options{}))[0]
	for _, e := range d.of("trace") {
		assert.Len(t, path(t, e), 4, "a steady note is two points")
	}
}

func TestWithoutPitchTheLineIsBroken(t *testing.T) {
	p := take(2)
	for i := range p.heard.Frames {
		f := &p.heard.Frames[i]
		if f.Time > 1.4 && f.Time < 1.6 {
			*f = dsp.Frame{Time: f.Time, Aperiodicity: 1}
		}
	}
	d := drawings(t, page(t, p, report.Options{}))[0]
	assert.Equal(t, 2, strings.Count(attribute(d.of("trace")[0], "d"), "M"))
	assert.Equal(t, 1, strings.Count(attribute(d.of("trace")[1], "d"), "M"))
}
