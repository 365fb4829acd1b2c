package job

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/report"
	"endpin/piece/report/progress"
	"endpin/piece/report/sheets"
	"endpin/piece/words"
)

// unsaid is what is read where the catalogue has no message.
var unsaid = regexp.MustCompile(`\[(` + strings.Join(words.Rooms(), "|") + `)\.[\w.-]+\]`)

// toldOnce is a take of the demo piece in which one thing is told, of a measure or of all.
func toldOnce(p *piece.Piece, kind finding.Kind) *finding.Hearing {
	line, _ := p.Line()
	h := &finding.Hearing{Version: 1, Piece: p.Title, Duration: 40, ReferenceA: 440, HeardA: 440, TempoAsked: 84, TempoHeard: 70, Level: "intermediate"}
	for i := range line {
		e := &line[i]
		onset := float64(i)
		h.Notes = append(h.Notes, finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, HeardMIDI: &e.MIDI, Onset: &onset,
			String: 1, Finger: "1", Position: "1", Trust: dsp.Sure, State: finding.StatePlayed, Line: i, Heard: i})
	}
	row := kind.Row()
	first := slices.IndexFunc(line, func(e piece.Expected) bool { return e.Number == "2" })
	f := finding.Finding{Kind: kind, Measure: "2", ToMeasure: "2", Pass: 1, Beat: 1, First: first, Last: first, At: 3, Notes: 1, Trust: dsp.Sure,
		Spread: 1, Tolerance: 1, Beats: 1, Text: "Said.", Value: map[finding.Unit]float64{finding.Cents: 30, finding.Milliseconds: 150,
			finding.WrittenLengths: 1.6, finding.BeatsOff: 0.5, finding.Semitones: 2, finding.QuartersAMinute: 52}[row.Unit]}
	if row.About == finding.WholeTake || row.About == finding.Hand {
		f.Measure, f.ToMeasure, f.First, f.Last = line[0].Number, line[len(line)-1].Number, 0, len(line)-1
	}
	for i := first + 1; kind == finding.Stopped && i < len(h.Notes); i++ { // nothing sounds behind the end
		n := &h.Notes[i]
		n.State, n.HeardMIDI, n.Onset, n.Heard = finding.StateMissing, nil, nil, -1
	}
	f.Short = f.Mark(finding.PlainMark).String()
	h.Findings = []finding.Finding{f}
	h.WorthFixing = h.Worth()
	return h
}

