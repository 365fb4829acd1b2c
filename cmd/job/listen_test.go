package job

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
)

// hum is a sound that never ends.
type hum struct{ read int }

func (h *hum) Rate() int { return 8000 }

func (h *hum) Read(buf []float32) (int, error) {
	h.read += len(buf)
	return len(buf), nil
}

func TestASoundThatNeverEndsIsGivenUp(t *testing.T) {
	source := &hum{}
	const most = 10 * 8000
	_, err := dsp.Listen(&bounded{Source: source, ctx: context.Background(), left: most}, dsp.Bass)
	assert.ErrorIs(t, err, errTooLong)
	assert.InDelta(t, most, source.read, 8192)
}

func TestListeningEndsSoonAfterItsContext(t *testing.T) {
	source := &hum{}
	ctx, cancel := context.WithCancel(context.Background())
	b := &bounded{Source: source, ctx: ctx, left: 3600 * 8000, told: func(float64) {
		if source.read > 8000 {
			cancel()
		}
	}}
	_, err := dsp.Listen(b, dsp.Bass)
	assert.ErrorIs(t, err, context.Canceled)
	assert.Less(t, source.read, 3*8192)
}
