package pieces

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk/score"
)

// table is a desk that pieces are laid on; what others post is done where the test pumps.
type table struct {
	shelf  *Shelf
	on     *score.Score
	laid   int
	said   string
	busy   bool
	now    time.Time
	posted chan func()
	worked map[string]*Worked
	folder string
}

func (b *table) Post(f func())         { b.posted <- f }
func (b *table) Changed()              {}
func (b *table) Say(sentence string)   { b.said = sentence }
func (b *table) Fault(sentence string) { b.Say(sentence) }
func (b *table) Now() time.Time        { return b.now }
func (b *table) Owner() string         { return "Mina" }
func (b *table) Score() *score.Score   { return b.on }
func (b *table) Put(s *score.Score)    { b.on = s; b.laid++ }
func (b *table) Busy(string) bool {
	if b.busy {
		b.said = "busy"
	}
	return b.busy
}

// readFile reads a piece as the desk has it read.
func readFile(path, part, instrument string) (*score.Score, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	in, err := fingerboard.ByWord(instrument)
	if err != nil {
		return nil, err
	}
	low, _ := in.Range()
	options := []notation.Option{notation.For(in.Name, in.Family, in.Printed, low)}
	if part != "" {
		options = append(options, notation.Part(part))
	}
	p, err := notation.Read(path, data, options...)
	if err != nil {
		return nil, err
	}
	s := score.For(p, path, fingerboard.Named{Word: instrument, Instrument: in})
	s.Part = part
	return s, nil
}

// tune is a piece of a few measures, by its notes.
func tune(title, notes string) string {
	return "X:1\nT:" + title + "\nC:A. Teacher\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\n" + notes + "|]\n"
}

const (
	stepsUp   = "C,D,E,F, | G,F,E,D, | C,E,G,E, | C,4 "
	stepsDown = "G,F,E,D, | C,D,E,F, | G,E,C,E, | G,4 "
)

func newTable(t *testing.T) *table {
	t.Helper()
	t.Setenv("HOME", t.TempDir())
	b := &table{now: time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC), posted: make(chan func(), 1000), folder: filepath.Join(t.TempDir(), "pieces")}
	demo := func() (*score.Score, error) {
		p, err := notation.Read("demo.abc", []byte(tune("Stairs", "C,2E,2 | G,4 ")))
		if err != nil {
			return nil, err
		}
		s := score.New(p, "demo.abc")
		s.Demo = true
		return s, nil
	}
	b.on, _ = demo()
	require.NoError(t, b.anew(t, demo))
	return b
}

// anew sets the shelf out as at the next start.
func (b *table) anew(t *testing.T, demo func() (*score.Score, error)) (err error) {
	t.Helper()
	if demo == nil {
		demo = b.shelf.means.Demo
	}
	b.shelf, err = New(b, Means{Folder: b.folder, Read: readFile, Demo: demo, Worked: func(string) (map[string]*Worked, error) { return b.worked, nil }})
	return err
}

// settle does what was posted until nothing is read any more.
func (b *table) settle(t *testing.T) {
	t.Helper()
	for end := time.After(time.Minute); b.shelf.Reading != ""; {
		select {
		case f := <-b.posted:
			f()
		case <-end:
			t.Fatal("nothing more happened")
		}
	}
}

// opens opens a piece and waits.
func (b *table) opens(t *testing.T, path string) {
	t.Helper()
	b.shelf.Open(path, "", "")
	b.settle(t)
}

