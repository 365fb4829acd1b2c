package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/fingerboard"
	"endpin/piece/homework"
	"endpin/piece/outline"
	"endpin/piece/words/pseudo"
)

// own are the words of the command line that every language has alike: commands,
// options and the values of options, longer ones first.
func own(more ...string) []string {
	names := append(more, "endpin", "--language", "true|false", "first-year", "intermediate", "advanced", "equal", "just", "pythagorean", "moves", "every", "half", "thumb",
		"endpin-report.html", "demo.musicxml", "demo.flac")
	names = append(append(names, outline.WeightNames()...), homework.Ways...)
	for _, in := range fingerboard.Instruments() {
		names = append(names, in.Word)
	}
	for _, school := range fingerboard.Schools() {
		names = append(names, school.Name)
	}
	var all func([]command)
	all = func(some []command) {
		for _, c := range some {
			f := pflag.NewFlagSet("", pflag.ContinueOnError)
			if names = append(names, c.name); c.options != nil {
				c.options(f)
			}
			f.VisitAll(func(o *pflag.Flag) { names = append(names, "--"+o.Name) })
			all(c.below)
		}
	}
	all(commands())
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	return names
}

func TestTheHelpOfEveryCommandSpeaksTheLanguage(t *testing.T) {
	defer pseudo.Speak()()
	asked := [][]string{{"--help"}, {"diary", "--help"}}
	for _, c := range commands() {
		if c.below == nil {
			asked = append(asked, []string{c.name, "--help"})
		}
	}
	for _, c := range diaryCommand.below {
		asked = append(asked, []string{"diary", c.name, "--help"})
	}
	require.Greater(t, len(asked), 15)
	for _, args := range asked {
		out, errOut, code := endpin(args...)
		assert.Equal(t, heard, code, "%s: %s", args, errOut)
		assert.Empty(t, pseudo.Plain(out, own()...), "%s\n%s", args, out)
		for _, line := range strings.Split(out, "\n") {
			if strings.HasPrefix(line, "      --") || strings.HasPrefix(line, "           ") {
				assert.LessOrEqual(t, len([]rune(line)), 100, "%s", line)
			}
		}
	}
}

