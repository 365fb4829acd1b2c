package midi_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/midi"
	"endpin/piece/notation"
)

// pieces are the fixtures, by file.
func pieces(t testing.TB) map[string]*piece.Piece {
	files, err := filepath.Glob("../../testdata/pieces/*")
	require.NoError(t, err)
	all := map[string]*piece.Piece{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		if p, err := notation.Read(f, data); err == nil {
			all[filepath.Base(f)] = p
		}
	}
	require.Greater(t, len(all), 8)
	return all
}

func written(t testing.TB, p *piece.Piece) []byte {
	var b bytes.Buffer
	require.NoError(t, midi.Write(&b, p, 0))
	return b.Bytes()
}

func TestAPieceWrittenAsMIDISoundsAsItsLine(t *testing.T) {
	for name, p := range pieces(t) {
		f, err := midi.Read(written(t, p))
		require.NoError(t, err, name)
		require.Len(t, f.Tracks, 1, name)
		line, _ := p.Line()
		require.Len(t, f.Tracks[0].Notes, len(line), name)
		for i, n := range f.Tracks[0].Notes {
			assert.Equal(t, line[i].MIDI, n.Pitch, name)
			assert.InDelta(t, line[i].Onset.Quarters(), n.On, 1./480, name)
			assert.InDelta(t, (line[i].Onset + line[i].Length).Quarters(), n.Off, 1./480, name)
		}
		first := f.Metres[0]
		if p.Measures[0].Implicit { // a metre of its own, from whose end bar lines are counted
			assert.Equal(t, p.Measures[0].Length.Quarters(), float64(first.Beats)*4/float64(first.Unit), name)
			first = f.Metres[1]
		}
		assert.Equal(t, p.Measures[0].Time, piece.Time{Beats: first.Beats, Unit: first.Unit}, name)
		assert.Equal(t, p.Measures[0].Key, piece.Key{Fifths: f.Keys[0].Fifths, Minor: f.Keys[0].Minor}, name)
	}
}

// The example of the standard: "Standard MIDI Files 1.0", page 12 (from memory), a file
// of type 0 with running status, four notes that sound to the second quarter after them.
var printed = []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60" +
	"MTrk\x00\x00\x00\x3b" +
	"\x00\xff\x58\x04\x04\x02\x18\x08" + "\x00\xff\x51\x03\x07\xa1\x20" +
	"\x00\xc0\x05" + "\x00\xc1\x2e" + "\x00\xc2\x46" +
	"\x00\x92\x30\x60" + "\x00\x3c\x60" + "\x60\x91\x43\x40" + "\x60\x90\x4c\x20" +
	"\x81\x40\x82\x30\x40" + "\x00\x3c\x40" + "\x00\x81\x43\x40" + "\x00\x80\x4c\x40" + "\x00\xff\x2f\x00")

func TestTheStandardsOwnExampleIsRead(t *testing.T) {
	f, err := midi.Read(printed)
	require.NoError(t, err)
	assert.Equal(t, []midi.Metre{{Beats: 4, Unit: 4}}, f.Metres)
	assert.Equal(t, []midi.Tempo{{QPM: 120}}, f.Tempos)
	require.Len(t, f.Tracks, 3)
	assert.Equal(t, []midi.Note{{On: 2, Off: 4, Pitch: 76}}, f.Tracks[0].Notes)
	assert.Equal(t, []midi.Note{{On: 1, Off: 4, Pitch: 67}}, f.Tracks[1].Notes)
	assert.Equal(t, []midi.Note{{On: 0, Off: 4, Pitch: 48}, {On: 0, Off: 4, Pitch: 60}}, f.Tracks[2].Notes)
	assert.Equal(t, []int{6, 47, 71}, []int{f.Tracks[0].Program, f.Tracks[1].Program, f.Tracks[2].Program})
}

func TestADamagedFileIsRefusedWithItsPlaceAndTheMend(t *testing.T) {
	for what, data := range map[string][]byte{
		"no MIDI file":             []byte("RIFF"),
		"a type of its own":        []byte("MThd\x00\x00\x00\x06\x00\x02\x00\x01\x00\x60"),
		"no division":              []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x00"),
		"no notes":                 []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x04\x00\xff\x2f\x00"),
		"a wait that never ends":   append([]byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x01MTrk\x00\x00\x00\x08"), "\xff\xff\xff\x7f\x90\x30\x40\x00"...),
		"a number of five bytes":   append([]byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x08"), "\xff\xff\xff\xff\x7f\x90\x30\x40"...),
		"data without a status":    append([]byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x03"), "\x00\x30\x40"...),
		"a note cut off":           append([]byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x10"), "\x00\x90\x30"...),
		"a text beyond the track":  append([]byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x05"), "\x00\xff\x03\x7fA"...),
		"a file cut off":           printed[:len(printed)-12],
		"a header beyond the file": []byte("MThd\xff\xff\xff\xff\x00\x00\x00\x01\x00\x60"),
	} {
		_, err := midi.Read(data)
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), ":", "%s: no mend in %q", what, err)
	}
}

func FuzzMIDI(f *testing.F) {
	f.Add(printed)
	for _, p := range pieces(f) {
		f.Add(written(f, p))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := midi.Read(data)
		if err != nil {
			return
		}
		for _, track := range file.Tracks {
			for i, n := range track.Notes {
				if n.Off < n.On || n.Pitch < 0 || n.Pitch > 127 || i > 0 && n.On < track.Notes[i-1].On {
					t.Fatalf("note %d: %+v", i, n)
				}
			}
		}
	})
}
