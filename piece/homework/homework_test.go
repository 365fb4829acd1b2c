package homework_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"hash/crc32"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/homework"
	"endpin/piece/words/pseudo"
)

var asked = homework.Homework{Title: "Minuet", File: "minuet.musicxml", Measures: "5-8", QPM: 60, Work: "bring-up", Level: "first-year",
	Text: "Sing it first.", Until: "2026-12-06", Made: time.Date(2026, 11, 30, 9, 0, 0, 0, time.UTC)}

// made is a file of homework; with a take it is handed in.
func made(t testing.TB, take *homework.Take) []byte {
	t.Helper()
	var b bytes.Buffer
	c := homework.Contents{Piece: []byte("<score/>"), Example: strings.NewReader("fLaC"), ExampleEnd: ".flac", Take: take}
	if take != nil {
		c.Sound = strings.NewReader("RIFF")
	}
	require.NoError(t, homework.Write(&b, asked, c))
	return b.Bytes()
}

func read(data []byte) (*homework.File, error) {
	return homework.Read("ada.endpin", bytes.NewReader(data), int64(len(data)))
}

var ada = &homework.Take{Player: "Ada", Played: time.Date(2026, 12, 1, 17, 30, 0, 0, time.UTC), Measures: "5-8", QPM: 60, Work: "bring-up"}

func TestHomeworkComesAsItWasMade(t *testing.T) {
	f, err := read(made(t, nil))
	require.NoError(t, err)
	want := asked
	want.Version, want.Example = 1, "example.flac"
	assert.Equal(t, want, f.Homework)
	assert.Equal(t, "<score/>", string(f.Score))
	assert.Nil(t, f.Take)
	r, err := f.Shown()
	require.NoError(t, err)
	sound, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, "fLaC", string(sound))
}

func TestWhatIsHandedInSaysWhoPlayedWhatAndWhen(t *testing.T) {
	f, err := read(made(t, ada))
	require.NoError(t, err)
	want := *ada
	want.Version = 1
	assert.Equal(t, &want, f.Take)
	assert.Equal(t, "5-8", f.Homework.Measures)
	r, err := f.Sound()
	require.NoError(t, err)
	sound, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, "RIFF", string(sound))
}

func TestWhoeverOpensTheFileWithAnotherProgramReadsWhatIsAsked(t *testing.T) {
	data := made(t, ada)
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	r, err := archive.Open("homework.txt")
	require.NoError(t, err)
	text, err := io.ReadAll(r)
	require.NoError(t, err)
	for _, line := range []string{"Homework: Minuet, measures 5-8.\n", "Bring it up", "Tempo: 60", "Until Sunday 6 December.", "Sing it first.", "Handed in by Ada, played 1 December 2026, 17:30."} {
		assert.Contains(t, string(text), line)
	}
	assert.Equal(t, "homework.txt", archive.File[0].Name, "it is what one sees first")
}

func TestWhatIsNoHomeworkIsLeftToOthers(t *testing.T) {
	for name, data := range map[string][]byte{"nothing": nil, "text": []byte("X:1\nK:C\nCDE"), "short": []byte("PK"),
		"another zip": zipped(t, entry{"META-INF/container.xml", "<container/>"}, entry{"score.xml", "<score/>"}),
		"no zip":      append([]byte("PK\x03\x04"), make([]byte, 100)...)} {
		_, err := read(data)
		assert.ErrorIs(t, err, homework.ErrOther, name)
	}
}

type entry struct{ name, content string }

