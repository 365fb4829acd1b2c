package diary_test

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/diary"
	"endpin/piece/diary/weeks"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/player"
	"endpin/piece/trend"
)

// tune is a line of our own, with a shift in its second measure.
const tune = "X:1\nT:%s\nM:4/4\nL:1/4\nQ:1/4=80\nK:G clef=bass\nG,, A,, B,, C, | D, E, F, G, | D, C, B,, A,, | G,,4 |]\n"

func pieceOf(t testing.TB, title string) (*piece.Piece, diary.Copy) {
	t.Helper()
	data := fmt.Appendf(nil, tune, title)
	p, err := notation.Read("tune.abc", data)
	require.NoError(t, err)
	return p, diary.Copy{Name: "tune.abc", Data: data}
}

var (
	berlin = time.FixedZone("", 3600)
	monday = time.Date(2026, 11, 2, 17, 30, 0, 0, berlin)
)

// played makes a take of the tune as a hearing would tell it: cents is where the
// shift in measure 2 landed.
func played(t testing.TB, player string, at time.Time, cents float64) diary.Take {
	t.Helper()
	p, c := pieceOf(t, "Gate Song")
	line, _ := p.Line()
	random := rand.New(rand.NewPCG(uint64(at.UnixNano()), uint64(cents)))
	h := &finding.Hearing{Version: 1, Piece: p.Title, Recording: "take.wav", Duration: 12.5, ReferenceA: 440, HeardA: 441.3, TempoAsked: 80,
		TempoHeard: 78.25, Level: "intermediate", Intonation: "equal", Listening: 1, Program: "1.0 4f0c2ab19d3e 2026-11-02", WorthFixing: []int{0}, Remarks: []string{"A remark, “quoted”."}}
	for i := range line {
		e := &line[i]
		f := func(x float64) *float64 { return &x }
		n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, HeardMIDI: &e.MIDI, Onset: f(float64(i) * 0.75), Offset: f(float64(i)*0.75 + 0.7),
			Cents: f(float64(int(random.NormFloat64()*80)) / 10), CentsSpread: f(4.1), LateMS: f(float64(int(random.NormFloat64() * 20))), Held: f(0.93),
			String: 2, Finger: "1", Position: "1", Trust: dsp.Sure, State: finding.StatePlayed}
		if i == 0 {
			n.String, n.Finger, n.Position = 4, "0", "0"
		}
		if i == 5 {
			n.Position, n.AfterShift = "3", true
		}
		if i == 7 {
			n.State, n.HeardMIDI, n.Onset, n.Offset, n.Cents, n.CentsSpread, n.LateMS, n.Held = finding.StateMissing, nil, nil, nil, nil, nil, nil, nil
		}
		h.Notes = append(h.Notes, n)
	}
	h.Findings = []finding.Finding{{Measure: "2", ToMeasure: "2", Pass: 1, Beat: 2, Kind: finding.SharpAfterShift, Value: cents, Trust: dsp.Sure,
		Text: "In measure 2 you landed sharp.", Spread: 4, Tolerance: 18, Notes: 3, At: 3.75, Short: "+28 after shift"}}
	settle := 120.0
	h.Landings = []finding.Landing{{Measure: "2", Pass: 1, Beat: 2, String: 2, From: "1", To: "3", Semitones: 3, CarriedBy: "open string", Cents: cents,
		SettleMS: &settle, QPM: 78.2, Trust: dsp.Sure, At: 3.75}}
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %v %v", player, at, cents))
	return diary.Take{Player: player, Piece: p, Copy: c, Content: fmt.Sprintf("%x", sum), At: at, Dated: true, Now: at.Add(time.Hour),
		Asked: diary.Asked{Level: "intermediate", Intonation: "equal", Instrument: "bass"}, Level: finding.Intermediate, Hearing: h}
}

func open(t testing.TB) *diary.Diary {
	t.Helper()
	d, err := diary.Open(filepath.Join(t.TempDir(), "diary.db"))
	require.NoError(t, err)
	t.Cleanup(func() { d.Close() })
	return d
}

