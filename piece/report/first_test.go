package report_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/piece/report"
	"endpin/piece/report/sheets"
)

// Every note let go after half its length is one row of the table, not one a note, and one
// item on the page, to which the marks under the measures lead.
func TestManyOfAKindAreToldInOneRow(t *testing.T) {
	p := take(8)
	for i := range p.line {
		p.tell(finding.HeldShort, i, i, 0.5-0.01*float64(i%7), finding.Finding{Tolerance: 0.7, Text: fmt.Sprintf("Note %d was short.", i)})
	}
	p.tell(finding.Late, 2, 2, 150, finding.Finding{Tolerance: 100})
	p.h.WorthFixing = p.h.Worth()[:2]
	out := table(t, p, report.Options{})
	assert.Equal(t, 1, strings.Count(out, "held short"), out)
	assert.Regexp(t, `(?m)^1-8 +held short: 30 times +farthest `, out)
	assert.Contains(t, out, "late: ")
	html := page(t, p, report.Options{})
	list := html[strings.Index(html, `<ol class="findings">`):]
	list = list[:strings.Index(list, "</ol>")]
	assert.Equal(t, 2, strings.Count(list, "<li"))
	assert.Contains(t, list, "The farthest of them: Note 6 was short.")
	assert.Len(t, regexp.MustCompile(`href="#f1">`).FindAllString(html[strings.Index(html, `<ol class="strip">`):strings.Index(html, `<ol class="findings">`)], -1), 8, "one mark a measure")
	few := take(8)
	for i := range 6 {
		few.tell(finding.HeldShort, 4*i, 4*i, 0.5, finding.Finding{Tolerance: 0.7})
	}
	assert.Equal(t, 6, strings.Count(table(t, few, report.Options{}), "held short"))
}

func TestTheTableAndThePageBeginWithTheSameSentence(t *testing.T) {
	p := lesson()
	said := gist.Of(p.piece, p.h).String()
	assert.Equal(t, said, strings.Split(table(t, p, report.Options{}), "\n")[1])
	assert.Contains(t, page(t, p, report.Options{}), `<p class="gist">`+said+`</p>`)
}

func TestThePageBeginsWithWhatWentWell(t *testing.T) {
	p := take(8)
	p.tell(finding.Late, 2, 2, 150, finding.Finding{Tolerance: 100})
	p.h.WorthFixing = p.h.Worth()[:1]
	said := gist.Praise(p.piece, p.h)
	require.NotEmpty(t, said)
	html := page(t, p, report.Options{})
	well, worth := strings.Index(html, `<ul class="well">`), strings.Index(html, `<ol class="first">`)
	require.Greater(t, well, 0)
	assert.Less(t, well, worth)
	assert.Contains(t, html[well:worth], said[0])
	for i := range p.h.Notes {
		p.h.Notes[i].Trust = dsp.NotSure
	}
	p.h.Findings = append(p.h.Findings, finding.Finding{Kind: finding.Stopped, Measure: "8", ToMeasure: "8", Pass: 1, Beat: 1, Unplayed: true, Trust: dsp.Sure, First: -1, Last: -1})
	assert.NotContains(t, page(t, p, report.Options{}), `class="well"`, "praise is earned")
}

func TestNothingToMendIsSaidOnlyOfMeasuresThatLieWithin(t *testing.T) {
	p := take(4)
	*p.h.Notes[5].Cents = 26 // of measure 2, and nothing is told of it
	out := table(t, p, report.Options{})
	assert.Contains(t, out, "Measures 1, 3-4: nothing to mend.\nMeasure 2: nothing stood out enough to tell, though not every note lay within the tolerance.\n")
	*p.h.Notes[5].Cents, p.h.Notes[5].Trust = 0, dsp.NotSure
	assert.Contains(t, table(t, p, report.Options{}), "Measures 1, 3-4: nothing to mend.")
	p.h.OnlyPitch = true
	assert.NotContains(t, table(t, p, report.Options{}), "nothing to mend")

	part := take(8)
	part.tell(finding.SharpAfterShift, 15, 26, 31, finding.Finding{})
	part.h.Notes = part.h.Notes[19:23] // of measure 6 alone, and the finding begins in measure 5
	out = table(t, part, report.Options{})
	require.Contains(t, out, "5-7 ")
	assert.NotContains(t, out, "nothing to mend")
}

func TestAMeasureThatWasPlayedWhollyHasNothingToMendThoughTheRecordingEndsThere(t *testing.T) {
	p := take(8)
	line := 0
	for i := range p.h.Notes {
		if n := &p.h.Notes[i]; n.Measure > "4" {
			n.State, n.Onset, n.Cents, n.LateMS, n.Held = finding.StateMissing, nil, nil, nil, nil
		} else {
			line = i
		}
	}
	n := &p.h.Notes[line]
	p.h.Findings = append(p.h.Findings, finding.Finding{Kind: finding.Stopped, Measure: n.Measure, ToMeasure: n.Measure, Pass: n.Pass, Beat: n.Beat, Unplayed: true, Trust: dsp.Sure, First: -1, Last: -1})
	assert.Contains(t, table(t, p, report.Options{}), "Measures 1-4: nothing to mend.\nMeasures 5-8: not judged.")
	*n.Cents = 30
	assert.Contains(t, table(t, p, report.Options{}), "Measures 1-3: nothing to mend.")
}

func TestTheClassSheetBeginsWithWhatMostShareAndListsAllThatThreeDo(t *testing.T) {
	p := take(8)
	var seats []class.Seat
	var results []class.Result
	for i := range 22 {
		x := take(8)
		for m := range 8 {
			if i < 3 || m == 4 && i < 9 {
				x.tell(finding.Flat, 4*m, 4*m, -40, finding.Finding{Tolerance: 25})
			}
		}
		name := fmt.Sprint(i)
		seats, results = append(seats, class.Seat{Name: name, Files: []string{name}}), append(results, class.Result{File: name, Hearing: x.h})
	}
	var b strings.Builder
	require.NoError(t, sheets.ClassHTML(&b, p.piece, class.Gather(p.piece, "Tune", seats, results, nil), sheets.ClassOptions{}))
	assert.Regexp(t, `<p class="gist">9 of 22: a note is flat in measure \d.</p>`, b.String())
	list := b.String()[strings.Index(b.String(), `<ul class="reteach">`):]
	assert.Equal(t, 8, strings.Count(list[:strings.Index(list, "</ul>")], "<li>"), "all that three share")
}
