package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By one policy no output of any command takes the place of anything but what Endpin
// wrote.
func TestNoCommandWritesOverWhatEndpinDidNotWrite(t *testing.T) {
	if testing.Short() {
		t.Skip("hears whole takes")
	}
	folder := t.TempDir()
	piece, take := demoFiles(t)
	at := func(name string) string { return filepath.Join(folder, name) }
	said := func(args ...string) (status int, text string) {
		var out bytes.Buffer
		status = run(args, &out, &out)
		return status, out.String()
	}
	status, text := said("diary", "add", "--diary", at("d.db"), "Mina", piece, take)
	require.Equal(t, heard, status, text)
	status, text = said("diary", "check", "--diary", at("d.db"))
	require.Equal(t, heard, status, text)
	require.NoError(t, os.Mkdir(at("in"), 0o700))
	sound, err := os.ReadFile(take)
	require.NoError(t, err)
	for name, data := range map[string][]byte{"in/ONE.flac": sound, "other.wav": []byte("RIFF"), "other.musicxml": []byte("<score-partwise/>"), "mine.html": []byte("<p>mine</p>")} {
		require.NoError(t, os.WriteFile(at(name), data, 0o600))
	}
	before := map[string]string{}
	for _, name := range []string{"d.db", "d.db.good", "in/ONE.flac", "other.wav", "other.musicxml", "mine.html"} {
		data, err := os.ReadFile(at(name))
		require.NoError(t, err)
		before[name] = string(data)
	}
	for command, refused := range map[string]bool{
		"diary shifts Mina --diary d.db --json d.db":                    true,
		"diary report Mina --diary d.db --out d.db.good":                true,
		"diary report Mina --diary d.db --out d.db":                     true,
		"diary add Mina PIECE TAKE --diary d.db --json d.db":            true,
		"hear PIECE TAKE --json d.db":                                   true,
		"hear PIECE TAKE --json both --report both":                     true,
		"outline PIECE --json d.db.good":                                true,
		"demo --report d.db":                                            true,
		"class PIECE in --out out --json in/ONE.flac":                   true,
		"class PIECE in --out out --json out/class.html":                true,
		"class PIECE in --out out --json d.db":                          true,
		"hear PIECE TAKE --report other.wav":                            false,
		"hear PIECE TAKE --json other.musicxml":                         false,
		"outline PIECE --report mine.html --musicxml other.musicxml":    false,
		"diary shifts Mina --diary d.db --json mine.html":               false,
		"diary report Mina --diary d.db --out mine.html":                false,
		"diary add Mina PIECE TAKE --diary d2.db --json other.musicxml": false,
		"class PIECE in --out out --json mine.html":                     false,
	} {
		args := strings.Fields(command)
		for i, a := range args {
			switch {
			case a == "PIECE":
				args[i] = piece
			case a == "TAKE":
				args[i] = take
			case strings.Contains(a, ".") || a == "in" || a == "out" || a == "both":
				args[i] = at(a)
			}
		}
		status, text := said(args...)
		if refused {
			assert.Equal(t, unusable, status, "%s: %s", command, text)
			assert.Contains(t, text, "give it another name", command)
		} else {
			assert.Equal(t, heard, status, "%s: %s", command, text)
			assert.Contains(t, text, "it stays as it is", command)
		}
		for name, was := range before {
			data, err := os.ReadFile(at(name))
			require.NoError(t, err, command)
			assert.True(t, was == string(data), "%s: %s is as it was", command, name)
		}
	}
}
