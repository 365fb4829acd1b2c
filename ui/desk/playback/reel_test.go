package playback

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sound"
)

// steady is a recording whose samples are their own numbers, divided.
type steady struct{ counter }

func (s *steady) Close() error { return nil }
func (s *steady) Read(buf []float32) (int, error) {
	n, err := s.counter.Read(buf)
	for i := range buf[:n] {
		buf[i] /= 10000
	}
	return n, err
}

func TestStretchesOfAReelGoOnFromOneAnotherAndGoBack(t *testing.T) {
	opened := 0
	p := Player{Open: func(string) (Recording, error) {
		opened++
		return &steady{counter{rate: 1000, n: 5000}}, nil
	}}
	r := p.Reel("take.wav", 1000)
	defer r.Close()
	first, err := r.Stretch(t.Context(), 4, 4.5)
	require.NoError(t, err)
	require.Len(t, first, 500)
	assert.InDelta(t, loudest, first[499], 1e-4, "as loud as may be at its loudest")
	next, err := r.Stretch(t.Context(), 4.4, 4.9) // a tenth of a second again
	require.NoError(t, err)
	require.Len(t, next, 500)
	assert.Equal(t, 1, opened)
	assert.InDelta(t, first[400], next[0], 1e-4, "where it runs into the one before it is the same")
	for _, v := range next {
		assert.LessOrEqual(t, v, float32(loudest), "nothing is louder, though the recording grows")
	}
	back, err := r.Stretch(t.Context(), 1, 1.1)
	require.NoError(t, err)
	require.Len(t, back, 100)
	assert.Equal(t, 2, opened)
	past, err := r.Stretch(t.Context(), 4.95, 9)
	require.NoError(t, err)
	assert.Len(t, past, 50)
	over, err := r.Stretch(t.Context(), 9, 10)
	require.NoError(t, err)
	assert.Empty(t, over)
}

func TestAnotherLoudspeakerBeginsSoftlyAgain(t *testing.T) {
	card := sound.NewPretend(44100)
	v := &Volume{}
	on := func(name string) {
		p := Player{Card: sound.New(card), Name: name, Loud: v}
		l, err := p.Loudspeaker()
		require.NoError(t, err)
		require.NoError(t, l.Close())
	}
	on("")
	assert.Zero(t, v.Step())
	v.Louder(9)
	assert.Equal(t, v.Steps()-1, v.Step(), "as loud as may be, and no louder")
	on("")
	assert.Equal(t, v.Steps()-1, v.Step(), "the same one stays as it was set")
	v.name = "another"
	on("")
	assert.Zero(t, v.Step())
}
