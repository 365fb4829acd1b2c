package packed_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary/packed"
)

// One set of columns is read into for every take of a span: nothing of one take may be
// left in the next.
func TestATakesLandingsAreItsOwn(t *testing.T) {
	var c packed.Landings
	require.NoError(t, packed.Read([]byte(`{"shift":[7,8],"pass":[1,1],"cents":[-4.5,12],"settle_ms":[80,90],"qpm":[60,60],"carried_by":["open string",""],
		"plucked":[0,1],"marked":[0,0],"alternative":[0,0],"trust":["sure","fair"],"at_s":[1.5,2]}`), &c))
	assert.Equal(t, 90.0, *c.SettleMS[1])
	require.NoError(t, packed.Read([]byte(`{"shift":[9],"pass":[2],"cents":[3],"settle_ms":[null],"qpm":[72],"carried_by":["a \"quoted\", one"],
		"plucked":[0],"marked":[1],"alternative":[0],"trust":["sure"],"at_s":[4]}`), &c))
	assert.Equal(t, []int64{9}, c.Shift)
	assert.Nil(t, c.SettleMS[0], "it never settled")
	assert.Equal(t, `a "quoted", one`, string(c.CarriedBy[0]))
	require.NoError(t, packed.Read([]byte(`{"shift":null}`), &c))
	assert.Empty(t, c.Shift)
	assert.Empty(t, c.Cents)
}

func TestWhatIsNoListIsRefused(t *testing.T) {
	var c packed.Measures
	for _, text := range []string{``, `{`, `[]`, `{"printed"}`, `{"printed":[1}`, `{"printed":1}`, `{"printed":[1,]}`, `{"printed":[1],}`, `{"printed":[x]}`,
		`{"printed":[1]}`, `{"measure":[1]}`, `{"measure":["1]}`, `{"printed":[1]"measure":["1"]}`} {
		assert.Error(t, packed.Read([]byte(text), &c), text)
	}
}