// weeksOf is all that a player's diary holds.
func weeksOf(t testing.TB, d *diary.Diary, player string) *weeks.Weeks {
	t.Helper()
	w, err := d.Weeks(diary.Span{Player: player})
	require.NoError(t, err)
	return w
}

func add(t testing.TB, d *diary.Diary, take diary.Take) diary.Added {
	t.Helper()
	a, err := d.Add(take)
	require.NoError(t, err)
	return a
}

func TestALandingIsKeptWithItsTempoAndWhatCarriedIt(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28))
	groups, older, err := weeksOf(t, d, "Mina").Landings()
	require.NoError(t, err)
	assert.Zero(t, older)
	require.Len(t, groups, 1)
	g := groups[0]
	assert.Equal(t, "Gate Song", g.Shift.Piece)
	assert.Equal(t, "2", g.Shift.Measure)
	assert.Equal(t, []any{2, "1", "3"}, []any{g.Shift.String, g.Shift.From, g.Shift.To})
	require.Len(t, g.Landings, 1)
	l := g.Landings[0]
	assert.Equal(t, 28.0, l.Cents)
	assert.Equal(t, 120.0, l.SettleMS)
	assert.Equal(t, 78.2, l.QPM)
	assert.Equal(t, 3, l.Semitones)
	assert.EqualValues(t, "open string", l.CarriedBy)
	assert.Equal(t, 18.0, l.Tolerance)
	assert.True(t, l.When.Equal(monday))
	assert.Equal(t, monday.Format(time.RFC3339), l.When.Format(time.RFC3339), "in the player's own zone")
}

func TestTheSameTakeIsNotAddedTwice(t *testing.T) {
	d := open(t)
	first := played(t, "Mina", monday, 28)
	a := add(t, d, first)
	assert.False(t, a.Already)
	b := add(t, d, first)
	assert.True(t, b.Already)
	assert.Equal(t, a.Take, b.Take)

	copied := first // a copy of the file, dated anew by the copying
	copied.At, copied.Dated = monday.Add(48*time.Hour), false
	assert.True(t, add(t, d, copied).Already)

	said := first // the player says that it was another day
	said.At = monday.Add(48 * time.Hour)
	said.Now = said.At
	c := add(t, d, said)
	assert.False(t, c.Already)
	require.Len(t, c.Warnings, 1)
	assert.Contains(t, c.Warnings[0], "2 November 2026")

	other := played(t, "Ole", monday, 28) // two players, one recording
	other.Content = first.Content
	assert.False(t, add(t, d, other).Already)
}

func TestAPieceIsItsNotesAndRhythm(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28))
	renamed := played(t, "Mina", monday.Add(24*time.Hour), 20)
	renamed.Piece, renamed.Copy = pieceOf(t, "Lied vom Tor")
	renamed.Copy.Name, renamed.Hearing.Piece = "other.abc", "Lied vom Tor"
	add(t, d, renamed)
	groups, _, err := weeksOf(t, d, "Mina").Landings()
	require.NoError(t, err)
	require.Len(t, groups, 1)
	assert.Len(t, groups[0].Landings, 2)

	longer, err := notation.Read("tune.abc", []byte(strings.Replace(fmt.Sprintf(tune, "Gate Song"), "G,,4", "G,,3 G,,", 1)))
	require.NoError(t, err)
	another := played(t, "Mina", monday.Add(48*time.Hour), 20)
	another.Piece = longer
	add(t, d, another)
	groups, _, err = weeksOf(t, d, "Mina").Landings()
	require.NoError(t, err)
	assert.Len(t, groups, 2, "another rhythm is another piece")
}

func TestATakeThatBeginsWhereTheHandLandsIsNotFingeredOtherwise(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28))
	part := played(t, "Mina", monday.Add(24*time.Hour), 20)
	part.Hearing.Notes, part.Hearing.Landings = part.Hearing.Notes[5:], nil
	require.True(t, part.Hearing.Notes[0].AfterShift)
	part.Hearing.Notes[0].AfterShift = false
	assert.Empty(t, add(t, d, part).Warnings)
	assert.Empty(t, add(t, d, played(t, "Mina", monday.Add(48*time.Hour), 20)).Warnings)
}

