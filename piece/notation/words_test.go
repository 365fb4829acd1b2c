package notation_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
)

func TestWordsOverTheStaffAreRead(t *testing.T) {
	type said struct {
		jump                     piece.Jump
		fine, toCoda, pizz, arco bool
	}
	for text, want := range map[string]said{
		"D.C.": {jump: piece.DaCapo}, "D.C. al Fine": {jump: piece.DaCapo}, "Da Capo al Coda": {jump: piece.DaCapo}, "DC al fine": {jump: piece.DaCapo},
		"D.S. al Coda": {jump: piece.DalSegno}, "Dal Segno": {jump: piece.DalSegno}, "D. S. al Fine": {jump: piece.DalSegno}, "D.S. al Segno": {jump: piece.DalSegno},
		"Fine": {fine: true}, "FINE": {fine: true}, "To Coda": {toCoda: true}, "(to Coda)": {toCoda: true},
		"pizz.": {pizz: true}, "Pizzicato": {pizz: true}, "arco": {arco: true}, "Arco": {arco: true},
		"finely": {}, "con moto": {}, "dolce": {}, "Dcresc": {}, "decresc.": {}, "": {},
	} {
		var got said
		got.jump, got.fine, got.toCoda, got.pizz, got.arco = notation.WordsOf(text)
		assert.Equal(t, want, got, "%q", text)
	}
}

func TestWordsLetThePaceChangeUntilTheTempoIsTakenAgain(t *testing.T) {
	for text, free := range map[string]bool{"rit.": true, "Ritardando": true, "poco rall.": true, "molto rit. e dim.": true, "accel.": true, "stringendo": true, "rubato": true,
		"a tempo": false, "Tempo I": false, "Tempo primo": false, "ritmico": false, "Allegro": false} {
		p, err := notation.Read("tune.abc", []byte("X:1\nT:Words\nM:4/4\nL:1/4\nQ:1/4=80\nK:G\nG,A,\"^"+text+"\"B,A,|G,A,\"^a tempo\"B,A,|]\n"))
		require.NoError(t, err, text)
		line, _ := p.Line()
		var got []bool
		for _, e := range line {
			got = append(got, e.Free)
		}
		assert.Equal(t, []bool{false, false, free, free, free, free, false, false}, got, text)
	}
}
