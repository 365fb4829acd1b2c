package job

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/report/progress"
)

var firstDay = time.Date(2026, 10, 26, 17, 30, 0, 0, time.FixedZone("", 3600)) // a Monday

// practised puts takes of the demo piece into a diary; each take is a clean one
// that a day's telling changes.
func practised(t *testing.T, days []int, change func(day int, h *finding.Hearing)) (*diary.Diary, diary.Span) {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	line, _ := p.Line()
	d, err := diary.Open(filepath.Join(t.TempDir(), "diary.db"))
	require.NoError(t, err)
	t.Cleanup(func() { d.Close() })
	for _, day := range days {
		h := &finding.Hearing{Version: 1, Piece: p.Title, Duration: 40, ReferenceA: 440, HeardA: 440, TempoAsked: 84, TempoHeard: 70,
			Level: "intermediate", Intonation: "equal", Listening: finding.Listening}
		for i := range line {
			e := &line[i]
			zero := 0.0
			n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, HeardMIDI: &e.MIDI, Onset: &zero, Cents: &zero,
				String: 2, Finger: "1", Position: "1", Trust: dsp.Sure, State: finding.StatePlayed}
			if e.MIDI == 38 { // the open D
				n.Finger, n.Position = "0", "0"
			}
			h.Notes = append(h.Notes, n)
		}
		change(day, h)
		at := firstDay.AddDate(0, 0, day)
		_, err := d.Add(diary.Take{Player: "Mina", Piece: p, Copy: diary.Copy{Name: "demo.musicxml", Data: assets.DemoPiece}, Content: fmt.Sprint(day),
			At: at, Dated: true, Now: at, Level: finding.Intermediate, Hearing: h})
		require.NoError(t, err)
	}
	return d, diary.Span{Player: "Mina"}
}

func everyDay(n int) (days []int) {
	for i := range n {
		days = append(days, i)
	}
	return days
}

// more are the sentences of the page beside the shifts.
func more(t *testing.T, d *diary.Diary, s diary.Span) []string {
	t.Helper()
	m, err := DiaryPage(d, s, firstDay.AddDate(0, 1, 0))
	require.NoError(t, err)
	return m.More
}

func said(kind finding.Kind, measure string) finding.Finding {
	return finding.Finding{Measure: measure, ToMeasure: measure, Pass: 1, Beat: 1, Kind: kind, Value: 1, Trust: dsp.Sure, Text: "Said."}
}

func TestLateEntrancesAndShortNotesAreToldByWeek(t *testing.T) {
	d, s := practised(t, everyDay(14), func(day int, h *finding.Hearing) {
		for k := range 4 - day/4 { // 4 late ones a take, then 3, 2, 1
			h.Findings = append(h.Findings, said(finding.Late, fmt.Sprint(k+1)))
		}
		if day >= 7 {
			h.Findings = append(h.Findings, said(finding.HeldShort, "16"))
		}
	})
	// 53 notes a take: 25 late in the first 7 takes, 13 in the last 7.
	assert.Equal(t, "Late entrances: 6.7 in 100 notes in the first week, 3.5 in the last.", more(t, d, s)[0])
	assert.Equal(t, "Notes held short: 0.0 in 100 notes in the first week, 1.9 in the last.", more(t, d, s)[1])
}

