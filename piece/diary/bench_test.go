package diary_test

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/trend"
)

// How much the benchmarks' diary holds: ten players, a year, twenty
// takes a day, two hundred notes each.
const (
	benchPlayers = 10
	benchDays    = 365
	benchTakes   = 20
	benchNotes   = 200
	benchShifts  = 40
)

// big makes that diary: one take is added as any other, and the others are made
// from it inside SQLite, each landing its own.
func big(b *testing.B) (*diary.Diary, time.Time) {
	b.Helper()
	path := filepath.Join(b.TempDir(), "diary.db")
	if kept := os.Getenv("ENDPIN_BENCH_DIARY"); kept != "" { // made once, for many runs
		path = kept
	}
	first := time.Date(2026, 1, 1, 8, 0, 0, 0, berlin)
	_, err := os.Stat(path)
	made := err == nil
	d, err := diary.Open(path)
	require.NoError(b, err)
	b.Cleanup(func() { d.Close() })
	if made {
		return d, first
	}
	for i := range benchPlayers {
		add(b, d, long(b, fmt.Sprintf("player %d", i), first, 28))
	}
	raw, err := sql.Open("sqlite", path)
	require.NoError(b, err)
	defer raw.Close()
	raw.SetMaxOpenConns(1)
	rest := benchDays*benchTakes - 1
	for _, q := range []string{
		`PRAGMA busy_timeout = 10000`,
		`BEGIN`,
		`CREATE TEMP TABLE more AS WITH RECURSIVE n(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM n WHERE k < ` + fmt.Sprint(rest) + `)
			SELECT k, p.id AS player, ((k / 20) * 86400 + (k % 20) * 600) * 1000 AS later, p.id * 100000 + k AS id FROM n, players p ORDER BY k, p.id`,
		`INSERT INTO takes SELECT more.id, t.player, t.piece, t.copy, hex(randomblob(32)), t.at_ms + later, t.zone_min,
			date((t.at_ms + later) / 1000, 'unixepoch'), t.added_ms, t.duration_s, '', '', 0 FROM more JOIN takes t ON t.id = more.player`,
		`INSERT INTO hearings SELECT more.id, more.id, h.listening, 1, h.judged_ms, h.asked, h.level, h.intonation, h.frame_cents, h.note_cents, h.onset_ms, h.held,
			h.tempo_percent, h.tuning_cents, h.reference_a_hz, h.heard_a_hz, h.tempo_asked_qpm, h.tempo_heard_qpm, h.worth_fixing, h.remarks, h.notes, h.notes_size,
			h.note_count FROM more JOIN hearings h ON h.id = more.player`,
		`INSERT INTO findings SELECT more.id, f.n, f.measure, f.to_measure, f.pass, f.beat, f.kind, f.value, f.trust, f.text, f.short, f.spread, f.tolerance, f.notes,
			f.at_s FROM more JOIN findings f ON f.hearing = more.player`,
		`INSERT INTO digests SELECT more.id, json_set(g.landings,
			'$.cents', json((SELECT json_group_array(round(c.value + abs((random() + k) % 400) / 10.0 - 20, 1)) FROM json_each(g.landings, '$.cents') c)),
			'$.qpm', json((SELECT json_group_array(q.value + abs((random() + k) % 20)) FROM json_each(g.landings, '$.qpm') q))),
			g.measures, g.open_strings FROM more JOIN digests g ON g.hearing = more.player`,
		`COMMIT`,
		`PRAGMA wal_checkpoint(TRUNCATE)`,
	} {
		_, err := raw.Exec(q)
		require.NoError(b, err, q)
	}
	return d, first
}

// long is a take of two hundred notes and forty shifts.
func long(b *testing.B, player string, at time.Time, cents float64) diary.Take {
	take := played(b, player, at, cents)
	h := take.Hearing
	note, landing, found := h.Notes[1], h.Landings[0], h.Findings[0]
	var tune strings.Builder
	tune.WriteString("X:1\nT:Long Gate\nM:4/4\nL:1/4\nK:G clef=bass\n")
	h.Notes, h.Landings, h.Findings = nil, nil, nil
	for i := range benchNotes {
		n := note
		f := func(x float64) *float64 { return &x }
		n.Measure, n.Beat = fmt.Sprint(1+i/4), float64(1+i%4)
		n.Onset, n.Offset = f(float64(i*731+i*i%97)/1000), f(float64(i*731+600+i*i%89)/1000)
		n.Cents, n.LateMS, n.Held = f(float64((i*i*37)%400)/10-20), f(float64((i*i*53)%120-60)), f(float64(70+(i*i*31)%30)/100)
		n.CentsSpread = f(float64(10+(i*i*17)%70) / 10)
		h.Notes = append(h.Notes, n)
		tune.WriteString([]string{"G,, ", "A,, ", "B,, ", "C, | "}[i%4])
		if i%5 == 4 {
			l := landing
			l.Measure, l.Beat = n.Measure, n.Beat
			h.Landings = append(h.Landings, l)
		}
		if i%30 == 29 {
			x := found
			x.Measure, x.ToMeasure = n.Measure, n.Measure
			h.Findings = append(h.Findings, x)
		}
	}
	h.Findings[0].Kind = finding.Late
	take.Copy.Data = []byte(tune.String())
	take.Piece = read(b, tune.String())
	return take
}

// BenchmarkMonth opens the diary and gathers a month of one player of ten, a
// year old: what stands behind the month view. It is to take less than 200 ms.
func BenchmarkMonth(b *testing.B) {
	d, first := big(b)
	info, err := os.Stat(d.Path())
	require.NoError(b, err)
	span := diary.Span{Player: "player 3", From: first.AddDate(0, 11, 0)}
	b.ResetTimer()
	var read, judged time.Duration
	for range b.N {
		start := time.Now()
		d, err := diary.Open(d.Path())
		require.NoError(b, err)
		w, err := d.Weeks(span)
		require.NoError(b, err)
		groups, _, err := w.Landings()
		require.NoError(b, err)
		require.Len(b, groups, benchShifts)
		_, err = w.Measures()
		require.NoError(b, err)
		read += time.Since(start)
		trend.Shifts(groups, trend.Options{})
		judged += time.Since(start)
		require.NoError(b, d.Close())
	}
	b.ReportMetric(float64(read.Milliseconds())/float64(b.N), "ms-to-read")
	b.ReportMetric(float64(judged.Milliseconds())/float64(b.N), "ms-to-judge-too")
	b.ReportMetric(float64(info.Size())/(benchPlayers*benchDays*benchTakes), "bytes-a-take")
}

// BenchmarkAdd adds takes to that diary. Each is to take less than 50 ms.
func BenchmarkAdd(b *testing.B) {
	d, first := big(b)
	takes := make([]diary.Take, b.N)
	for i := range takes {
		takes[i] = long(b, "player 3", first.AddDate(3, 0, 0).Add(time.Duration(i)*time.Minute), 20)
		takes[i].At = takes[i].At.Add(time.Duration(time.Now().UnixNano() % 1e12))
		takes[i].Content = fmt.Sprint(takes[i].Content, time.Now().UnixNano())
	}
	b.ResetTimer()
	for i := range takes {
		add(b, d, takes[i])
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms-a-take")
}
