package report_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/report"
)

func page(t *testing.T, p *played, o report.Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.HTML(&b, p.piece, p.line, p.h, p.heard, o))
	return b.String()
}

// elements reads a page as XML, which every tag left open and every bare "<" or
// "&" breaks, and gives its start tags and its text.
func elements(t *testing.T, page string) (tags []xml.StartElement, text string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	var b strings.Builder
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return tags, b.String()
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			tags = append(tags, token.Copy())
		case xml.CharData:
			b.Write(token)
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func TestThePageIsWellFormedAndTellsAllThatStoodOut(t *testing.T) {
	p := lesson()
	_, text := elements(t, page(t, p, report.Options{Player: "Ada", Date: "3 March"}))
	for _, want := range []string{"Two Quays, Endpin", "Ada", "3 March", "tuesday.wav", "Worth fixing first", "The whole take:",
		"Measures 2, 16: nothing else to mend.", "Stop if it hurts", "your teacher’s ear decides"} {
		assert.Contains(t, text, want)
	}
	for i := range p.h.Findings {
		f := &p.h.Findings[i]
		assert.Contains(t, text, f.Text)
		if f.Said.Zero() { // read from a file
			assert.Contains(t, text, f.Short)
		} else {
			assert.Contains(t, text, f.Mark(finding.FullMark).String())
		}
	}
	assert.Contains(t, text, "−12 cents", "on paper a minus is one")
	assert.NotContains(t, text, "-12 cents")
	assert.Contains(t, text, "measured +28 cents · spread 4 cents · tolerance 18 cents · from 3 notes · at 0:09 in the recording")
}

func TestWhatIsToldOnceOfSeveralPlacesIsMarkedAtEach(t *testing.T) {
	p := take(8)
	p.h.Findings = []finding.Finding{{Kind: finding.Paused, Measure: "2", ToMeasure: "7", Pass: 1, Beat: 1, Value: 0.9, Trust: dsp.Sure, Notes: 3, First: 4, Last: 25,
		Text: "You stopped to wait 3 times.", Short: "waited 0.9 s", Places: []finding.Place{{Measure: "5", Pass: 1, Beat: 1}, {Measure: "7", Pass: 1, Beat: 1}}}}
	_, text := elements(t, page(t, p, report.Options{}))
	assert.Contains(t, text, "Measures 1, 3–4, 6, 8: nothing to mend.")
	assert.NotContains(t, text, "…", "it does not go on from one to the next")
	var b bytes.Buffer
	require.NoError(t, report.Table(&b, p.piece, p.h, report.Options{}))
	assert.Contains(t, b.String(), "waited 3 times")
}

func TestAMannerAndAPaceThatChangesAllAlongAreToldOfTheWholeTake(t *testing.T) {
	p := take(8)
	p.h.Findings = []finding.Finding{
		{Kind: finding.HeldShort, Measure: "1", ToMeasure: "8", Pass: 1, Beat: 1, Value: 0.52, Tolerance: 0.7, Trust: dsp.Sure, Notes: 30, First: 0, Last: 29, Text: "Short."},
		{Kind: finding.Tempo, Measure: "1", ToMeasure: "8", Pass: 1, Beat: 1, Value: 53, FromQPM: 60, ToQPM: 47, Tolerance: 5, Trust: dsp.Sure, Notes: 30, First: 0, Last: 29, Text: "Slower."}}
	var b bytes.Buffer
	require.NoError(t, report.Table(&b, p.piece, p.h, report.Options{}))
	assert.Regexp(t, `1-8 +held short all through: 30 notes +52 % of their length +sure`, b.String())
	assert.Regexp(t, `1-8 +tempo: slower and slower +♩ = 60 to 47 +sure`, b.String())
}

func TestATakeWithoutFindingsHasAPageThatSaysSo(t *testing.T) {
	_, text := elements(t, page(t, take(4), report.Options{}))
	assert.Contains(t, text, "Heard: 15 notes in 4 measures.")
	assert.NotContains(t, text, "Everything that stood out")
	assert.NotContains(t, text, "Worth fixing first")
}

func TestNamesStandOnThePageAsText(t *testing.T) {
	nasty := `</title></style><script>alert("x")</script>&amp; ' "<svg onload='x'>`
	p := lesson()
	p.piece.Title, p.piece.Composer, p.h.Recording = nasty, nasty, nasty
	p.h.Remarks = []string{nasty}
	p.piece.Measures[2].Number = nasty
	p.h.Intonation = nasty
	for i := range p.h.Findings {
		f := &p.h.Findings[i]
		f.Text, f.Short, f.Trust = nasty, nasty, dsp.Trust(nasty)
	}
	for i := range p.h.Notes {
		p.h.Notes[i].Finger, p.h.Notes[i].Position = nasty, nasty
	}
	q := &played{piece: p.piece, h: p.h, heard: p.heard}
	q.line, _ = p.piece.Line()
	out := page(t, q, report.Options{Player: nasty, Date: nasty})
	tags, text := elements(t, out)
	assert.GreaterOrEqual(t, strings.Count(text, nasty), 10)
	for _, e := range tags {
		assert.NotEqual(t, "script", e.Name.Local)
		for _, a := range e.Attr {
			assert.False(t, strings.HasPrefix(a.Name.Local, "on"), "%s on %s", a.Name.Local, e.Name.Local)
		}
	}
}

func TestThePageNeedsNothingButItself(t *testing.T) {
	out := page(t, lesson(), report.Options{})
	for _, elsewhere := range []string{"http:", "https:", "//", "@import", "@font-face", "src=", "<script", "<link", "<img", "<iframe", "data:", "javascript:"} {
		assert.NotContains(t, strings.ToLower(out), elsewhere)
	}
	for _, url := range regexp.MustCompile(`url\(([^)]*)\)`).FindAllStringSubmatch(out, -1) {
		assert.True(t, strings.HasPrefix(url[1], "#"), url[0])
	}
	tags, _ := elements(t, out)
	ids, links := map[string]int{}, 0
	for _, e := range tags {
		if id := attribute(e, "id"); id != "" {
			ids[id]++
		}
	}
	for id, n := range ids {
		assert.Equal(t, 1, n, "id %s stands once", id)
	}
	for _, e := range tags {
		if href := attribute(e, "href"); href != "" {
			links++
			assert.NotZero(t, ids[strings.TrimPrefix(href, "#")], "%s leads somewhere", href)
		}
	}
	assert.Greater(t, links, 30)
}

func TestEveryKindHasItsShape(t *testing.T) {
	out := page(t, lesson(), report.Options{})
	used := map[string]bool{}
	tags, _ := elements(t, out)
	for _, e := range tags {
		if e.Name.Local == "use" {
			used[attribute(e, "href")] = true
		}
	}
	for _, shape := range []string{"up", "right", "left", "rhythm", "diamond", "ring", "short", "long", "plus", "back", "narrow", "tempo", "fork", "unsure"} {
		assert.True(t, used["#"+shape], shape)
	}
	for _, colour := range regexp.MustCompile(`#[0-9a-f]{6}\b`).FindAllString(out, -1) {
		var r, g, b int
		_, err := fmt.Sscanf(colour, "#%02x%02x%02x", &r, &g, &b)
		require.NoError(t, err)
		assert.False(t, r > g+40 && r > b+40, "%s is red", colour)
		assert.False(t, g > r+20 && g > b+20, "%s is green", colour)
	}
}

func TestAPageStaysSmall(t *testing.T) {
	p := take(45) // three minutes
	for i := range 30 {
		p.tell(finding.Sharp, 5*i, 5*i, 30, finding.Finding{Text: "In this measure the note was sharp, about a centimetre too far toward the bridge.", Short: "+30 cents"})
	}
	p.sing(30)
	require.Greater(t, p.h.Duration, 175.0)
	out := page(t, p, report.Options{})
	assert.Less(t, len(out), 600_000)
	assert.Greater(t, len(out), 100_000, "the vibrato is drawn")
}

func TestAnEndlessTakeStillMakesAPage(t *testing.T) {
	p := take(3000)
	for i := range 1500 {
		p.tell(finding.Late, 7*i, 7*i, 150, finding.Finding{Text: "Late.", Short: "150 ms late"})
	}
	out := page(t, p, report.Options{})
	assert.Less(t, len(out), 3_000_000)
	assert.LessOrEqual(t, len(drawings(t, out)), 400)
	_, text := elements(t, out)
	assert.Contains(t, text, "The take has 3000 measures; only those with something to tell are drawn.")
}

// A hearing made by somebody else may hold anything.
func TestAHearingThatMakesNoSenseIsStillTold(t *testing.T) {
	wild := []float64{0, -1, 1e300, math.NaN(), math.Inf(1), 0.5, 3}
	kinds := []finding.Kind{finding.SharpAfterShift, finding.Flat, finding.WideHand, finding.Late, finding.HeldLong, finding.WrongRhythm,
		finding.WrongNote, finding.Missing, finding.Extra, finding.Restarted, finding.Tempo, finding.Tuning, finding.NotSure, "unheard of"}
	for seed := range int64(150) {
		rng := rand.New(rand.NewSource(seed))
		p := take(1 + rng.Intn(5))
		any := func() float64 { return wild[rng.Intn(len(wild))] }
		number := func() string { return []string{"1", "2", "3", "99", "", "0"}[rng.Intn(6)] }
		for range rng.Intn(8) {
			p.h.Findings = append(p.h.Findings, finding.Finding{Measure: number(), ToMeasure: number(), Pass: rng.Intn(4) - 1, Beat: any(),
				Kind: kinds[rng.Intn(len(kinds))], Value: any(), Spread: any(), Tolerance: any(), Notes: rng.Intn(4) - 1,
				First: rng.Intn(12) - 3, Last: rng.Intn(12) - 3, At: any()})
		}
		for i := range p.h.Notes {
			n := &p.h.Notes[i]
			switch rng.Intn(6) {
			case 0:
				n.Onset = nil
			case 1:
				n.Onset, n.Offset, n.LateMS, n.Cents = ptr(any()), ptr(any()), ptr(any()), ptr(any())
			case 2:
				n.Beat, n.Measure, n.Line, n.Heard = any(), number(), rng.Intn(99)-9, rng.Intn(99)-9
			case 3:
				n.State = finding.StateExtra
			}
		}
		p.h.WorthFixing = []int{rng.Intn(9) - 2, rng.Intn(9) - 2}
		p.h.HeardA, p.h.TempoHeard, p.h.TempoAsked, p.h.Duration = any(), any(), any(), any()
		if rng.Intn(8) == 0 {
			p.piece.Measures = nil
		}
		if rng.Intn(8) == 0 {
			p.heard = &dsp.Heard{}
		}
		elements(t, page(t, p, report.Options{}))
		table(t, p, report.Options{})
	}
	elements(t, page(t, &played{piece: &piece.Piece{}, h: &finding.Hearing{}}, report.Options{}))
}

func TestAPageThatCannotBeWrittenSaysWhy(t *testing.T) {
	p := take(1)
	full := errors.New("the disk is full")
	assert.ErrorIs(t, report.HTML(broken{full}, p.piece, p.line, p.h, p.heard, report.Options{}), full)
	assert.ErrorIs(t, report.Table(broken{full}, p.piece, p.h, report.Options{}), full)
}

type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }
