package main

import (
	"bytes"
	"debug/elf"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// house says what each place may import beside the standard library: ours by
// their path in the repository, others by their module or package. "/..." takes
// in what lies below. The most particular place counts. DEVELOPERS.md says for people
// what each is for.
var house = []place{
	{"dsp", []string{"dsp/robust", "github.com/mjibson/go-dsp/..."}},
	{"dsp/robust", nil},
	{"dsp/recording", []string{"dsp", "github.com/mewkiz/flac/...", "github.com/hajimehoshi/go-mp3"}},
	{"dsp/...", []string{"dsp"}},
	{"dsp/sound", []string{"dsp"}},
	{"dsp/sound/portaudio", []string{"dsp/sound", "github.com/gordonklaus/portaudio", "github.com/jfreymuth/pulse/..."}}, // where a sound server puts what is played
	{"dsp/voice", []string{"dsp"}},
	{"dsp/sourcetest", []string{"dsp"}},
	{"dsp/rig", []string{"dsp/...", "github.com/mewkiz/flac/..."}},

	{"piece", []string{"piece/words"}}, // its errors
	{"piece/...", []string{"piece/...", "dsp", "dsp/robust"}},
	{"piece/words", []string{"github.com/nicksnyder/go-i18n/v2/i18n", "golang.org/x/text/language", "golang.org/x/text/feature/plural"}}, // messages, plurals, ordinals
	{"piece/words/pseudo", []string{"piece/words"}},
	{"piece/notation", []string{"piece", "piece/outside", "piece/words", "golang.org/x/text/encoding/...", "golang.org/x/text/unicode/norm"}}, // old files are not in UTF-8, parts are named in many languages, and errors are in words
	{"piece/report", []string{"piece/...", "dsp", "dsp/robust", "github.com/rivo/uniseg"}},                                                    // how wide any writing is in a terminal
	{"piece/report/paper", []string{"piece/words", "github.com/rivo/uniseg"}},
	{"piece/report/sheets", []string{"piece", "piece/class", "piece/engraving", "piece/finding", "piece/gist", "piece/outline", "piece/outside", "piece/practice", "piece/report", "piece/report/paper", "piece/words", "dsp"}},
	{"piece/diary", []string{"piece/...", "dsp", "dsp/robust", "modernc.org/sqlite/..."}},
	{"piece/diary/packed", []string{"piece", "piece/finding", "piece/words", "dsp", "dsp/robust"}},
	{"piece/diary/weeks", []string{"piece/diary/packed", "piece/finding", "piece/fingerboard", "piece/trend", "piece/words", "dsp"}}, // no file
	{"piece/diary/exported", []string{"piece/diary/packed", "piece/outside", "piece/words"}},
	{"piece/engraving", []string{"piece/...", "assets", "golang.org/x/image/..."}},               // outlines of the music font's glyphs
	{"piece/class", []string{"piece/...", "dsp", "golang.org/x/text/unicode/norm"}},              // one name, however its accents are written
	{"piece/player", []string{"piece/outside", "piece/words", "golang.org/x/text/unicode/norm"}}, // a name typed in two ways is one player
	{"piece/wholefile", nil},
	{"piece/outside", nil},
	{"piece/pupil", []string{"piece/...", "dsp", "dsp/robust", "dsp/rig"}},

	{"ui", []string{"ui/...", "piece/...", "dsp/...", "fyne.io/fyne/v2/..."}},
	{"ui/...", underTheWindow}, // a screen each, and no screen another
	{"ui/closer", append([]string{"ui/takes"}, underTheWindow...)},
	{"ui/help", append([]string{"assets"}, underTheWindow...)}, // the demo piece, of which its pictures are
	{"ui/plan", append([]string{"ui/takes"}, underTheWindow...)},
	{"ui/assigned", append([]string{"ui/takes"}, underTheWindow...)},
	{"ui/marking", append([]string{"ui/takes"}, underTheWindow...)},
	{"ui/level", []string{"ui/desk/room", "ui/ink", "ui/fit", "ui/prose", "fyne.io/fyne/v2/..."}},
	{"ui/letters", []string{"piece/engraving", "fyne.io/fyne/v2/...", "golang.org/x/image/..."}}, // reads outlines …
	{"ui/mark", []string{"piece/...", "dsp"}},
	{"ui/pen", []string{"ui/letters", "piece/engraving", "golang.org/x/image/..."}},
	{"ui/page", []string{"ui/mark", "ui/ink", "ui/letters", "ui/pen", "ui/prose", "piece/...", "dsp", "fyne.io/fyne/v2/...", "golang.org/x/image/..."}}, // … and fills them
	{"ui/ink", []string{"piece/...", "dsp", "fyne.io/fyne/v2/...", "golang.org/x/image/..."}},                                                           // and so does this
	{"ui/fit", []string{"fyne.io/fyne/v2/..."}},
	{"ui/prose", []string{"piece/words", "fyne.io/fyne/v2/..."}},
	{"ui/desk", []string{"ui/desk/...", "piece/...", "dsp/..."}},                                                                                                  // no window
	{"ui/desk/...", []string{"ui/desk/errand", "ui/desk/playback", "ui/desk/said", "ui/desk/score", "ui/desk/work", "ui/desk/timetable", "piece/...", "dsp/..."}}, // a part each, and no part another
	{"ui/desk/errand", nil},
	{"ui/desk/playback", []string{"piece/words", "dsp/..."}},
	{"ui/desk/said", []string{"piece/words", "dsp/..."}},
	{"ui/desk/score", []string{"piece/..."}},
	{"ui/desk/ear", []string{"ui/desk/score", "ui/desk/tape", "piece/...", "dsp/..."}},
	{"ui/desk/pieces", []string{"ui/desk/errand", "ui/desk/said", "ui/desk/score", "piece/...", "golang.org/x/text/unicode/norm"}}, // looked for as they are typed, without accents
	{"ui/desk/work", []string{"piece/words"}},
	{"ui/desk/writing", []string{"ui/desk/errand", "ui/desk/playback", "ui/desk/said", "ui/desk/score", "ui/desk/tape", "piece/...", "dsp/..."}}, // a part, too, that records
	{"ui/desk/timetable", []string{"ui/desk/score", "ui/desk/work", "piece/...", "dsp/..."}},
	{"ui/desk/tape", []string{"piece/words", "dsp/..."}},
	{"ui/desk/room", []string{"ui/desk/attempt", "ui/desk/ear", "ui/desk/errand", "ui/desk/said", "ui/desk/score", "ui/desk/tape", "ui/desk/timetable", "ui/desk/work", "piece/...", "dsp/..."}}, // where an attempt sounds and is kept
	{"ui/desk/remembered", []string{"ui/desk/fingering", "ui/desk/room", "ui/desk/work", "piece/..."}},                                                                                           // of which drones, sounds and fingerings there are
	{"ui/desk/shelf", []string{"ui/desk/errand", "ui/desk/playback", "ui/desk/said", "ui/desk/score", "ui/desk/tape", "ui/desk/timetable", "ui/desk/work", "piece/...", "dsp/..."}},              // a part, too, that knows what a full disk did not take
	{"ui/locale", nil},
	{"ui/uitest", []string{"ui/desk", "ui/desk/remembered", "ui/desk/score", "ui/desk/shelf", "ui/prose", "piece/...", "dsp/...", "assets", "fyne.io/fyne/v2/..."}},
	{"assets/...", nil},

	{"cmd/job", []string{"dsp/...", "piece/...", "assets/..."}},                                                                          // files in and out, for every program
	{"cmd/job/classes", []string{"cmd/job", "dsp/...", "piece/..."}},                                                                     // a class's folder, for every program
	{"cmd/option", []string{"piece/outside", "piece/words", "github.com/spf13/pflag", "github.com/jeandeaual/go-locale"}},                // GNU-style long options; which language this computer speaks
	{"cmd/endpin", []string{"cmd/job", "cmd/job/classes", "cmd/option", "dsp/...", "piece/...", "assets/...", "github.com/spf13/pflag"}}, // GNU-style long options
	{"cmd/endpin-desk", []string{"cmd/job", "cmd/job/classes", "cmd/option", "ui/...", "dsp/...", "piece/...", "assets/...", "fyne.io/fyne/v2/...", "github.com/spf13/pflag"}},
	{"cmd/dev", nil},
	{"cmd/dev/...", []string{"dsp/...", "piece/...", "assets/..."}}, // programs of their own
	{"cmd/dev/pack", []string{"ui/ink", "ui/locale"}},               // the icon
}

// underTheWindow is what a screen is made of.
var underTheWindow = []string{"ui/desk", "ui/desk/...", "ui/page", "ui/pen", "ui/mark", "ui/level", "ui/ink", "ui/fit", "ui/prose", "piece/...", "dsp", "fyne.io/fyne/v2/..."}

// forTests are the places that only tests, each other and the programs below
// cmd/dev may import.
var forTests = []string{"dsp/sourcetest", "dsp/rig", "piece/pupil", "piece/scoretest", "piece/words/pseudo", "ui/uitest"}

type place struct {
	path string
	may  []string
}

const module = "endpin"

// covers reports whether pattern, with or without "/...", takes in path.
func covers(pattern, path string) bool {
	below, all := strings.CutSuffix(pattern, "/...")
	return path == below || all && strings.HasPrefix(path, below+"/")
}

// placeOf is the most particular place that covers the package, or false.
func placeOf(pkg string) (found place, ok bool) {
	for _, p := range house {
		if covers(p.path, pkg) && (!ok || p.path == pkg || len(p.path) > len(found.path) && found.path != pkg) {
			found, ok = p, true
		}
	}
	return found, ok
}

// against says why pkg may not import imported, or "". Packages of ours are named
// by their path in the repository.
func against(pkg, imported string, ours bool) string {
	from, ok := placeOf(pkg)
	if !ok {
		return fmt.Sprintf("%s has no place in the house", pkg)
	}
	if ours && slices.Contains(forTests, imported) && !slices.Contains(forTests, pkg) &&
		!strings.HasPrefix(pkg, "cmd/dev/") {
		return fmt.Sprintf("%s imports %s, which is for tests", pkg, imported)
	}
	if imported == "fyne.io/fyne/v2/app" && pkg != "cmd/endpin-desk" {
		return fmt.Sprintf("%s imports %s, so that its tests would need a display", pkg, imported)
	}
	for _, may := range from.may {
		if covers(may, imported) {
			return ""
		}
	}
	return fmt.Sprintf("%s may not import %s", pkg, imported)
}

// listed is what go list tells of a package.
type listed struct {
	ImportPath string
	Standard   bool
	Imports    []string
	CgoFiles   []string
	Module     *struct{ Path string }
}

// goList lists the packages and all that they reach, with cgo or without.
func goList(t *testing.T, cgo string, packages ...string) []listed {
	t.Helper()
	c := exec.Command("go", append([]string{"list", "-deps", "-json=ImportPath,Standard,Imports,CgoFiles,Module"}, packages...)...)
	c.Dir = root(t)
	c.Env = append(os.Environ(), "CGO_ENABLED="+cgo)
	var stderr bytes.Buffer
	c.Stderr = &stderr
	out, err := c.Output()
	require.NoError(t, err, stderr.String())
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			require.NotEmpty(t, all)
			return all
		}
		require.NoError(t, err)
		all = append(all, p)
	}
}

func root(t *testing.T) string {
	t.Helper()
	dir, err := repository()
	require.NoError(t, err)
	return dir
}

// ours is the package's path in the repository.
func ours(importPath string) (string, bool) {
	return strings.CutPrefix(importPath, module+"/")
}

func TestNoImportRunsAgainstTheTable(t *testing.T) {
	all := goList(t, "1", "./...")
	standard := map[string]bool{"C": true}
	for _, p := range all {
		standard[p.ImportPath] = p.Standard
	}
	checked := 0
	for _, p := range all {
		pkg, mine := ours(p.ImportPath)
		if !mine {
			continue
		}
		checked++
		for _, imported := range p.Imports {
			if standard[imported] {
				continue
			}
			path, own := ours(imported)
			if !own {
				path = imported
			}
			if why := against(pkg, path, own); why != "" {
				assert.Fail(t, why)
			}
		}
	}
	assert.Greater(t, checked, 5)
}

func TestTheTableTellsRightFromWrong(t *testing.T) {
	for _, c := range []struct {
		pkg, imported string
		ours, wrong   bool
	}{
		{"dsp", "piece", true, true},
		{"dsp", "github.com/mjibson/go-dsp/fft", false, false},
		{"dsp", "gonum.org/v1/gonum/mat", false, true},
		{"dsp/recording", "github.com/mewkiz/flac/frame", false, false},
		{"dsp/recording", "github.com/gordonklaus/portaudio", false, true},
		{"dsp/sound", "github.com/gordonklaus/portaudio", false, true},
		{"dsp/sound/portaudio", "github.com/gordonklaus/portaudio", false, false},
		{"dsp/sound", "piece", true, true},
		{"piece", "dsp", true, true},
		{"piece/finding", "dsp", true, false},
		{"piece/finding", "dsp/recording", true, true},
		{"piece/finding", "modernc.org/sqlite", false, true},
		{"piece/diary", "modernc.org/sqlite", false, false},
		{"piece/finding", "piece/pupil", true, true},
		{"piece/pupil", "dsp/rig", true, false},
		{"cmd/endpin", "dsp/rig", true, true},
		{"cmd/endpin", "ui", true, true},
		{"cmd/endpin", "piece/report", true, false},
		{"cmd/endpin-desk", "fyne.io/fyne/v2/app", false, false},
		{"ui", "fyne.io/fyne/v2/app", false, true},
		{"ui", "fyne.io/fyne/v2/widget", false, false},
		{"ui/trace", "dsp/rig", true, true},
		{"ui/weeks", "ui/page", true, false},
		{"ui/far", "ui/closer", true, true},
		{"ui/weeks", "ui/pegs", true, true},
		{"ui/ink", "ui/desk", true, true},
		{"ui/desk", "fyne.io/fyne/v2", false, true},
		{"ui/desk/tuner", "ui/desk", true, true},
		{"ui/desk/tuner", "ui/desk/weeks", true, true},
		{"ui/desk/weeks", "ui/desk/shelf", true, true},
		{"ui/desk/room", "ui/desk/shelf", true, true},
		{"ui/desk/shelf", "ui/desk/tape", true, false},
		{"ui/pegs", "ui/desk/tuner", true, false},
		{"ui/takes", "ui/uitest", true, true},
		{"cmd/dev", "piece", true, true},
		{"cmd/dev/measure", "piece/pupil", true, false},
		{"helpers", "dsp", true, true},
	} {
		assert.Equal(t, c.wrong, against(c.pkg, c.imported, c.ours) != "", "%s imports %s", c.pkg, c.imported)
	}
}

func TestEndpinNeedsNoCgo(t *testing.T) {
	// Where cgo is on, nothing outside Go's own library may use it; where it is
	// off, nothing is left of it.
	for _, p := range goList(t, "1", "./cmd/endpin") {
		if !p.Standard {
			assert.Empty(t, p.CgoFiles, "%s uses cgo", p.ImportPath)
		}
	}
	for _, p := range goList(t, "0", "./cmd/endpin") {
		assert.NotEqual(t, "runtime/cgo", p.ImportPath)
	}
	program := filepath.Join(t.TempDir(), "endpin")
	build := exec.Command("go", "build", "-buildvcs=false", "-o", program, "./cmd/endpin")
	build.Dir = root(t)
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	out, err := build.CombinedOutput()
	require.NoError(t, err, string(out))
	if is, err := elf.Open(program); err == nil { // elsewhere nothing of ours is linked to
		defer is.Close()
		assert.Nil(t, is.Section(".interp"), "it needs nothing of the system to start")
		libraries, _ := is.ImportedLibraries()
		assert.Empty(t, libraries)
	}
}

// Whoever builds it as he is told to gets the program that runs anywhere.
func TestEndpinIsBuiltWithoutCgoWhereverItIsBuilt(t *testing.T) {
	for _, manual := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(filepath.Join(root(t), manual))
		require.NoError(t, err)
		built := regexp.MustCompile("(?m)^.*go (?:build|install|run)[^\n`]* \\./cmd/endpin(?:\\s|$)").FindAllString(string(text), -1)
		if manual == "README.md" {
			assert.NotEmpty(t, built)
		}
		for _, line := range built {
			assert.Contains(t, line, "CGO_ENABLED=0", manual)
		}
	}
}

func TestTopOfTheRepositoryHoldsWhatIsListed(t *testing.T) {
	want := []string{".ci", ".gitignore", "DEVELOPERS.md", "LICENSE", "README.md",
		"assets", "cmd", "dsp", "go.mod", "go.sum", "piece", "testdata", "ui"}
	list := exec.Command("git", "-c", "safe.directory=*", "ls-files", "-z")
	list.Dir = root(t)
	out, err := list.Output()
	if _, none := os.Stat(filepath.Join(root(t), ".git")); none != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("not a git repository")
		}
		t.Skip("not a git repository")
	}
	require.NoError(t, err)
	var top []string
	for _, path := range strings.Split(strings.Trim(string(out), "\x00"), "\x00") {
		first, _, _ := strings.Cut(path, "/")
		if !slices.Contains(top, first) {
			top = append(top, first)
		}
	}
	slices.Sort(top)
	assert.Equal(t, want, top)
}

// What is larger than this nobody reads in one go: it has rooms that want a door.
func TestNoPackageOfTheDeskIsOver1500Lines(t *testing.T) {
	lines := map[string]int{}
	err := filepath.WalkDir(filepath.Join(root(t), "ui"), func(path string, e fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		lines[filepath.Dir(path)] += bytes.Count(text, []byte("\n"))
		return err
	})
	require.NoError(t, err)
	require.NotEmpty(t, lines)
	for folder, n := range lines {
		assert.LessOrEqual(t, n, 1500, folder)
	}
}