func TestAnotherFingeringBeginsANewLineAndSaysSo(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28))
	again := played(t, "Mina", monday.Add(24*time.Hour), 20)
	assert.Empty(t, add(t, d, again).Warnings)
	refingered := played(t, "Mina", monday.Add(48*time.Hour), 20)
	refingered.Hearing.Notes[5].Position = "2"
	refingered.Hearing.Landings[0].To = "2"
	a := add(t, d, refingered)
	require.Len(t, a.Warnings, 1)
	assert.Contains(t, a.Warnings[0], "Measure 2 is fingered otherwise")
	groups, _, err := weeksOf(t, d, "Mina").Landings()
	require.NoError(t, err)
	require.Len(t, groups, 2)
	assert.Len(t, groups[0].Landings, 2)
	assert.Len(t, groups[1].Landings, 1)
}

func TestANameTypedInTwoWaysIsOnePlayer(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Ren\u00e9 \U0001F3BB 李", monday, 28))
	add(t, d, played(t, " Rene\u0301  \U0001F3BB 李", monday.Add(time.Hour), 20))
	players, err := d.Players()
	require.NoError(t, err)
	require.Len(t, players, 1)
	assert.Equal(t, 2, players[0].Takes)
	_, err = player.Name(" \t")
	assert.Error(t, err)
}

func TestCapitalsMakeNoOtherPlayerAndTheFirstSpellingStays(t *testing.T) {
	d := open(t)
	take := played(t, "Ada", monday, 28)
	add(t, d, take)
	add(t, d, played(t, " ADA ", monday.Add(time.Hour), 20))
	take.Player = "ada"
	assert.True(t, add(t, d, take).Already)
	players, err := d.Players()
	require.NoError(t, err)
	require.Len(t, players, 1)
	assert.Equal(t, "Ada", players[0].Name)
	w := weeksOf(t, d, "aDA")
	assert.Len(t, w.Takes, 2)
	assert.Equal(t, "Ada", w.Player)
	yes := true
	kept, err := d.KeepSound("ADA", &yes, nil)
	require.NoError(t, err)
	assert.True(t, kept)
	_, err = d.RemoveTake("ada", w.Takes[0].ID)
	require.NoError(t, err)
	n, err := d.Forget("aDa")
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	players, err = d.Players()
	require.NoError(t, err)
	assert.Empty(t, players)
}

func TestInAFolderOfDiariesOnePlayerHasOneFile(t *testing.T) {
	folder := t.TempDir()
	file, err := diary.FileIn(folder, "Ada Ö")
	require.NoError(t, err)
	d, err := diary.Open(file)
	require.NoError(t, err)
	add(t, d, played(t, "Ada Ö", monday, 28))
	require.NoError(t, d.Close())
	for typed, same := range map[string]bool{"ada ö": true, "ADA  O\u0308": true, "Ada-Ö": false, "Ada": false} {
		other, err := diary.FileIn(folder, typed)
		require.NoError(t, err)
		assert.Equal(t, same, other == file, typed)
	}
}

func TestADateToComeIsKeptWithAWarning(t *testing.T) {
	d := open(t)
	take := played(t, "Mina", monday, 28)
	take.Now = monday.Add(-72 * time.Hour)
	a := add(t, d, take)
	require.Len(t, a.Warnings, 1)
	assert.Contains(t, a.Warnings[0], "still to come")
	take = played(t, "Mina", time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC), 28)
	take.Now = monday
	assert.Contains(t, add(t, d, take).Warnings[0], "too long ago")
	takes, err := d.Takes(diary.Span{Player: "Mina"})
	require.NoError(t, err)
	assert.Len(t, takes, 2)
}

