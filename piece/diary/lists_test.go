package diary

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
)

// Whatever a landing holds, the lists read as encoding/json reads them.
func TestLandingsReadAsTheStandardLibraryReadsThem(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 1))
	odd := []string{"", "open string", `a "quoted", one`, `back\slash`, "comma, space", "],[", "ä李\U0001F3BB", "\x1f<&>", `","`}
	var c landingColumns
	for n := range 60 {
		var want landingColumns
		for range n % 7 {
			f := func() float64 { return random.NormFloat64() * 100 }
			want.Shift, want.Pass, want.Cents = append(want.Shift, random.Int64()), append(want.Pass, random.IntN(3)), append(want.Cents, f())
			settle := f()
			want.SettleMS = append(want.SettleMS, map[bool]*float64{true: &settle}[random.IntN(2) == 0])
			want.QPM, want.CarriedBy = append(want.QPM, f()*1e20), append(want.CarriedBy, odd[random.IntN(len(odd))])
			want.Plucked, want.Marked, want.Other = append(want.Plucked, 0), append(want.Marked, 1), append(want.Other, 0)
			want.Trust, want.At = append(want.Trust, dsp.Trust(odd[random.IntN(len(odd))])), append(want.At, f())
		}
		text, err := json.Marshal(want)
		require.NoError(t, err)
		require.NoError(t, c.read(string(text)), string(text))
		got, err := json.Marshal(c)
		require.NoError(t, err)
		if n%7 == 0 { // none: null or no list
			assert.Empty(t, c.Shift)
			continue
		}
		assert.JSONEq(t, string(text), string(got))
	}
}

func TestWhatIsNoListIsRefused(t *testing.T) {
	var c measureColumns
	for _, text := range []string{``, `{`, `[]`, `{"printed"}`, `{"printed":[1}`, `{"printed":1}`, `{"printed":[1,]}`, `{"printed":[1],}`, `{"printed":[x]}`,
		`{"printed":[1]}`, `{"measure":[1]}`, `{"measure":["1]}`, `{"printed":[1]"measure":["1"]}`} {
		assert.Error(t, c.read(text), text)
	}
}
