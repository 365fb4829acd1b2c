package room

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece"
)

func TestTheDroneTakesTheKeysOwnNote(t *testing.T) {
	for key, midi := range map[piece.Key]int{
		{Fifths: 0}: 36, {Fifths: 1}: 31, {Fifths: 2}: 38, {Fifths: 4}: 28, {Fifths: -1}: 29, {Fifths: -3}: 39,
		{Fifths: 0, Minor: true}: 33, {Fifths: 1, Minor: true}: 28, {Fifths: -2, Minor: true}: 31,
	} {
		assert.Equal(t, midi, tonic(key), "%+v", key)
	}
	assert.InDelta(t, 110.5, DroneHz("A", 1, piece.Key{}, 442), 1e-9)
}
