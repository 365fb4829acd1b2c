package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A file manager hands over a path or a file's address (RFC 8089); what only looks like one
// is a path.
func TestAFilesAddressIsItsPath(t *testing.T) {
	for given, want := range map[string]string{
		"file:///home/a/T%C3%BCne%20%E2%99%A9.musicxml": "/home/a/Tüne ♩.musicxml",
		"file://localhost/home/a/b.abc":                 "/home/a/b.abc",
		"/home/a/b%20c.abc":                             "/home/a/b%20c.abc",
		"böse %zz.abc":                                  "böse %zz.abc",
		"http://a/b.abc":                                "http://a/b.abc",
		"file:":                                         "file:",
	} {
		o, err := options([]string{given, "--recording", given})
		require.NoError(t, err)
		assert.Equal(t, want, o.piece)
		assert.Equal(t, want, o.recording)
	}
}
