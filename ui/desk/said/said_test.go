package said

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp/sound"
)

func TestEveryTroubleWithADeviceIsASentence(t *testing.T) {
	for f, says := range map[*sound.Fault]string{
		{Trouble: sound.None}:                                                             "This computer has no microphone; plug one in and try again.",
		{Trouble: sound.Absent, Device: "Headset"}:                                        `The microphone "Headset" is not plugged in; plug it in or choose another.`,
		{Trouble: sound.Busy, Output: true, Device: "Box"}:                                `The loudspeaker "Box" is in use by another program; close that program or choose another device.`,
		{Trouble: sound.Pulled, Device: "Headset"}:                                        `The microphone "Headset" stopped; plug it in again to go on. What was played so far is kept.`,
		{Trouble: sound.Changed, Output: true}:                                            "The loudspeaker changed its sampling rate; start again to go on.",
		{Trouble: sound.Refused}:                                                          "The microphone cannot be opened; see that it is plugged in, or choose another.",
		{Trouble: sound.Refused, Device: "Headset", Err: errors.New("no such interface")}: `The microphone "Headset" cannot be opened (no such interface); see that it is plugged in, or choose another.`,
	} {
		assert.Equal(t, says, Sentence(f))
	}
}