// A clock set wrong would make the take the last week, or the first, of all.
func TestATakeWhoseDateCannotBeRightIsInNoWeek(t *testing.T) {
	d := open(t)
	for day := range 12 {
		add(t, d, played(t, "Mina", monday.AddDate(0, 0, day), 30))
	}
	take := played(t, "Mina", monday.AddDate(4, 0, 0), -40)
	take.Now = monday.AddDate(0, 0, 12)
	require.NotEmpty(t, add(t, d, take).Warnings)
	w := weeksOf(t, d, "Mina")
	assert.Len(t, w.Takes, 12)
	assert.Len(t, w.Misdated, 1)
	groups, _, err := w.Landings()
	require.NoError(t, err)
	lines := trend.Shifts(groups, trend.Options{})
	require.NotEmpty(t, lines)
	for _, l := range lines {
		assert.Equal(t, 12, l.Times)
		assert.Equal(t, trend.Holding, l.Verdict)
	}
	takes, err := d.Takes(diary.Span{Player: "Mina"})
	require.NoError(t, err)
	require.Len(t, takes, 13, "it is kept")
	assert.Contains(t, takes[12].Warning, "still to come")
	players, err := d.Players()
	require.NoError(t, err)
	assert.True(t, players[0].Last.Equal(monday.AddDate(0, 0, 11)))
}

func TestTheDayIsThePlayersThroughTheChangeOfTheClock(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Skip("no time zone database")
	}
	d := open(t)
	// In the night of 25 October 2026 half past two comes twice.
	first := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC).In(zone)
	second := first.Add(time.Hour)
	require.Equal(t, first.Format(time.TimeOnly), second.Format(time.TimeOnly))
	add(t, d, played(t, "Mina", first, 28))
	add(t, d, played(t, "Mina", second, 28))
	late := time.Date(2026, 10, 25, 23, 30, 0, 0, zone) // the 25th there, the 25th in UTC too
	add(t, d, played(t, "Mina", late, 28))
	early := time.Date(2026, 10, 26, 0, 30, 0, 0, zone) // the 26th there, the 25th in UTC
	add(t, d, played(t, "Mina", early, 28))
	takes, err := d.Takes(diary.Span{Player: "Mina"})
	require.NoError(t, err)
	var days []string
	for _, k := range takes {
		days = append(days, k.At.Format("02 15:04 -0700"))
	}
	assert.Equal(t, []string{"25 02:30 +0200", "25 02:30 +0100", "25 23:30 +0100", "26 00:30 +0100"}, days)
}

func TestALaterListeningStandsBesideTheEarlier(t *testing.T) {
	d := open(t)
	take := played(t, "Mina", monday, 28)
	take.Sound = &diary.Sound{Name: "take.wav", Size: 5, Data: strings.NewReader("sound")}
	take.Content, _ = diary.SoundContent(strings.NewReader("sound"))
	add(t, d, take)
	kept, err := d.KeptBefore(2, "Mina")
	require.NoError(t, err)
	require.Len(t, kept, 1)
	sound, err := os.ReadFile(kept[0].Sound)
	require.NoError(t, err)
	assert.Equal(t, "sound", string(sound))
	copied, err := d.CopyOf(kept[0].Take)
	require.NoError(t, err)
	assert.Equal(t, take.Copy, copied)

	later := *take.Hearing
	later.Listening, later.Program = 2, "1.1 90b1f6e2c7aa 2026-12-24"
	later.Landings = []finding.Landing{take.Hearing.Landings[0]}
	later.Landings[0].Cents = 24
	kept[0].Piece = take.Piece
	require.NoError(t, d.Rehear(kept[0], &later, finding.Intermediate, monday.Add(99*time.Hour)))
	require.NoError(t, d.Rehear(kept[0], &later, finding.Intermediate, monday.Add(99*time.Hour)), "twice is once")
	groups, older, err := weeksOf(t, d, "Mina").Landings()
	require.NoError(t, err)
	assert.Zero(t, older)
	require.Len(t, groups[0].Landings, 1, "one of the two is counted")
	assert.Equal(t, 24.0, groups[0].Landings[0].Cents)
	assert.Equal(t, "1.0 4f0c2ab19d3e 2026-11-02\n1.1 90b1f6e2c7aa 2026-12-24\n", sqlite(t, d.Path(),
		"SELECT program FROM programs JOIN hearings h ON h.id = hearing ORDER BY h.listening"), "each judgement bears the program that heard it")
	assert.Equal(t, "1|0|28.0\n2|1|24.0\n", sqlite(t, d.Path(),
		`SELECT h.listening, h.counted, l.cents FROM hearings h JOIN landings l ON l.hearing = h.id ORDER BY 1`))
	kept, err = d.KeptBefore(2, "")
	require.NoError(t, err)
	assert.Empty(t, kept)

	add(t, d, played(t, "Mina", monday.Add(24*time.Hour), 30)) // heard by version 1, its sound not kept
	groups, older, err = weeksOf(t, d, "Mina").Landings()
	require.NoError(t, err)
	assert.Equal(t, 1, older, "what two versions heard is not compared")
	assert.Len(t, groups[0].Landings, 1)
}

