package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheRaceDetectorGoesWhereSomethingRunsAlongside(t *testing.T) {
	for source, want := range map[string]bool{
		"package a\nfunc f() { go f() }":                                           true,
		"package a\nimport \"sync\"\nfunc f() { var w sync.WaitGroup; w.Go(f) }":   true,
		"package a\nimport \"time\"\nfunc f() { time.AfterFunc(0, f) }":            true,
		"package a\nimport \"testing\"\nfunc TestA(t *testing.T) { t.Parallel() }": true,
		"package a\nimport _ \"fyne.io/fyne/v2/widget\"":                           true,
		"package a\nimport _ \"database/sql\"":                                     true,
		"package a\nimport _ \"database/sqlx\"":                                    false,
		"package a\nfunc f() { f() } // go f()":                                    false,
	} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "a_test.go"), []byte(source), 0o600))
		got, err := raced(dir)
		require.NoError(t, err)
		assert.Equal(t, want, got, source)
	}
	here, err := repository()
	require.NoError(t, err)
	for place, want := range map[string]bool{
		"ui/desk": true, "ui": true, "dsp": true, "dsp/recording": true, "dsp/sound/portaudio": true, "piece/diary": true,
		"cmd/job/classes": true, "cmd/endpin-desk": true,
		"piece": false, "piece/finding": false, "piece/align": false, // they compute
	} {
		got, err := raced(filepath.Join(here, place))
		require.NoError(t, err)
		assert.Equal(t, want, got, place)
	}
}

func TestAFileThatIsNotGoIsNamedByTheRaceCheck(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.go"), []byte("no go"), 0o600))
	_, err := raced(dir)
	require.ErrorContains(t, err, filepath.Join(dir, "a.go"))
}
