package playback

import (
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAStretchIsReadByItsTimes(t *testing.T) {
	x, err := stretch(t.Context(), &counter{rate: 1000, n: 5000}, 1, 2)
	require.NoError(t, err)
	require.Len(t, x, 1000)
	assert.Equal(t, []float32{1000, 1999}, []float32{x[0], x[999]})
	x, err = stretch(t.Context(), &counter{rate: 1000, n: 1500}, 1, 2)
	require.NoError(t, err)
	assert.Len(t, x, 500, "as far as there is sound")
}

// counter is a source whose samples are their own numbers.
type counter struct{ rate, n, at int }

func (c *counter) Rate() int { return c.rate }
func (c *counter) Read(buf []float32) (n int, err error) {
	for n < min(len(buf), 333) && c.at < c.n {
		buf[n] = float32(c.at)
		c.at++
		n++
	}
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}
