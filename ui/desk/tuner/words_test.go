package tuner

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp/sound"
	"endpin/piece/tuning"
	"endpin/piece/words/pseudo"
)

func TestEveryWordOfTheCheckIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text), text)
	}
	tuner := newStrung(t)
	board := func() {
		t.Helper()
		x := tuner.Board()
		own := []string{}
		if p := tuner.Live.Pair; p.Both() {
			own = append(own, tuning.Off(p.Wide), p.Say())
		}
		assert.Empty(t, pseudo.Plain(x.Word+" "+x.Turn, own...), "%+v", x)
	}
	board()
	tuner.Tone = 1
	board()
	tuner.Tone = 0
	for _, why := range []tuning.Doubt{tuning.NoString, tuning.Mixed} {
		tuner.Live.Now = tuning.Now{Sounding: true, Why: why}
		board()
	}
	tuner.Live.Now = tuning.Now{}
	for _, uppers := range []bool{false, true} {
		for _, waiting := range []bool{false, true} {
			tuner.Live.Pair = tuning.Pair{Lower: 3, Upper: 2, LowerName: "A", UpperName: "D", LowerPartial: 4, UpperPartial: 3, UppersTurn: uppers, Waiting: waiting, Wide: math.Pi}
			board()
		}
	}
	reads(tuner.trouble(&sound.Fault{Trouble: sound.None}))
	tuner.ear.deafen(true)
	reads(tuner.ear.live().Doubt)
}