func TestWhatIsWrongIsSaidInTheLanguage(t *testing.T) {
	dir := t.TempDir()
	piece, out := filepath.Join(dir, "demo.musicxml"), filepath.Join(dir, "out")
	require.NoError(t, os.WriteFile(piece, assets.DemoPiece, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "demo.flac"), []byte("no sound"), 0o600))
	take, absent, diary := filepath.Join(dir, "demo.flac"), filepath.Join(dir, "absent"), filepath.Join(dir, "my.diary")
	empty := t.TempDir()
	defer pseudo.Speak()()
	for _, args := range [][]string{
		{"Listen"}, {"diary", "Listen"},
		{"hear"}, {"hear", absent, take}, {"hear", dir, take}, {"hear", piece, absent}, {"hear", piece, take}, {"hear", piece, dir},
		{"hear", piece, take, "--Q"}, {"hear", piece, take, "-Q"}, {"hear", piece, take, "--tempo"}, {"hear", piece, take, "--=Q"},
		{"hear", piece, take, "--tempo", "Q"}, {"hear", piece, take, "--tempo", "2"}, {"hear", piece, take, "--a4", "2"},
		{"hear", piece, take, "--level", "Q"}, {"hear", piece, take, "--intonation", "Q"}, {"hear", piece, take, "--positions", `"`},
		{"hear", piece, take, "--report", "-"}, {"hear", piece, take, "--report", "Q.pdf"}, {"hear", piece, take, "--json", piece},
		{"class"}, {"class", piece, dir}, {"class", piece, absent, "--out", out}, {"class", piece, piece, "--out", out},
		{"class", piece, dir, "--out", dir}, {"class", piece, empty, "--out", out}, {"class", piece, dir, "--out", out},
		{"class", piece, dir, "--diary", diary}, {"class", piece, dir, "--out", out, "--roster", absent}, {"class", piece, dir, "--no-sound=Q"},
		{"assign", piece, "--out", filepath.Join(dir, "Q.doc")},
		{"assign"}, {"assign", piece, "--out", out + ".endpin", "--until", "Q"}, {"assign", piece, "--out", out + ".endpin", "--until", "2025-12-06"}, {"assign", piece, "--out", out + ".endpin", "--work", "Q"}, {"assign", piece, "--out", piece},
		{"outline"}, {"outline", piece, "--minutes", "Q"}, {"outline", piece, "--minutes", "5"}, {"outline", piece, "--step", "0"},
		{"outline", piece, "--bow", "0"}, {"outline", piece, "--fingers", "Q"}, {"outline", piece, "--fingers", "every"},
		{"outline", piece, "--musicxml", "-"}, {"outline", piece, "--musicxml", "Q.mxl"}, {"outline", piece, "--json", filepath.Join(absent, "Q")},
		{"pitch"}, {"pitch", absent}, {"demo", "Q"},
		{"diary", "add", "Q"}, {"diary", "add", "Q", piece, take, "--on", "Q"}, {"diary", "add", "Q", piece, take, "--sound-limit", "Q"},
		{"diary", "add", "Q", piece, dir, "--json", "-"}, {"diary", "add", "Q", piece, empty, "--diary", diary},
		{"diary", "shifts", "Q", "--diary", diary}, {"diary", "shifts", "Q", "--diary", empty, "--piece", absent}, {"diary", "check", "--diary", piece},
		{"diary", "check", "--diary", absent}, {"diary", "add", "Q", piece, take, "--diary", filepath.Join(absent, "Q")},
		{"hear", piece, take, "--measures", "Q"}, {"hear", piece, take, "--measures", "9-2"}, {"hear", piece, take, "--part", "Q"},
		{"hear", piece, take, "--instrument", "Q"}, {"hear", piece, take, "--positions", "Q"}, {"hear", take, take},
		{"outline", piece, "--sections", "9-12,1-8"}, {"outline", piece, "--weights", "Q"}, {"outline", piece, "--weights", "Q=2"},
		{"diary", "players", "--diary", empty}, {"diary", "import", absent}, {"diary", "import", piece, "--diary", empty},
		{"diary", "report", "Q"}, {"diary", "report", "Q", "--out", "Q.doc"}, {"diary", "report", "--all", "--out", diary, "--diary", diary},
		{"diary", "report", "--all", "--out", out, "--diary", diary},
		{"diary", "remove", "Q", "Q", "--diary", diary},
	} {
		said, errOut, code := endpin(args...)
		assert.NotEqual(t, heard, code, "%s: %s", args, said)
		assert.Regexp(t, oneLine, errOut)
		assert.Empty(t, pseudo.Plain(errOut+said, own(empty, dir, "my.diary", "absent", "Listen", "Double Bass", ".pdf", ".mxl", ".doc")...), "%s: %s%s", args, errOut, said)
	}
}

func TestWhatIsSaidOfTakesSpeaksTheLanguage(t *testing.T) {
	slow(t)
	piece, take := demoFiles(t)
	folder := t.TempDir()
	diary, class := filepath.Join(folder, "my.diary"), filepath.Join(folder, "Class")
	require.NoError(t, os.Mkdir(class, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(class, "Mina.flac"), assets.DemoTake, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(class, "Ole.flac"), []byte("fLaC"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(class, "Notes.txt"), []byte("Q"), 0o600))
	t.Chdir(folder)
	defer pseudo.Speak()()
	at := []string{"--diary", diary}
	for _, args := range [][]string{
		{"demo"},
		{"class", piece, class, "--out", "Out"},
		append([]string{"diary", "add", "Mina", piece, take, "--on", "2026-11-02T17:30"}, at...),
		append([]string{"diary", "add", "Mina", piece, class}, at...),
		append([]string{"diary", "takes", "Mina"}, at...), append([]string{"diary", "players"}, at...),
		append([]string{"diary", "shifts", "Mina"}, at...), append([]string{"diary", "shifts", "Mina", "--since", "2999-01-01"}, at...),
		append([]string{"diary", "report", "Mina", "--out", "Q.html"}, at...), append([]string{"diary", "report", "--all", "--out", "Q.html"}, at...),
		append([]string{"diary", "check"}, at...), append([]string{"diary", "export", "Export"}, at...),
		{"diary", "import", "Export", "--diary", "Again"}, {"diary", "rehear", "--diary", "Again"},
		{"diary", "remove", "Mina", "1", "--yes", "--diary", "Again"},
		append([]string{"diary", "forget", "Mina", "--yes"}, at...),
	} {
		out, errOut, code := endpin(args...)
		require.Equal(t, heard, code, "%s: %s", args, errOut)
		assert.Empty(t, pseudo.Plain(out, own(folder, "my.diary.good", "my.diary", "Class", "Mina", "Ole", ".flac", "Notes.txt", "Out", "Export", "Again", "Q.html",
			"class.html", "Stairs to the Loft", "Endpin", "III")...), "%s\n%s", args, out)
	}
}
