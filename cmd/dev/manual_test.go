package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A manual is read whole only while it is short.
const longestManual = 20_000 // bytes

var (
	// pathNamed is a path from the top of the repository.
	pathNamed = regexp.MustCompile(`(?:^|[^\w/.-])(?:\./)?((?:\.ci|assets|cmd|dsp|piece|testdata|ui)/[\w./-]*\w)`)
	// fileNamed is a file of ours that is named without its folder.
	fileNamed = regexp.MustCompile("`([\\w-]+\\.(?:go|md|py))`")
)

// pathsIn gives what a text names: paths, and files without their folder.
func pathsIn(text string) (paths, files []string) {
	for _, m := range pathNamed.FindAllStringSubmatch(text, -1) {
		paths = append(paths, m[1])
	}
	for _, m := range fileNamed.FindAllStringSubmatch(text, -1) {
		files = append(files, m[1])
	}
	return paths, files
}

func TestWhatTheManualAndTheFiguresNameIsThere(t *testing.T) {
	var names []string
	require.NoError(t, filepath.WalkDir(root(t), func(path string, entry fs.DirEntry, err error) error {
		if err == nil && entry.IsDir() && entry.Name() == ".git" {
			return fs.SkipDir
		}
		names = append(names, filepath.Base(path))
		return err
	}))
	figures, err := filepath.Glob(filepath.Join(root(t), "testdata", "figures", "*.md"))
	require.NoError(t, err)
	require.NotEmpty(t, figures)
	for _, manual := range append(figures, filepath.Join(root(t), "DEVELOPERS.md"), filepath.Join(root(t), "README.md")) {
		text, err := os.ReadFile(manual)
		require.NoError(t, err)
		paths, files := pathsIn(string(text))
		assert.NotEmpty(t, paths, manual)
		for _, path := range paths {
			_, err := os.Stat(filepath.Join(root(t), filepath.FromSlash(path)))
			assert.NoError(t, err, "%s names %s", manual, path)
		}
		for _, file := range files {
			assert.True(t, slices.Contains(names, file), "%s names %s, which is nowhere", manual, file)
		}
	}
}

func TestTheManualsPathsAreFoundInItsText(t *testing.T) {
	paths, files := pathsIn("`dsp/gone.go`, run ./ui/weeks; (cmd/dev) but neither ~/.local/ui/x nor `dsp.Source`. See `lost.go`.")
	assert.Equal(t, []string{"dsp/gone.go", "ui/weeks", "cmd/dev"}, paths)
	assert.Equal(t, []string{"lost.go"}, files)
}

func TestTheManualIsShortAndNamesEveryPackage(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root(t), "DEVELOPERS.md"))
	require.NoError(t, err)
	assert.LessOrEqual(t, len(text), longestManual, "bytes of DEVELOPERS.md: how a part works belongs into its doc.go, figures into testdata/figures")
	for _, p := range house {
		if place := p.path; !strings.HasSuffix(place, "/...") {
			assert.Contains(t, string(text), "`"+place+"`", "a row of the map")
		}
	}
}