func writes(t *testing.T, path, text string) string {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func (b *table) titles() (all []string) {
	for _, p := range b.shelf.List() {
		all = append(all, p.Title)
	}
	return all
}

func TestThePieceOpenedLastStandsReadyAtTheNextStart(t *testing.T) {
	b := newTable(t)
	assert.Equal(t, []string{"Stairs"}, b.titles(), "the demo alone on an empty shelf")
	assert.Zero(t, b.shelf.Count())
	dir := t.TempDir()
	b.opens(t, writes(t, filepath.Join(dir, "up.abc"), tune("Up", stepsUp)))
	assert.Equal(t, "Up", b.on.Title())
	b.now = b.now.Add(time.Hour)
	b.opens(t, writes(t, filepath.Join(dir, "down.abc"), tune("Down", stepsDown)))
	require.NoError(t, b.anew(t, nil))
	b.shelf.Enter()
	assert.Equal(t, []string{"Down", "Up", "Stairs"}, b.titles())
	assert.Equal(t, "Down", b.shelf.Ready().Title)
	assert.Equal(t, "A. Teacher", b.shelf.Ready().Said())
	b.shelf.Next()
	b.shelf.OpenReady()
	b.settle(t)
	assert.Equal(t, "Up", b.on.Title())
	b.shelf.Choose(99)
	assert.True(t, b.shelf.Ready().Demo)
	b.shelf.OpenReady()
	b.settle(t)
	assert.True(t, b.on.Demo)
	assert.Equal(t, 2, b.shelf.Count(), "the demo takes no place")
}

func TestAPieceIsFoundByTypingWithoutAccentsAndCapitals(t *testing.T) {
	b := newTable(t)
	dir := t.TempDir()
	for i, title := range []string{"Étude für die halbe Lage", "Вечерняя песня", "夜の歌", "Gate Song"} {
		b.opens(t, writes(t, filepath.Join(dir, fmt.Sprintf("p%d.abc", i)), tune(title, strings.Repeat(stepsUp+"|", i+1))))
	}
	for typed, want := range map[string]string{"etude fur": "Étude für die halbe Lage", "ПЕСНЯ": "Вечерняя песня", "夜": "夜の歌", "p3.abc": "Gate Song", "teacher gate": "Gate Song"} {
		b.shelf.Type(typed)
		require.Equal(t, []string{want}, b.titles(), typed)
	}
	b.shelf.Type("no such piece")
	assert.Nil(t, b.shelf.Ready())
	b.shelf.OpenReady() // nothing to open
	b.shelf.Enter()
	assert.Len(t, b.titles(), 5, "who comes back sees all")
}

func TestAPieceUnderTwoPathsStandsThereOnce(t *testing.T) {
	b := newTable(t)
	one := writes(t, filepath.Join(t.TempDir(), "one.abc"), tune("Up", stepsUp))
	other := writes(t, filepath.Join(t.TempDir(), "other.abc"), tune("Up, fingered", stepsUp))
	b.opens(t, one)
	b.opens(t, other)
	require.Equal(t, 1, b.shelf.Count())
	assert.Equal(t, []string{other, one}, b.shelf.Ready().Files)
	assert.Equal(t, "Up, fingered", b.shelf.Ready().Title, "as it was read last")
	require.NoError(t, os.Remove(other))
	b.shelf.OpenReady()
	b.settle(t)
	assert.Equal(t, one, b.on.File, "its other copy")
}

func TestAFileThatMovedIsFoundByItsNotesOrNamed(t *testing.T) {
	b := newTable(t)
	home, err := os.UserHomeDir()
	require.NoError(t, err)
	dir := t.TempDir()
	path := writes(t, filepath.Join(dir, "up.abc"), tune("Up", stepsUp))
	b.opens(t, path)
	again := func(at string) {
		t.Helper()
		b.said = ""
		b.shelf.OpenReady()
		b.settle(t)
		assert.Equal(t, at, b.on.File)
	}
	renamed := filepath.Join(dir, "Upward.abc")
	require.NoError(t, os.Rename(path, renamed))
	again(renamed)
	assert.Equal(t, "Up had moved; it was found in "+dir+".", b.said)
	below := filepath.Join(home, "Documents", "school", "bass", "Upward.abc")
	require.NoError(t, os.MkdirAll(filepath.Dir(below), 0o700))
	require.NoError(t, os.Rename(renamed, below))
	writes(t, filepath.Join(home, "Documents", "Upward.abc"), tune("Another of that name", stepsDown))
	again(below)
	require.NoError(t, os.Remove(below))
	laid := b.laid
	b.shelf.OpenReady()
	b.settle(t)
	assert.Equal(t, laid, b.laid, "what lies on the desk stays")
	assert.Equal(t, below+": Up lies there no longer, and was not found elsewhere: open it where it lies now, and all that was worked on it is there again.", b.said)
	assert.Equal(t, 1, b.shelf.Count(), "and it stays on the shelf")
}

func TestAFileThatHoldsOtherNotesNowIsThePieceThatItHolds(t *testing.T) {
	b := newTable(t)
	path := writes(t, filepath.Join(t.TempDir(), "tune.abc"), tune("Tune", stepsUp))
	b.opens(t, path)
	writes(t, path, tune("Tune", stepsDown))
	b.opens(t, path)
	assert.Equal(t, 1, b.shelf.Count())
	assert.Equal(t, b.on.Content, b.shelf.Ready().Content)
}

func TestAFileThatCannotBeReadIsASentenceAndTheShelfStays(t *testing.T) {
	b := newTable(t)
	dir := t.TempDir()
	for name, text := range map[string]string{"empty.musicxml": "", "broken.musicxml": "<score-partwise><part", "letter.xml": "<html/>", "no.abc": "dear teacher"} {
		path := writes(t, filepath.Join(dir, name), text)
		b.said = ""
		b.opens(t, path)
		assert.Contains(t, b.said, name)
		assert.Zero(t, b.laid, name)
		assert.Error(t, b.shelf.Begin(path, "", ""))
	}
	b.opens(t, filepath.Join(dir, "gone.abc"))
	assert.Contains(t, b.said, "gone.abc")
	assert.Zero(t, b.shelf.Count())
}

func TestNothingIsOpenedWhileSomethingGoesOn(t *testing.T) {
	b := newTable(t)
	path := writes(t, filepath.Join(t.TempDir(), "up.abc"), tune("Up", stepsUp))
	b.busy = true
	b.shelf.Open(path, "", "")
	b.shelf.OpenReady()
	b.shelf.Add(path)
	assert.Equal(t, "busy", b.said)
	b.busy = false
	b.shelf.Open(path, "", "")
	b.busy = true // a take begins while the file is read
	b.settle(t)
	assert.Zero(t, b.laid)
}

func TestWhatIsBeingReadIsLeftByEscape(t *testing.T) {
	b := newTable(t)
	b.shelf.Open(writes(t, filepath.Join(t.TempDir(), "up.abc"), tune("Up", stepsUp)), "", "")
	assert.True(t, b.shelf.Cancel())
	assert.False(t, b.shelf.Cancel())
	(<-b.posted)()
	assert.Zero(t, b.laid)
}

// twoBasses is a score in which two parts are for the bass.
const twoBasses = "X:1\nT:Duet\nM:4/4\nL:1/4\nK:C\nV:1 name=\"Contrabass 1\" clef=bass\nV:2 name=\"Contrabass 2\" clef=bass\n[V:1] C,D,E,F,|G,4|]\n[V:2] E,,F,,G,,A,,|C,4|]\n"

func TestThePartIsAskedForOnceWhereSeveralWouldDo(t *testing.T) {
	b := newTable(t)
	path := writes(t, filepath.Join(t.TempDir(), "duet.abc"), twoBasses)
	b.opens(t, path)
	require.NotNil(t, b.shelf.Asking)
	assert.Zero(t, b.laid)
	assert.Equal(t, []string{"1  Contrabass 1", "2  Contrabass 2"}, b.shelf.Asking.PartNames())
	b.shelf.Asking.ChoosePart(1)
	b.shelf.Answer()
	b.settle(t)
	require.Equal(t, 1, b.laid)
	assert.Equal(t, "Contrabass 2", b.on.Piece.Part)
	require.NoError(t, b.anew(t, nil))
	for _, open := range []func(){func() { b.shelf.OpenReady() }, func() { b.shelf.Open(path, "", "") }} {
		open()
		b.settle(t)
		assert.Nil(t, b.shelf.Asking, "it is remembered")
		assert.Equal(t, "Contrabass 2", b.on.Piece.Part)
	}
	b.shelf.Open(path, "1", "bass")
	b.settle(t)
	assert.Equal(t, "Contrabass 1", b.on.Piece.Part)
	assert.Equal(t, 2, b.shelf.Count(), "the other part is another piece")
}

func TestTheInstrumentIsAskedForWhereThePartNamesAnother(t *testing.T) {
	b := newTable(t)
	dir := t.TempDir()
	cello := func(name, notes string) string {
		return writes(t, filepath.Join(dir, name), "X:1\nT:"+name+"\nM:4/4\nL:1/4\nK:C\nV:1 name=\"Violoncello\" clef=bass\n"+notes+"|]\n")
	}
	b.opens(t, cello("one.abc", stepsUp))
	require.NotNil(t, b.shelf.Asking)
	require.Equal(t, "cello", b.shelf.Asking.InstrumentNames()[b.shelf.Asking.Instrument], "what it is for stands chosen")
	b.shelf.Answer()
	b.settle(t)
	assert.Equal(t, "cello", b.on.On.Word)
	b.opens(t, cello("two.abc", stepsDown))
	assert.Nil(t, b.shelf.Asking, "who plays the cello is not asked again")
	assert.Equal(t, "cello", b.on.On.Word)
	b.opens(t, writes(t, filepath.Join(dir, "bass.abc"), "X:1\nT:Low\nM:4/4\nL:1/4\nK:C\nV:1 name=\"Contrabass\" clef=bass\nE,,F,,G,,A,,|]\n"))
	require.NotNil(t, b.shelf.Asking)
	assert.Equal(t, "double bass", b.shelf.Asking.InstrumentNames()[b.shelf.Asking.Instrument])
}

func TestAShelfWithADamagedFileKeepsTheOthers(t *testing.T) {
	b := newTable(t)
	dir := t.TempDir()
	b.opens(t, writes(t, filepath.Join(dir, "up.abc"), tune("Up", stepsUp)))
	for name, text := range map[string]string{"a.piece.json": "", "b.piece.json": "{", "c.piece.json": "[]", "d.piece.json": `{"title": "x"}`} {
		writes(t, filepath.Join(b.folder, name), text)
	}
	err := b.anew(t, nil)
	require.ErrorContains(t, err, ".unreadable")
	assert.Equal(t, []string{"Up", "Stairs"}, b.titles())
	aside, err := filepath.Glob(filepath.Join(b.folder, "*.unreadable"))
	require.NoError(t, err)
	assert.Len(t, aside, 4, "put aside, not thrown away")
	require.NoError(t, b.anew(t, nil), "and told once")
}

func TestTwoDesksAtOnceLoseNothingOfEachOther(t *testing.T) {
	b := newTable(t)
	other := &table{on: b.on, now: b.now, posted: make(chan func(), 100), folder: b.folder}
	require.NoError(t, other.anew(t, b.shelf.means.Demo))
	dir := t.TempDir()
	b.opens(t, writes(t, filepath.Join(dir, "up.abc"), tune("Up", stepsUp)))
	other.opens(t, writes(t, filepath.Join(dir, "down.abc"), tune("Down", stepsDown)))
	require.NoError(t, b.anew(t, nil))
	assert.ElementsMatch(t, []string{"Up", "Down", "Stairs"}, b.titles())
}

func TestAPieceTakenOffTheShelfLeavesItsFile(t *testing.T) {
	b := newTable(t)
	path := writes(t, filepath.Join(t.TempDir(), "up.abc"), tune("Up", stepsUp))
	b.opens(t, path)
	b.shelf.Forget(b.shelf.Ready())
	assert.Zero(t, b.shelf.Count())
	assert.FileExists(t, path)
	require.NoError(t, b.anew(t, nil))
	assert.Zero(t, b.shelf.Count())
	b.shelf.Forget(b.shelf.Ready())
	assert.Equal(t, []string{"Stairs"}, b.titles(), "the demo stays")
}

func TestAFolderOfPiecesIsPutOnTheShelfUnopened(t *testing.T) {
	b := newTable(t)
	dir := t.TempDir()
	writes(t, filepath.Join(dir, "up.abc"), tune("Up", stepsUp))
	writes(t, filepath.Join(dir, "copy.abc"), tune("Up", stepsUp))
	writes(t, filepath.Join(dir, "duet.abc"), twoBasses)
	writes(t, filepath.Join(dir, "bad.xml"), "")
	writes(t, filepath.Join(dir, "notes.txt"), "not looked at")
	b.shelf.Add(dir)
	b.settle(t)
	assert.Equal(t, "2 pieces more stand on the shelf. Not read, 1 in all: bad.xml; open one of them to see why.", b.said)
	assert.Zero(t, b.laid)
	b.shelf.Add(dir)
	b.settle(t)
	assert.Equal(t, 2, b.shelf.Count(), "once is enough")
	b.shelf.Add(filepath.Join(dir, "copy.abc"))
	b.settle(t)
	assert.Equal(t, "It stands on the shelf already.", b.said)
	b.shelf.Type("duet")
	b.shelf.OpenReady()
	b.settle(t)
	require.NotNil(t, b.shelf.Asking, "its part was not chosen yet")
	b.shelf.Asking.ChoosePart(1)
	b.shelf.Answer()
	b.settle(t)
	assert.Equal(t, 2, b.shelf.Count(), "the part chosen takes the place of the one supposed")
	b.shelf.Add(t.TempDir())
	b.settle(t)
	assert.Contains(t, b.said, "There is no piece in it")
}

func TestWhereNothingCanBeWrittenThePieceOpensAllTheSame(t *testing.T) {
	b := newTable(t)
	writes(t, b.folder, "a file in the folder's place")
	b.opens(t, writes(t, filepath.Join(t.TempDir(), "up.abc"), tune("Up", stepsUp)))
	assert.Equal(t, 1, b.laid)
	assert.Contains(t, b.said, "Up cannot be put on the shelf")
}

func TestTheShelfSaysHowFarAPieceIsAndWhatComesNext(t *testing.T) {
	b := newTable(t)
	b.opens(t, writes(t, filepath.Join(t.TempDir(), "up.abc"), tune("Up", stepsUp)))
	p := b.shelf.Ready()
	require.Equal(t, []string{"1", "2", "3", "4"}, p.Measures)
	w := &Worked{}
	b.worked = map[string]*Worked{p.Content: w}
	at := b.now.AddDate(0, 0, -9)
	tells := func(days int, qpm float64, clean, told []string, far, next, when string) {
		t.Helper()
		at = at.AddDate(0, 0, days).Add(time.Minute)
		w.Add(at, qpm, clean, told)
		b.shelf.Enter()
		for len(b.posted) == 0 {
			time.Sleep(time.Millisecond)
		}
		(<-b.posted)()
		assert.Equal(t, far, p.Far())
		assert.Equal(t, next, p.Next())
		assert.Equal(t, when, p.When(b.now))
	}
	assert.Equal(t, "not played yet", p.Far())
	assert.Empty(t, p.Next())
	tells(0, 50, nil, []string{"1", "2"}, "none of 4 measures clean yet", "Next: measures 1 to 4.", "16 November")
	tells(5, 50, []string{"1", "4"}, []string{"2"}, "2 of 4 measures clean, at ♩ = 50", "Next: measures 2 to 3.", "4 days ago")
	tells(3, 60, []string{"1", "2", "3"}, nil, "4 of 4 measures clean, at ♩ = 50 to 60", "Next: measures 1 to 4, up to ♩ = 80.", "yesterday")
	tells(1, 78, []string{"1", "2", "4"}, []string{"3"}, "4 of 4 measures clean, at ♩ = 60 to 78", "Next: measure 3, up to ♩ = 80.", "today")
	tells(0, 79, []string{"3"}, nil, "4 of 4 measures clean, at ♩ = 78 to 79", "Clean throughout at its tempo, ♩ = 80: play the whole.", "today")
}

func TestAFaultOfTheDiaryIsSaid(t *testing.T) {
	b := newTable(t)
	b.shelf.means.Worked = func(string) (map[string]*Worked, error) { return nil, errors.New("diary.db: is damaged") }
	b.shelf.Enter()
	(<-b.posted)()
	assert.Equal(t, "diary.db: is damaged.", b.said)
}

func TestEveryWordOfTheShelfIsFromTheCatalogue(t *testing.T) {
	b := newTable(t)
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	now := b.now
	p := &Piece{Title: "Up", Composer: "Mina", PartName: "Bass", QPM: 80}
	reads(p.Said(), "Mina", "Bass")
	reads((&Piece{Demo: true}).Said())
	for _, x := range []Progress{{}, {Last: now, Of: 4}, {Last: now, Of: 4, Clean: 2, Low: 50, High: 50, From: "3", To: "4"}, {Last: now, Of: 4, Clean: 4, Low: 50, High: 60, From: "1", To: "1", Faster: true},
		{Last: now, Of: 4, Clean: 1, Low: 1, High: 2, From: "1", To: "1"}, {Last: now, Of: 4, Clean: 4, Low: 1, High: 2, From: "1", To: "2", Faster: true}} {
		p.Progress = x
		reads(p.Far())
		if !x.Last.IsZero() {
			reads(p.Next())
		}
	}
	for _, days := range []int{0, 1, 3, 40, 900} {
		reads(p.When(now.AddDate(0, 0, days)))
	}
	b.shelf.added(nil, nil, "/locked")
	reads(b.said, "/locked")
	b.shelf.added(nil, []string{"bad.xml"}, "")
	reads(b.said, "bad.xml")
}