// sqlite asks the file by the program sqlite3.
func sqlite(t testing.TB, path, query string) string {
	t.Helper()
	if _, err := exec.LookPath("sqlite3"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("sqlite3 is not installed")
		}
		t.Skip("sqlite3 is not installed")
	}
	out, err := exec.Command("sqlite3", path, query).CombinedOutput()
	require.NoError(t, err, string(out))
	return string(out)
}

func TestTheProgramSqlite3ReadsTheDiary(t *testing.T) {
	d := open(t)
	for i := range 5 {
		add(t, d, played(t, "Mina", monday.AddDate(0, 0, i), 28-float64(i)))
	}
	assert.Equal(t, "ok\n", sqlite(t, d.Path(), "PRAGMA integrity_check"))
	assert.Equal(t, "5|2026-11-02|2026-11-06\n", sqlite(t, d.Path(), "SELECT count(*), min(day), max(day) FROM takes"))
	assert.Equal(t, "Mina|Gate Song|2|1|3|2026-11-02 16:30:00|28.0\n",
		sqlite(t, d.Path(), "SELECT player, piece, measure, from_position, to_position, at_utc, cents FROM shift_landings ORDER BY at_utc LIMIT 1"))
	assert.Equal(t, "sharp_after_shift|5\n", sqlite(t, d.Path(), "SELECT kind, count(*) FROM counted_findings GROUP BY kind"))
	notes := sqlite(t, d.Path(), "SELECT json_extract(sqlar_uncompress(notes, notes_size), '$.midi[1]') FROM hearings LIMIT 1")
	assert.Equal(t, "33\n", notes, "A1, 55 Hz, is note 33 in the MIDI Tuning Standard")
}

func TestAnExportReadBackIsTheSameDiary(t *testing.T) {
	d := open(t)
	for i := range 4 {
		take := played(t, []string{"Mina, the \"first\"", "Ole\u00e9"}[i%2], monday.AddDate(0, 0, i), 28.1-float64(i))
		if i == 1 {
			take.Hearing.Landings[0].SettleMS = nil
			take.Content, _ = diary.SoundContent(strings.NewReader("sound"))
			take.Sound = &diary.Sound{Name: "take.WAV", Size: 5, Data: strings.NewReader("sound")}
		}
		if i == 2 {
			take.Hearing.Notes = nil
		}
		add(t, d, take)
	}
	limit := int64(1 << 20)
	_, err := d.KeepSound("Ole\u00e9", nil, &limit)
	require.NoError(t, err)
	require.NoError(t, d.AddMended(mended("Ole\u00e9", monday)))
	out := filepath.Join(t.TempDir(), "out")
	exported(t, d, out)
	_, err = d.Export(out)
	assert.ErrorContains(t, err, "not empty")

	for _, from := range []string{"json", "csv"} {
		again := open(t)
		source := out
		if from == "csv" {
			source = t.TempDir()
			require.NoError(t, os.CopyFS(source, os.DirFS(out)))
			require.NoError(t, os.Remove(filepath.Join(source, "diary.json")))
		}
		soundless, err := again.Import(source)
		require.NoError(t, err, from)
		assert.Zero(t, soundless)
		assert.Equal(t, dump(t, d), dump(t, again), from)
		checked, err := again.Check()
		require.NoError(t, err)
		assert.Equal(t, 1, checked.Sounds)
		_, err = again.Import(source)
		assert.ErrorContains(t, err, "empty diary only")
	}
}