func zipped(t testing.TB, entries ...entry) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, e := range entries {
		f, err := w.Create(e.name)
		require.NoError(t, err)
		_, err = io.WriteString(f, e.content)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

const (
	settings = `{"version": 1, "title": "Minuet", "measures": "5-8"}`
	played   = `{"version": 1, "player": "Ada"}`
)

func TestHomeworkThatCannotBeReadIsSaidWithThePlaceAndTheMend(t *testing.T) {
	piece := entry{"piece.musicxml", "<score/>"}
	many := []entry{{"homework.json", settings}, piece}
	for range 70 {
		many = append(many, entry{strings.Repeat("x", len(many)), ""})
	}
	with := func(json string) []byte { return zipped(t, entry{"homework.json", json}, piece) }
	whole := made(t, ada)
	for _, c := range []struct {
		name string
		data []byte
		said string
	}{
		{"cut off", whole[:len(whole)-20], "is cut off or damaged"},
		{"bytes changed", flipped(whole), `"piece.musicxml" in it is damaged`},
		{"no piece", zipped(t, entry{"homework.json", settings}), `"piece.musicxml" is missing`},
		{"twice", zipped(t, entry{"homework.json", settings}, piece, piece), `"piece.musicxml" twice`},
		{"above", zipped(t, entry{"homework.json", settings}, piece, entry{"../../.profile", "rm"}), `"../../.profile" in it is named as if it lay elsewhere`},
		{"above by backslash", zipped(t, entry{"homework.json", settings}, piece, entry{`..\autoexec.bat`, ""}), "elsewhere"},
		{"at the root", zipped(t, entry{"homework.json", settings}, piece, entry{"/etc/passwd", ""}), "elsewhere"},
		{"many", zipped(t, many...), "more than the 64 entries"},
		{"no JSON", with(`{"version": 1,`), "homework.json: is no JSON at byte 14"},
		{"an array", with(`[]`), "homework.json: "},
		{"another kind", with(`{"version": 1, "tempo_qpm": "fast"}`), "homework.json: tempo_qpm is a string"},
		{"no version", with(`{}`), "tells no version"},
		{"newer", with(`{"version": 7, "tempo_qpm": "fast"}`), "it wants a newer Endpin"},
		{"fast", with(`{"version": 1, "tempo_qpm": 4000}`), "4000 is no tempo"},
		{"slow", with(`{"version": 1, "tempo_qpm": -1}`), "-1 is no tempo"},
		{"another way", with(`{"version": 1, "work": "sing"}`), `"sing"`},
		{"another level", with(`{"version": 1, "level": "genius"}`), `"genius"`},
		{"no day", with(`{"version": 1, "until": "2026-02-30"}`), `"2026-02-30" is no day`},
		{"long", with(`{"version": 1, "text": "` + strings.Repeat("x", 281) + `"}`), "281 characters: 280"},
		{"example elsewhere", with(`{"version": 1, "example": "../piece.musicxml"}`), `"../piece.musicxml" is no name`},
		{"example missing", with(`{"version": 1, "example": "example.wav"}`), `"example.wav" is missing`},
		{"no sound", zipped(t, entry{"homework.json", settings}, piece, entry{"take.json", played}), `"take.wav" is missing`},
		{"nobody's", zipped(t, entry{"homework.json", settings}, piece, entry{"take.json", `{"version": 1}`}, entry{"take.wav", ""}), "take.json: "},
		{"a day that is none", zipped(t, entry{"homework.json", settings}, piece, entry{"take.json", `{"version": 1, "player": "Ada", "played": "today"}`}, entry{"take.wav", ""}), "take.json: "},
		{"long settings", with(`{"version": 1, "text": "` + strings.Repeat(" ", 100_000) + `"}`), "larger than 0.062 MB"},
	} {
		f, err := read(c.data)
		require.Error(t, err, c.name)
		assert.Nil(t, f, c.name)
		assert.ErrorContains(t, err, c.said, c.name)
		assert.True(t, strings.HasPrefix(err.Error(), "ada.endpin: "), "%s: %s", c.name, err)
		assert.NotContains(t, err.Error(), "\n", c.name)
	}
}

// flipped changes a byte of the piece.
func flipped(data []byte) []byte {
	data = bytes.Clone(data)
	data[bytes.Index(data, []byte("piece.musicxml"))+len("piece.musicxml")+11] ^= 0x55
	return data
}

// Hundred megabytes of nothing pack into a tenth of one: what is read of them ends where
// their kind may.
func TestWhatUnpacksWithoutEndIsReadToItsBound(t *testing.T) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	f, err := w.Create("homework.json")
	require.NoError(t, err)
	_, err = io.WriteString(f, settings)
	require.NoError(t, err)
	f, err = w.Create("piece.xml")
	require.NoError(t, err)
	for range 100 {
		_, err = f.Write(make([]byte, 1<<20))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	require.Less(t, b.Len(), 1<<18)
	_, err = read(b.Bytes())
	assert.ErrorContains(t, err, `"piece.xml" in it is larger than 32 MB`)
}

// A header may promise a little and hold more.
func TestWhatHoldsMoreThanItsHeaderPromisesIsDamaged(t *testing.T) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, e := range []entry{{"homework.json", settings}, {"piece.xml", "<score/>"}} {
		f, err := w.CreateRaw(&zip.FileHeader{Name: e.name, Method: zip.Store, CRC32: crc32.ChecksumIEEE([]byte(e.content)),
			CompressedSize64: uint64(len(e.content)), UncompressedSize64: 3})
		require.NoError(t, err)
		_, err = io.WriteString(f, e.content)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	_, err := read(b.Bytes())
	assert.ErrorContains(t, err, "is damaged")
}

// A list of entries of any length is not taken into memory.
func TestAListWithoutEndIsRefused(t *testing.T) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for i := range 30_000 {
		name := "homework.txt"
		if i > 0 {
			name = strings.Repeat("x", 1+i%40)
		}
		_, err := w.CreateHeader(&zip.FileHeader{Name: name})
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	_, err := read(b.Bytes())
	assert.ErrorContains(t, err, "more than the 64 entries")
}

func TestWhatComesFromOutsideMovesNoCursorAndIsNoLongerThanItMayBe(t *testing.T) {
	f, err := read(zipped(t, entry{"homework.json", `{"version": 1, "title": "` + strings.Repeat("\\u202eM", 500) + `", "text": "a\u001b[2Jb\nc"}`}, entry{"piece.abc", "X:1"}))
	require.NoError(t, err)
	assert.Equal(t, "a[2Jb c", f.Text)
	assert.NotContains(t, f.Title, "\u202e")
	assert.LessOrEqual(t, len([]rune(f.Title)), 201)
}

func TestWhatCannotBeAskedIsNotWritten(t *testing.T) {
	wrong := asked
	wrong.Work = "sing"
	assert.Error(t, homework.Write(io.Discard, wrong, homework.Contents{}))
	assert.Error(t, homework.Write(io.Discard, asked, homework.Contents{Take: &homework.Take{}}), "a take is somebody's")
	broken := errors.New("the disk is full")
	assert.ErrorIs(t, homework.Write(io.Discard, asked, homework.Contents{Example: failing{broken}, ExampleEnd: ".wav"}), broken)
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func TestHomeworkIsSaidFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	for _, way := range append(homework.Ways, "") {
		h := asked
		h.Work = way
		for _, line := range h.Lines() {
			assert.Empty(t, pseudo.Plain(line.String(), "Minuet", "first-year"), line)
		}
	}
}

func FuzzHomework(f *testing.F) {
	f.Add(made(f, nil))
	f.Add(made(f, ada))
	f.Add(zipped(f, entry{"homework.json", settings}, entry{"piece.abc", "X:1"}))
	f.Add(zipped(f, entry{"homework.json", `{"version": 1, "example": "example.x"}`}, entry{"piece.abc", "X:1"}, entry{"example.x", ""}))
	f.Fuzz(func(t *testing.T, data []byte) {
		h, err := read(data)
		if err != nil {
			if h != nil || strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("not one line: %q", err)
			}
			return
		}
		if _, err := h.Check(); err != nil {
			t.Fatalf("what was let through is refused: %v", err)
		}
		if h.Take != nil && h.Take.Player == "" {
			t.Fatal("a take of nobody was let through")
		}
	})
}

func FuzzHomeworkSettings(f *testing.F) {
	f.Add(settings, played)
	f.Add(`{"version": 1, "text": "\u202e", "until": "2026-12-06", "tempo_qpm": 60, "work": "echo"}`, `{"version": 1, "player": "\u0000"}`)
	f.Fuzz(func(t *testing.T, settings, played string) {
		h, err := read(zipped(t, entry{"homework.json", settings}, entry{"take.json", played}, entry{"piece.abc", "X:1"}, entry{"take.wav", ""}, entry{"example.wav", ""}))
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("not one line: %q", err)
			}
			return
		}
		again, err := h.Check()
		if err != nil || again != h.Homework {
			t.Fatalf("what was let through is not fit to be shown: %+v, %v", h.Homework, err)
		}
	})
}
