package fingerboard

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/words/pseudo"
)

func TestWhatTheHandCannotDoIsSaidFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	one := func(midi int, m piece.Marks) piece.Expected {
		return piece.Expected{MIDI: midi, Number: "3", Beat: 2.5, Length: piece.Quarter, Marks: m}
	}
	line := []piece.Expected{
		one(42, piece.Marks{Finger: "0"}), one(45, piece.Marks{Finger: "1", Position: "3"}), one(45, piece.Marks{Finger: "4", String: 4}),
		one(39, piece.Marks{Harmonic: true}), one(42, piece.Marks{Open: true, String: 1}),
	}
	said := DoubleBass().Finger(line, Options{}).Contradictions
	require.Len(t, said, len(line))
	reach := []piece.Expected{one(28, piece.Marks{}), one(50, piece.Marks{}), one(10, piece.Marks{}), one(90, piece.Marks{})}
	outside := DoubleBass().Finger(reach, Options{NoOpenStrings: true, Positions: []string{"1"}}).Outside
	require.Len(t, outside, len(reach))
	gap := DoubleBass()
	gap.System.Positions = gap.System.Positions[5:6]
	said = append(append(said, outside...), gap.Finger([]piece.Expected{one(60, piece.Marks{})}, Options{}).Outside...)
	far := []piece.Expected{}
	for midi := range 8 {
		far = append(far, one(10+midi, piece.Marks{}), one(90+midi, piece.Marks{}), one(30+midi, piece.Marks{Finger: "1", String: 1}))
	}
	beyond := DoubleBass().Finger(far, Options{})
	require.Len(t, beyond.Remarks(), 3, "a page for another instrument: below, above and marked otherwise, each once")
	said = append(said, beyond.Remarks()...)
	_, err := ByWord("harp")
	for _, n := range Instruments() {
		said = append(said, n.Name.String())
	}
	_, typed := DoubleBass().System.Range("12")
	said = append(said, err.Error(), typed.Error())
	own := []string{`"harp"`, "thumb", "half", "III"}
	for _, n := range Instruments() {
		own = append([]string{n.Word}, own...)
	}
	for _, s := range said {
		assert.Empty(t, pseudo.Plain(s, own...), s)
	}
}