// dump is everything in a diary, each value as SQL writes it.
func dump(t testing.TB, d *diary.Diary) string {
	t.Helper()
	return sqlite(t, d.Path(), ".dump")
}

func TestAForgottenPlayerLeavesNoTrace(t *testing.T) {
	d := open(t)
	ole := played(t, "Ole", monday, 5)
	add(t, d, ole)
	mina := played(t, "Minavella", monday, 28)
	noise := bytes.Repeat([]byte("vellanoise"), 100)
	mina.Content, _ = diary.SoundContent(bytes.NewReader(noise))
	mina.Sound = &diary.Sound{Name: "take.wav", Size: int64(len(noise)), Data: bytes.NewReader(noise)}
	mina.Hearing.Remarks = []string{"vellaremark"}
	add(t, d, mina)
	_, err := d.Check() // makes the good copy
	require.NoError(t, err)
	traces := func() (found []string) {
		err := filepath.WalkDir(filepath.Dir(d.Path()), func(path string, e os.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			data, err := os.ReadFile(path)
			for _, trace := range []string{"Minavella", "vellaremark", "vellanoise", mina.Content} {
				if bytes.Contains(data, []byte(trace)) || strings.Contains(path, trace) {
					found = append(found, filepath.Base(path)+": "+trace)
				}
			}
			return err
		})
		require.NoError(t, err)
		return found
	}
	require.GreaterOrEqual(t, len(traces()), 6, "the traces are there to be found")
	n, err := d.Forget("Minavella")
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	assert.Empty(t, traces())
	_, err = d.Forget("Minavella")
	assert.ErrorContains(t, err, "no player")
	checked, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, 1, checked.Takes)
}

func TestOneTakeIsRemovedAndNoOther(t *testing.T) {
	d := open(t)
	noise := bytes.Repeat([]byte("vellanoise"), 100)
	sounding := func(player string, at time.Time) diary.Take {
		k := played(t, player, at, 28)
		k.Content, _ = diary.SoundContent(bytes.NewReader(noise))
		k.Sound = &diary.Sound{Name: "take.wav", Size: int64(len(noise)), Data: bytes.NewReader(noise)}
		return k
	}
	mina := sounding("Mina", monday)
	mina.Hearing.Remarks = []string{"vellaremark"}
	first := add(t, d, mina)
	add(t, d, played(t, "Mina", monday.AddDate(0, 0, 1), 20))
	ole := add(t, d, sounding("Ole", monday)) // the same recording
	_, err := d.Check()
	require.NoError(t, err)

	_, err = d.RemoveTake("Ole", first.Take)
	assert.ErrorContains(t, err, "Ole has no take")
	at, err := d.RemoveTake("Mina", first.Take)
	require.NoError(t, err)
	assert.True(t, at.Equal(monday))
	assert.Len(t, weeksOf(t, d, "Mina").Takes, 1)
	for _, file := range []string{d.Path(), d.Path() + ".good"} {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.NotContains(t, string(data), "vellaremark", file)
	}
	is, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, []int{2, 1}, []int{is.Takes, is.Sounds}, "the sound is Ole's too, and stays")
	_, err = d.RemoveTake("Ole", ole.Take)
	require.NoError(t, err)
	files, err := os.ReadDir(d.Sounds())
	require.NoError(t, err)
	assert.Empty(t, files)
	assert.Len(t, weeksOf(t, d, "Mina").Takes, 1)
}