func TestThePaceOfAPassageAndHowNotesLayAreToldByWeek(t *testing.T) {
	d, s := practised(t, everyDay(14), func(day int, h *finding.Hearing) {
		if day < 10 {
			slower := said(finding.SlowerPassage, "5")
			if slower.ToMeasure, slower.Value = "8", 0.7; day >= 7 {
				slower.Value = 0.9
			}
			h.Findings = append(h.Findings, slower)
		}
		if day < 7 {
			uneven := said(finding.Uneven, "1")
			uneven.Value = 30.6
			h.Findings = append(h.Findings, uneven)
		}
	})
	told := more(t, d, s)
	assert.Contains(t, told, "Measures 5 to 8 of Stairs to the Loft went at 70 % of the pace of the rest in the first week, at 100 % in the last.")
	assert.Contains(t, told, "Stopped notes lay scattered all over in the first week, by 31 cents, and no more in the last.")
	m, err := DiaryPage(d, s, firstDay.AddDate(0, 1, 0))
	require.NoError(t, err)
	rows := progress.PageOf(m).RhythmRows
	require.Len(t, rows, 4, "late, short, a passage and evenness")
	assert.Equal(t, "Pace of measures 5–8 against the rest of Stairs to the Loft", rows[2].Piece)
	assert.Equal(t, []progress.WeekCell{{Text: "70 %", Shade: 2}, {Text: "as the rest"}}, rows[2].Cells)
	assert.Equal(t, []progress.WeekCell{{Text: "31 cents", Shade: 1}, {Text: "even"}}, rows[3].Cells)
}

func TestAColdRoomAndAnOldStringAreTold(t *testing.T) {
	d, s := practised(t, everyDay(14), func(day int, h *finding.Hearing) {
		if day < 7 {
			return
		}
		h.HeardA = 437.5 // 9.9 cents lower
		for i := range h.Notes {
			if h.Notes[i].Position == "0" {
				flat := -12.0
				h.Notes[i].Cents = &flat
			}
		}
	})
	assert.Contains(t, more(t, d, s), "The reference A went from 440.0 to 437.5 Hz.")
	assert.Contains(t, more(t, d, s), "The open string 2 went from +0 to -12 cents against the player's own reference.")
}

func TestWhatMovedByLessThanAnybodyHearsIsNotTold(t *testing.T) {
	d, s := practised(t, everyDay(14), func(day int, h *finding.Hearing) { h.HeardA = 440 - float64(day)/14 })
	for _, sentence := range more(t, d, s) {
		assert.NotContains(t, sentence, "reference A")
		assert.NotContains(t, sentence, "open string")
	}
}

func TestWhatSlippedBackAfterDaysOffIsTold(t *testing.T) {
	days := []int{0, 1, 2, 3, 4, 5, 9, 10}
	d, s := practised(t, days, func(day int, h *finding.Hearing) {
		if day < 2 || day >= 9 {
			h.Findings = append(h.Findings, said(finding.FlatAfterShift, "5"))
		}
	})
	assert.Contains(t, more(t, d, s), "After 3 days off, what was told of measure 5 of Stairs to the Loft came back: flat after shift.")
}

func TestTheTempoAtWhichARangeIsCleanIsTold(t *testing.T) {
	d, s := practised(t, everyDay(14), func(day int, h *finding.Hearing) {
		h.TempoHeard = 70
		if day >= 7 {
			h.TempoHeard = 84
		}
		for m := 9; m <= 16; m++ { // the second half never is
			h.Findings = append(h.Findings, said(finding.Sharp, fmt.Sprint(m)))
		}
	})
	var clean []string
	for _, sentence := range more(t, d, s) {
		if len(sentence) > 7 && sentence[:7] == "Measure" {
			clean = append(clean, sentence)
		}
	}
	assert.Equal(t, []string{"Measures 1 to 8 of Stairs to the Loft are clean at 84 quarter notes a minute in the last week, 70 in the first."}, clean)
}

func TestTakesOfAnEarlierListeningAreCountedAndLeftOut(t *testing.T) {
	d, s := practised(t, everyDay(3), func(day int, h *finding.Hearing) {
		if day == 0 {
			h.Listening = finding.Listening - 1
		}
	})
	assert.Contains(t, more(t, d, s), "Takes heard by an earlier version of the listening, left out of the shifts: 1.")
}

func TestAnEmptySpanIsAnEmptyPage(t *testing.T) {
	d, s := practised(t, everyDay(1), func(int, *finding.Hearing) {})
	s.From = firstDay.AddDate(1, 0, 0)
	m, err := DiaryPage(d, s, firstDay)
	require.NoError(t, err)
	assert.Empty(t, m.Takes)
}
