package job

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
	} {
		assert.Equal(t, want, played(name, written).Format(time.DateTime), name)
	}
}