func TestSoundIsKeptUpToItsLimit(t *testing.T) {
	d := open(t)
	limit := int64(25)
	_, err := d.KeepSound("Mina", nil, &limit)
	require.NoError(t, err)
	for i := range 4 {
		sound := fmt.Sprintf("sound no. %d", i)
		take := played(t, "Mina", monday.AddDate(0, 0, i), 28)
		take.Content, _ = diary.SoundContent(strings.NewReader(sound))
		take.Sound = &diary.Sound{Name: "a.wav", Size: int64(len(sound)), Data: strings.NewReader(sound)}
		a := add(t, d, take)
		assert.Equal(t, i >= 2, len(a.Warnings) > 0)
	}
	checked, err := d.Check()
	require.NoError(t, err)
	assert.Equal(t, 2, checked.Sounds)
	assert.Equal(t, 4, checked.Takes)
	files, err := os.ReadDir(d.Sounds())
	require.NoError(t, err)
	assert.Len(t, files, 2)
}

func TestADamagedDiaryNamesItsGoodCopyAndIsLeftAlone(t *testing.T) {
	d := open(t)
	for i := range 30 {
		add(t, d, played(t, "Mina", monday.AddDate(0, 0, i), 28))
	}
	require.NoError(t, d.Safeguard(monday))
	require.NoError(t, d.Close())
	good, err := os.ReadFile(d.Path() + ".good")
	require.NoError(t, err)
	whole, err := os.ReadFile(d.Path())
	require.NoError(t, err)
	for name, damage := range map[string]func([]byte){
		"its beginning": func(b []byte) { copy(b, "no diary at all.") },
		"its middle":    func(b []byte) { copy(b[len(b)/3:], bytes.Repeat([]byte{0x5a}, len(b)/2)) },
	} {
		t.Run(name, func(t *testing.T) {
			bad := bytes.Clone(whole)
			damage(bad)
			require.NoError(t, os.WriteFile(d.Path(), bad, 0o600))
			again, err := diary.Open(d.Path())
			if err == nil {
				_, err = again.Check()
				again.Close()
			}
			require.Error(t, err)
			assert.Contains(t, err.Error(), d.Path()+": ")
			assert.Contains(t, err.Error(), d.Path()+".good")
			assert.NotContains(t, err.Error(), "\n")
			after, err := os.ReadFile(d.Path())
			require.NoError(t, err)
			assert.True(t, bytes.Equal(bad, after), "nothing is written into it")
			kept, err := os.ReadFile(d.Path() + ".good")
			require.NoError(t, err)
			assert.True(t, bytes.Equal(good, kept), "the good copy stays")
		})
	}
	copied, err := diary.Open(d.Path() + ".good")
	require.NoError(t, err)
	defer copied.Close()
	takes, err := copied.Takes(diary.Span{Player: "Mina"})
	require.NoError(t, err)
	assert.Len(t, takes, 30)
}

func TestALaterVersionIsRefusedPolitely(t *testing.T) {
	path := filepath.Join(t.TempDir(), "diary.db")
	d, err := diary.Open(path)
	require.NoError(t, err)
	require.NoError(t, d.Close())
	raw, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = raw.Exec("PRAGMA user_version = 99")
	require.NoError(t, err)
	require.NoError(t, raw.Close())
	_, err = diary.Open(path)
	require.ErrorContains(t, err, "later Endpin")
	assert.Contains(t, err.Error(), path+": ")
}

func read(t testing.TB, abc string) *piece.Piece {
	t.Helper()
	p, err := notation.Read("tune.abc", []byte(abc))
	require.NoError(t, err)
	return p
}

func TestADiaryIsForItsOwnerAloneToRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "weeks.db")
	d, err := diary.Open(path)
	require.NoError(t, err)
	defer d.Close()
	for _, name := range []string{path, path + "-wal", path + "-shm"} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), name)
	}
	require.NoError(t, d.Safeguard(time.Now().Add(1000*time.Hour)))
	info, err := os.Stat(path + ".good")
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}