// A kind that is added is one row of the table and its words: every place that shows a
// finding then shows it, none in place of another kind's.
func TestEveryKindOfFindingIsToldInEveryPlace(t *testing.T) {
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	written := func(write func(io.Writer) error) string {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		return b.String()
	}
	seen := map[string]finding.Kind{}
	for _, kind := range finding.Kinds() {
		t.Run(string(kind), func(t *testing.T) {
			row := kind.Row()
			require.Equal(t, kind, row.Kind)
			assert.True(t, row.Weight > 0 || kind == finding.NotSure || kind == finding.Stopped, "mending it is worth something")
			h := toldOnce(p, kind)
			f := &h.Findings[0]
			shape := fmt.Sprintf(`href="#%s"`, row.Shape)

			said := []string{kind.Name().String(), class.InWords(f), class.Reteach{Kind: kind, Measure: "2", Students: 2, Of: 3}.Text()}
			assert.NotContains(t, seen, said[0], "another kind has that name")
			seen[said[0]] = kind
			for _, form := range []finding.MarkForm{finding.PlainMark, finding.FullMark, finding.PageMark, finding.BriefMark} {
				said = append(said, f.Mark(form).String())
			}

			table := written(func(w io.Writer) error { return report.Table(w, p, h, report.Options{}) })
			page := written(func(w io.Writer) error { return report.HTML(w, p, nil, h, nil, report.Options{}) })
			assert.Contains(t, page, fmt.Sprintf(`<symbol id="%s"`, row.Shape), "its shape is drawn")
			assert.Contains(t, page, shape)
			assert.Contains(t, page, f.Text)
			if row.Unit != finding.NoUnit {
				measured, _, _ := strings.Cut(words.Say("report.evidence.measured", "amount", "|"), "|")
				assert.Contains(t, page, measured, "what was measured is told")
			}

			var seats []class.Seat
			var results []class.Result
			for _, name := range []string{"Ada", "Ben", "Cleo"} {
				seats = append(seats, class.Seat{Name: name, Files: []string{name}})
				results = append(results, class.Result{File: name, Hearing: h})
			}
			sheet := class.Gather(p, p.Title, seats, results, nil)
			lists := written(func(w io.Writer) error {
				return sheets.ClassHTML(w, p, sheet, sheets.ClassOptions{Pages: func(name string) string { return name + ".html" }})
			})
			legend := words.Say("report.legend." + string(kind))
			if kind == finding.Stopped { // no fault: the measures from there on have a dash
				assert.Contains(t, lists, fmt.Sprintf(`<span class="dash" title="%s"`, f.Text))
			} else {
				assert.Contains(t, lists, shape)
				assert.Contains(t, lists, legend)
			}
			if row.Weight > 0 && kind != finding.Restarted { // nothing to teach again
				require.Len(t, sheet.Reteach, 1)
				assert.Contains(t, lists, sheet.Reteach[0].Text())
			}
			csv := written(func(w io.Writer) error { return sheets.ClassCSV(w, []*class.Sheet{sheet}, 0, nil) })
			assert.Contains(t, csv, ","+string(kind)+",")
			student := written(func(w io.Writer) error {
				return sheets.StudentHTML(w, &class.Page{Name: sheet.Students[0].Name, Parts: []class.Part{{Piece: p, Title: p.Title, Student: &sheet.Students[0]}}}, sheets.StudentOptions{})
			})
			assert.Equal(t, row.Weight > 0, strings.Contains(student, `<use `+shape), "what is worth mending is to be worked on")

			unmarked := toldOnce(p, kind)
			unmarked.Findings[0].Short = ""
			bare := written(func(w io.Writer) error { return report.HTML(w, p, nil, unmarked, nil, report.Options{}) })
			for _, s := range append(said, legend, table, page, bare, lists, student) {
				assert.Empty(t, unsaid.FindString(s))
			}

			var back finding.Hearing
			require.NoError(t, json.Unmarshal([]byte(written(func(w io.Writer) error { return WriteJSON(w, h) })), &back))
			assert.Equal(t, kind, back.Findings[0].Kind)
			assert.Equal(t, f.Value, back.Findings[0].Value)
		})
	}
}

// fault reports whether a kind is a fault of a measure.
func fault(k finding.Kind) bool { return k.Row().Weight > 0 && k.Row().About != finding.WholeTake }

// On the page over weeks each kind counts in its measure, and what came back is named.
func TestEveryKindOfFindingIsToldOverWeeks(t *testing.T) {
	at := map[finding.Kind]string{}
	for i, k := range finding.Kinds() {
		if at[k] = "16"; fault(k) {
			at[k] = fmt.Sprint(1 + i%15)
		}
	}
	d, s := practised(t, []int{0, 1, 2, 3, 4, 5 + daysOff, 6 + daysOff}, func(day int, h *finding.Hearing) {
		for _, k := range finding.Kinds() {
			if day < 2 || day > 4 {
				h.Findings = append(h.Findings, said(k, at[k]))
			}
		}
	})
	m, err := DiaryPage(d, s, firstDay.AddDate(0, 1, 0))
	require.NoError(t, err)
	told := map[string]bool{}
	for _, x := range m.Weeks {
		for _, w := range x.Weeks {
			told[x.Measure] = told[x.Measure] || w.Value != nil && *w.Value > 0
		}
	}
	page := progress.PageOf(m)
	for _, k := range finding.Kinds() {
		back := words.Say("job.diary.came-back", "days", daysOff, "measure", at[k], "piece", page.WeekRows[0].Piece, "kind", k.Name())
		if !fault(k) {
			assert.NotContains(t, page.More, back, "a measure has no tempo of its own, nor a tuning, and a recording that ends is no fault")
			continue
		}
		assert.True(t, told[at[k]], k)
		assert.Contains(t, page.More, back)
	}
	assert.False(t, told["16"])
}
