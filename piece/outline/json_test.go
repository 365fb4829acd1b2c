package outline

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The names that other programs read. Names may be added, never renamed.
func TestTheFieldsOfTheJSONHaveTheirAgreedNames(t *testing.T) {
	data, err := json.Marshal(outlined(t, againPiece(t), Options{}))
	require.NoError(t, err)
	var all map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(data, &all))
	assert.Equal(t, "1", string(all["version"]))
	for list, names := range map[string][]string{
		"measures": {"number", "beats", "hardness", "reasons"},
		"notes":    {"measure", "beat", "midi", "string", "position", "finger", "marked"},
		"shifts": {"measure", "beat", "string", "from", "to", "semitones", "finger_from", "finger_to",
			"carried_by", "marked", "covers"},
		"others": {"measure", "beat", "to_measure", "fingered", "or", "more"},
		"same":   {"from", "as", "how"},
	} {
		var rows []map[string]any
		require.NoError(t, json.Unmarshal(all[list], &rows), list)
		require.NotEmpty(t, rows, list)
		for _, name := range names {
			assert.Contains(t, rows[0], name, list)
		}
	}
	var sections [][]string
	require.NoError(t, json.Unmarshal(all["sections"], &sections))
	assert.NotEmpty(t, sections)
}

// What a user may write in --weights ends in weights or in one line, never in a panic.
func FuzzWeights(f *testing.F) {
	for _, s := range []string{"shift=2", "=", "shift", "shift=NaN", "shift=-1", "\"=1", "shift=1e400"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := ParseWeights([]string{s})
		if err != nil {
			return
		}
		data, err := json.Marshal(w)
		if err != nil {
			t.Fatal(err)
		}
		var values map[string]float64
		if json.Unmarshal(data, &values) != nil {
			t.Fatal("not numbers")
		}
		for _, v := range values {
			if !(v >= 0 && v <= 100) {
				t.Fatal(v)
			}
		}
	})
}

// A division that is taken is in order and within the piece.
func FuzzSections(f *testing.F) {
	for _, s := range []string{"1-4", "5-21", "4-1", "x", "", "-", "1-99999999999999999999", "8–9"} {
		f.Add("1-2", s)
	}
	p := againPiece(f)
	f.Fuzz(func(t *testing.T, a, b string) {
		out, err := Of(p, Options{Sections: []string{a, b}})
		if err != nil {
			return
		}
		last := -1
		for _, r := range out.Parts {
			if r.First <= last || r.Last < r.First || r.Last >= len(p.Measures) {
				t.Fatal(out.Parts)
			}
			last = r.Last
		}
		if !slices.Contains([]int{2}, len(out.Parts)) {
			t.Fatal(out.Parts)
		}
	})
}
