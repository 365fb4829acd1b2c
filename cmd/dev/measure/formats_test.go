package main

import (
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/pupil"
)

// What survives the encoders that phones use, a telephone and a hall: the planted
// faults do, with the design's precision. On these takes all are found and none is
// false; held is the design's 0.95, over all together.
func TestFindingsSurviveTheWayToTheTeacher(t *testing.T) {
	o, folder := rendered(t, 1)
	for _, tool := range []string{"ffmpeg", "sox"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatal(tool + " is not installed")
			}
			t.Skip(tool + " is not installed")
		}
	}
	var through []passage
	for _, name := range []string{"WAV, as rendered", "m4a (AAC 64 kbit/s)", "ogg (Vorbis)", "opus, 24 kbit/s", "mp3, 64 kbit/s", "8 kHz, GSM full rate", "hall (reverb 50 50 80)"} {
		for _, p := range passages {
			if p.name == name {
				through = append(through, p)
			}
		}
	}
	require.Len(t, through, 7)
	var faults []pupil.Fault
	for i, f := range carried("") {
		if i%4 == 0 {
			faults = append(faults, f)
		}
	}
	all, err := surviving(o, faults, 1, through, folder)
	require.NoError(t, err)
	planted, found, wrong := 0, 0, 0
	for k, s := range all {
		n := s.found.total()
		t.Logf("%s: %d of %d found, %d false %v", through[k].name, n.part, n.whole, len(s.told), s.told)
		assert.Zero(t, s.nothing, through[k].name)
		planted, found, wrong = planted+n.whole, found+n.part, wrong+len(s.told)
	}
	require.GreaterOrEqual(t, planted, 40)
	assert.GreaterOrEqual(t, float64(found), 0.95*float64(planted), "recall")
	assert.GreaterOrEqual(t, float64(found), 0.95*float64(found+wrong), "precision")
}
