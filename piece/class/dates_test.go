package class

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestARecordingIsDatedByItsNameBeforeItsFile(t *testing.T) {
	written := time.Date(2026, 11, 20, 9, 15, 30, 0, time.UTC)
	for name, want := range map[string]string{
		"2026-11-02 17-30-05.wav":         "2026-11-02 17:30:05", // as the desk names a take
		"20261102_1730.m4a":               "2026-11-02 17:30:00",
		"REC-20261102-173005.mp3":         "2026-11-02 17:30:05",
		"Mina 2026.11.02.wav":             "2026-11-02 12:00:00",
		"Mina 2026-11-20.wav":             "2026-11-20 09:15:30", // the day it was written on
		"Gate Song 2026-11-02T17:30.flac": "2026-11-02 17:30:00",
		"take.wav":                        "2026-11-20 09:15:30",
		"2026-04-31 10-00.wav":            "2026-11-20 09:15:30", // there is no such day
		"IMG_20261402.mp3":                "2026-11-20 09:15:30",
		"120261102.wav":                   "2026-11-20 09:15:30", // a number that goes on
		"2026-1102.wav":                   "2026-11-20 09:15:30",
		"Mina 2.11.2026.wav":              "2026-11-02 12:00:00",
		"Mina 02-11-26.wav":               "2026-11-20 09:15:30", // or the 11th of February
		"Mina 11-19-2026.wav":             "2026-11-19 12:00:00",
		"Mina_20.11.26.wav":               "2026-11-20 09:15:30",
		"Mina 31.4.2026.wav":              "2026-11-20 09:15:30",
	} {
		at, by := Played(name, time.Time{}, written)
		assert.Equal(t, want, at.Format(time.DateTime), name)
		assert.Equal(t, by == ByName, at != written || name == "Mina 2026-11-20.wav" || name == "Mina_20.11.26.wav", name)
	}
	recorded := written.AddDate(0, 0, -3)
	at, by := Played("take.wav", recorded, written)
	assert.Equal(t, recorded, at, "a copy is written later than it was played")
	assert.Equal(t, ByRecording, by)
	at, _ = Played("Mina 2026-11-17.wav", recorded, written)
	assert.Equal(t, recorded, at, "the day is the name's, the hour the recorder's")
}
