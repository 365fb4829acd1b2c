package piece_test

import (
	"testing"

	"endpin/piece"
	"endpin/piece/words/pseudo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatCannotBePlayedIsSaidFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	three := &piece.Piece{Measures: []piece.Measure{{Number: "1"}, {Number: "2"}, {Number: "3"}}}
	var said []error
	for _, measures := range []string{"", "3-1", "9", "1-9"} {
		_, _, err := three.Select(measures)
		said = append(said, err)
	}
	_, _, err := (&piece.Piece{}).Select("1")
	_, long := (&piece.Piece{Measures: []piece.Measure{{RepeatStart: true, RepeatTimes: 1 << 20}}}).Unfold()
	for _, err := range append(said, err, long) {
		require.Error(t, err)
		assert.Empty(t, pseudo.Plain(err.Error()), err.Error())
	}
}
