package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
)

func TestWhatIsRemovedForGoodIsAskedForFirst(t *testing.T) {
	was := atTerminal
	t.Cleanup(func() { atTerminal = was })
	ask := func(typed string, args ...string) (asked string, err error) {
		var out bytes.Buffer
		atTerminal = func() *terminal { return &terminal{strings.NewReader(typed), &out} }
		f := pflag.NewFlagSet("", pflag.ContinueOnError)
		yesOption(f)
		assert.NoError(t, f.Parse(args))
		err = sure(&call{command: diaryForget, flags: f}, "Zoé with 12 takes", "Zoé")
		return out.String(), err
	}
	for typed, does := range map[string]bool{
		"y\n": true, "YES\n": true, "Zoé\n": true, "zoe\u0301 \r\n": true, "y": true,
		"\n": false, "n\n": false, "": false, "Zo\n": false, "Ada\n": false,
	} {
		asked, err := ask(typed)
		assert.Contains(t, asked, "Remove Zoé with 12 takes for good?")
		if does {
			assert.NoError(t, err, "%q", typed)
		} else {
			assert.EqualError(t, err, "nothing was removed", "%q", typed)
		}
	}
	asked, err := ask("", "--yes")
	assert.NoError(t, err)
	assert.Empty(t, asked)
}

func TestNothingThatIsNoTerminalIsAsked(t *testing.T) {
	null, err := os.Open(os.DevNull)
	assert.NoError(t, err)
	defer null.Close()
	assert.False(t, isTerminal(null))
	file, err := os.Create(t.TempDir() + "/file")
	assert.NoError(t, err)
	defer file.Close()
	assert.False(t, isTerminal(file))
}

// In a folder of diaries the file has the player's name: a program that was cut off
// between forgetting and removing leaves it.
func TestAFileWhosePlayerIsForgottenIsRemovedByTheNext(t *testing.T) {
	folder := t.TempDir()
	piece, take := demoFiles(t)
	var said bytes.Buffer
	require.Equal(t, heard, run([]string{"diary", "add", "--diary", folder, "Minavella", piece, take}, &said, &said), said.String())
	files, err := diary.FilesIn(folder)
	require.NoError(t, err)
	require.Len(t, files, 1)
	d, err := diary.Open(files[0])
	require.NoError(t, err)
	_, err = d.Forget("Minavella")
	require.NoError(t, err)
	require.NoError(t, d.Close()) // and no more

	run([]string{"diary", "forget", "--yes", "--diary", folder, "Minavella"}, &said, &said)
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Empty(t, left)
}
