package report_test

import (
	"bytes"
	"encoding/xml"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/report"
	"endpin/piece/report/progress"
	"endpin/piece/report/sheets"
	"endpin/piece/trend"
	"endpin/piece/words/pseudo"
)

// own are the words of the takes made here that are no language.
var own = []string{"Two Quays", "Endpin", "tuesday.wav", "intermediate", "equal", "Harbour Steps", "Ada", "Ben", "Cleo", "anna.wav", "anna2.wav", "ben.wav", "WHY"}

// plainOn gives the first plain words that a page shows, or has for those who cannot see it.
func plainOn(t *testing.T, page string) string {
	t.Helper()
	if _, after, styled := strings.Cut(page, "</style>"); styled {
		page = "<html><head>" + after
	}
	for {
		before, after, scripted := strings.Cut(page, "<script")
		if !scripted {
			break
		}
		_, after, _ = strings.Cut(after, "</script>")
		page = before + after
	}
	for { // the music is the engraver's
		before, after, drawn := strings.Cut(page, `<div class="notation">`)
		if !drawn {
			break
		}
		_, after, _ = strings.Cut(after, "</div>")
		page = before + after
	}
	page = strings.ReplaceAll(strings.ReplaceAll(page, "<!DOCTYPE html>", ""), "<", " <") // words of two elements are two
	tags, text := elements(t, page)
	if plain := pseudo.Plain(text, own...); plain != "" {
		return plain
	}
	for _, e := range tags {
		for _, a := range e.Attr {
			if shown(a) {
				if plain := pseudo.Plain(a.Value, own...); plain != "" {
					return a.Name.Local + ": " + plain
				}
			}
		}
	}
	return ""
}

func shown(a xml.Attr) bool {
	switch a.Name.Local {
	case "title", "alt", "aria-label", "data-at", "data-of", "data-paper", "data-hint", "data-back":
		return true
	}
	return false
}

// inPseudo is the lesson with its findings said in the language that the program speaks.
func inPseudo() *played {
	p := lesson()
	for i := range p.h.Findings {
		f := &p.h.Findings[i]
		f.Text, f.Short = f.Kind.Name().String(), f.Mark(finding.PlainMark).String()
	}
	p.h.Remarks = nil
	return p
}

func TestEveryWordOfATakeStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	still := take(4) // in which nothing stands out
	silent := take(2)
	for i := range silent.h.Notes {
		silent.h.Notes[i].Onset = nil
	}
	unknown := take(40) // without a title, and with measures that come round twice
	unknown.piece.Title, unknown.h.Piece, unknown.h.Recording, unknown.h.Level = "", "", "", ""
	unknown.h.HeardA, unknown.h.TempoHeard = 0, 0
	unknown.piece.Measures[0].Number, unknown.piece.Measures[0].Implicit = "0", true
	unknown.piece.Measures[1].RepeatStart, unknown.piece.Measures[2].RepeatTimes = true, 2
	rounds := perform(unknown.piece)
	rounds.h.Findings, rounds.h.TempoAsked, rounds.h.ReferenceA = nil, 0, 0
	rounds.tell(finding.Sharp, 5, 5, 30, finding.Finding{Trust: dsp.Fair})
	rounds.tell(finding.WrongNote, 9, 9, -12, finding.Finding{})
	rounds.tell(finding.Flat, 9, 12, -30, finding.Finding{})
	for i := range rounds.h.Notes[20:26] {
		rounds.h.Notes[20+i].Trust = dsp.NotSure
	}
	for name, p := range map[string]*played{"lesson": inPseudo(), "still": still, "silent": silent, "unknown": unknown, "rounds": rounds} {
		said := table(t, p, report.Options{Player: "Ada"})
		assert.Empty(t, pseudo.Plain(said, own...), name)
		for _, l := range strings.Split(said, "\n") {
			assert.LessOrEqual(t, uniseg.StringWidth(l), 100, l)
		}
		assert.Empty(t, plainOn(t, page(t, p, report.Options{Player: "Ada"})), name)
	}
	long := take(500)
	long.tell(finding.Late, 0, 0, 150, finding.Finding{})
	assert.Empty(t, plainOn(t, page(t, long, report.Options{})))
}

func TestEveryWordOfAClassSheetStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	p := inPseudo()
	for _, k := range []finding.Kind{finding.Missing, finding.Late} {
		p.tell(k, 60-3, len(p.line)-1, 150, finding.Finding{Unplayed: k == finding.Missing, Text: k.Name().String()})
	}
	h := p.h
	seats := []class.Seat{{Name: "Ada", Files: []string{"anna.wav", "anna2.wav"}}, {Name: "Ben", Files: []string{"ben.wav"}}, {Name: "Cleo"}, {Name: "Dan", Files: []string{"WHY"}}}
	sheet := class.Gather(p.piece, "Two Quays", seats, []class.Result{{File: "anna.wav", Hearing: h}, {File: "anna2.wav", Reason: "WHY"}, {File: "ben.wav", Hearing: h}}, []class.LeftOut{{File: "WHY", Reason: "WHY"}})
	pages := func(name string) string { return name + ".html" }
	var b bytes.Buffer
	require.NoError(t, sheets.ClassHTML(&b, p.piece, sheet, sheets.ClassOptions{Pages: pages}))
	assert.Empty(t, plainOn(t, strings.ReplaceAll(b.String(), "Dan", "")))
	for i := range sheet.Students {
		for _, moments := range []map[int][]byte{nil, {0: []byte("sound"), 3: []byte("sound"), 8: []byte("sound")}} {
			b.Reset()
			require.NoError(t, sheets.StudentHTML(&b, &class.Page{Name: sheet.Students[i].Name, Parts: []class.Part{{Piece: p.piece, Title: sheet.Piece, Student: &sheet.Students[i]}}}, sheets.StudentOptions{Sound: []map[int][]byte{moments}}))
			assert.Empty(t, plainOn(t, strings.ReplaceAll(b.String(), "Dan", "")))
		}
	}
	b.Reset()
	long := take(40)
	require.NoError(t, sheets.ClassHTML(&b, long.piece, class.Gather(long.piece, "Two Quays", seats[2:3], nil, nil), sheets.ClassOptions{Pages: pages}))
	assert.Empty(t, plainOn(t, b.String()))
}

func TestEveryWordOfADiaryPageStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	ida := aMonth("Ada")
	few := progress.Model{Player: "Ada", From: firstDay, To: firstDay.AddDate(1, 0, 0), Takes: ida.Takes[:1]}
	months := aMonth("Ben")
	months.To = months.From.AddDate(0, 5, 0)
	still := aMonth("Cleo") // with one verdict each
	for i, v := range []trend.Verdict{trend.Closing, trend.Closing, trend.Holding, trend.Holding, trend.Scattered, trend.Holding, trend.TooFew} {
		still.Shifts[i].Verdict = v
	}
	for _, m := range []progress.Model{ida, few, months, still} {
		assert.Empty(t, plainOn(t, diaryPage(t, m)))
	}
	var b bytes.Buffer
	players := []progress.Model{ida, months, still}
	for range 9 {
		players = append(players, still)
	}
	for _, of := range [][]progress.Model{nil, players[:1], players[:3], players} {
		b.Reset()
		require.NoError(t, progress.ClassHTML(&b, progress.ClassModel{From: firstDay, To: firstDay.AddDate(0, 0, 29), Players: of}))
		assert.Empty(t, plainOn(t, b.String()))
	}
}
