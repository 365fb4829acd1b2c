package report_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/report"
)

var update = flag.Bool("update", false, "write the golden files anew")

func table(t *testing.T, p *played, o report.Options) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, report.Table(&b, p.piece, p.h, o))
	return b.String()
}

// golden compares with a file of testdata; -update writes it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

func TestATakeIsToldAtAGlance(t *testing.T) {
	golden(t, "lesson.txt", table(t, lesson(), report.Options{Player: "Ada", Date: "3 March"}))
}

func TestATakeWithNothingToMendSaysSoPlainly(t *testing.T) {
	golden(t, "clean.txt", table(t, take(4), report.Options{}))
}

func TestATakeThatStopsSaysWhereTheSilenceBegins(t *testing.T) {
	p := take(8)
	for i := range p.h.Notes {
		if p.line[i].Measure >= 5 {
			n := &p.h.Notes[i]
			n.Onset, n.Offset, n.Cents, n.State = nil, nil, nil, finding.StateMissing
		}
	}
	first := 4 + 4 + 4 + 3 + 4
	p.tell(finding.Missing, first, len(p.line)-1, 12, finding.Finding{Text: "The recording ends before measure 6, beat 1: the rest was not played."})
	out := table(t, p, report.Options{})
	assert.Contains(t, out, "missing: 11 notes from beat 1 on")
	assert.Contains(t, out, "Measures 1-5: nothing to mend.\n")
	assert.Contains(t, out, "Measures 6-8: not heard.\n")
}

// The columns of every row begin where the head's do, however wide the writing.
func TestTheColumnsStandInAnyWriting(t *testing.T) {
	p := take(16)
	for i, number := range []string{"7", "十二", "12a", "é́", "👩‍🎤", "٣"} {
		p.piece.Measures[i].Number = number
	}
	p = perform(p.piece)
	for i := range 6 {
		p.tell(finding.Late, 4*i, 4*i, 120, finding.Finding{})
	}
	p.piece.Title = strings.Repeat("組曲 第一番 ", 12)
	p.piece.Composer = strings.Repeat("x", 250)
	p.h.Remarks = []string{strings.Repeat("ま", 130)}
	out := table(t, p, report.Options{})
	rows := 0
	column := -1
	for _, l := range strings.Split(out, "\n") {
		assert.LessOrEqual(t, uniseg.StringWidth(l), 100, l)
		if at := strings.Index(l, "What was heard"); at >= 0 {
			column = at
		}
		if at := strings.Index(l, "late: "); at >= 0 {
			rows++
			assert.Equal(t, column, uniseg.StringWidth(l[:at]), l)
		}
	}
	assert.Equal(t, 6, rows)
}

func TestALongSentenceStaysInItsColumn(t *testing.T) {
	p := take(4)
	p.tell(finding.WrongRhythm, 0, 3, 0.5, finding.Finding{Text: "In measure 1 you played " + strings.Repeat("long–short ", 20) + "where the page has even notes."})
	lines := strings.Split(table(t, p, report.Options{}), "\n")
	at := -1
	for i, l := range lines {
		assert.LessOrEqual(t, uniseg.StringWidth(l), 100)
		if strings.Contains(l, "other rhythm: In measure 1 you played") {
			at = i
		}
	}
	require.Positive(t, at)
	assert.True(t, strings.HasPrefix(lines[at+1], strings.Repeat(" ", 9)+"long–short"), lines[at+1])
}

func TestNamesCannotMoveTheCursor(t *testing.T) {
	p := take(1)
	p.piece.Title = "Quay\x1b[2J\r\n\tTune\u202e"
	p.h.Recording = "a\x07b.wav"
	p.h.Remarks = []string{"one\ntwo\x1b]0;x\x07"}
	for _, r := range table(t, p, report.Options{Player: "\x1bA"}) {
		assert.False(t, r != '\n' && (r < ' ' || r == 0x7f || r == 0x202e), "%q", r)
	}
}

func TestMeasuresAreListedAsAPlayerWould(t *testing.T) {
	bar := func(number string, rest bool) piece.Measure {
		return piece.Measure{Number: number, Time: piece.Time{Beats: 4, Unit: 4}, Length: 4 * piece.Quarter,
			Notes: []piece.Note{{Length: 4 * piece.Quarter, Rest: rest, MIDI: 43}}}
	}
	p := &piece.Piece{Title: "Rests"}
	for _, n := range []string{"1", "2", "3", "4", "5", "6", "7"} {
		p.Measures = append(p.Measures, bar(n, n == "4" || n == "7"))
	}
	p.Measures[0].RepeatStart = true
	p.Measures[1].RepeatTimes = 2 // 1 2 1 2 3 (4) 5 6 (7)
	take := perform(p)
	assert.Contains(t, table(t, take, report.Options{}), "Measures 1-6: nothing to mend.\n", "a rest does not break a range, nor end one")

	take.tell(finding.Late, 2, 2, 150, finding.Finding{})
	out := table(t, take, report.Options{})
	assert.Contains(t, out, "\n1 (2nd time)  late: ", "a measure that comes round twice says which time")
	assert.Contains(t, out, "Measures 2-6: nothing to mend.\n", "and is fine only if it was each time")

	take.tell(finding.Sharp, 4, 4, 40, finding.Finding{})
	assert.Contains(t, table(t, take, report.Options{}), "Measures 2, 5-6: nothing to mend.\n")
}
