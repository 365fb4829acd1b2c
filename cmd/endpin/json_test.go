package main

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// told is the JSON of `endpin hear`, as another program might read it.
type told struct {
	HeardA   float64 `json:"heard_a_hz"`
	Notes    []toldNote
	Findings []toldFinding
}

type toldNote struct {
	Measure string   `json:"measure"`
	Beat    float64  `json:"beat"`
	MIDI    int      `json:"midi"`
	Onset   *float64 `json:"onset_s"`
	Cents   *float64 `json:"cents"`
	State   string   `json:"state"`
}

type toldFinding struct {
	Measure   string  `json:"measure"`
	ToMeasure string  `json:"to_measure"`
	Beat      float64 `json:"beat"`
	Kind      string  `json:"kind"`
	Value     float64 `json:"value"`
	Trust     string  `json:"trust"`
}

// hearJSON hears a take and gives what --json - says.
func hearJSON(t *testing.T, args ...string) (text []byte, what told) {
	t.Helper()
	out, errOut, code := endpin(append([]string{"hear", "--json", "-"}, args...)...)
	require.Equal(t, heard, code, errOut)
	require.NoError(t, json.Unmarshal([]byte(out), &what))
	return []byte(out), what
}

// The fields that other programs rely on, with the kind of value that each has:
// those of the design's card "JSON that other programs read", to the letter.
var (
	takeFields = map[string]string{"version": "number", "piece": "string", "recording": "string", "duration_s": "number",
		"reference_a_hz": "number", "heard_a_hz": "number", "tempo_asked_qpm": "number", "tempo_heard_qpm": "number",
		"notes": "list", "findings": "list"}
	noteFields = map[string]string{"measure": "string", "pass": "number", "beat": "number", "midi": "number",
		"heard_midi": "number", "onset_s": "number", "offset_s": "number", "cents": "number", "cents_spread": "number",
		"late_ms": "number", "held": "number", "string": "number", "finger": "string", "position": "string",
		"after_shift": "boolean", "trust": "string", "state": "string"}
	findingFields = map[string]string{"measure": "string", "to_measure": "string", "pass": "number", "beat": "number",
		"kind": "string", "value": "number", "trust": "string", "text": "string"}
	trusts    = []string{"sure", "fair", "not sure"}
	states    = []string{"played", "missing", "wrong_note", "extra"}
	positions = []string{"0", "half", "1", "2", "2-3", "3", "3-4", "4", "5", "5-6", "6", "6-7", "7", "thumb"}
)

func TestTheJSONHasTheFieldsThatOthersRelyOn(t *testing.T) {
	slow(t)
	text, _ := hearJSON(t, demoArgs(t)...)
	var take map[string]any
	require.NoError(t, json.Unmarshal(text, &take))
	holdsFields(t, takeFields, take, "the take")
	assert.EqualValues(t, 1, take["version"])
	assert.Equal(t, "Stairs to the Loft", take["piece"])
	assert.Equal(t, "demo.flac", take["recording"])
	assert.EqualValues(t, 440, take["reference_a_hz"])
	assert.EqualValues(t, 84, take["tempo_asked_qpm"])

	notes := take["notes"].([]any)
	require.Len(t, notes, 53)
	for _, n := range notes {
		note := n.(map[string]any)
		holdsFields(t, noteFields, note, "a note")
		assert.Contains(t, trusts, note["trust"])
		assert.Contains(t, states, note["state"])
		assert.Contains(t, positions, note["position"])
		assert.Equal(t, note["finger"] == "0", note["position"] == "0", "an open string is finger 0, position 0")
	}
	findings := take["findings"].([]any)
	require.NotEmpty(t, findings)
	for _, f := range findings {
		finding := f.(map[string]any)
		holdsFields(t, findingFields, finding, "a finding")
		assert.Contains(t, trusts, finding["trust"])
	}
}

// holdsFields says that an object has all fields of a list, each of its kind.
func holdsFields(t *testing.T, fields map[string]string, object map[string]any, what string) {
	t.Helper()
	for name, kind := range fields {
		value, there := object[name]
		require.True(t, there, "%s has no %q", what, name)
		is := "null"
		switch value.(type) {
		case float64:
			is = "number"
		case string:
			is = "string"
		case bool:
			is = "boolean"
		case []any:
			is = "list"
		}
		assert.Equal(t, kind, is, "%s: %q", what, name)
	}
}

// truth is the file beside the demo take (assets/README.md).
type truth struct {
	Notes []struct {
		Measure string  `json:"measure"`
		Beat    float64 `json:"beat"`
		MIDI    int     `json:"pitch_midi"`
		HeardS  float64 `json:"onset_heard_s"`
		Cents   float64 `json:"cents"`

		Quarters float64 `json:"dur_beats"`
	} `json:"notes"`
	Expected []struct {
		toldFinding
		Within float64 `json:"within"`
	} `json:"expected"`
}

func demoTruth(t *testing.T) (is truth) {
	t.Helper()
	data, err := os.ReadFile("../../assets/demo.truth.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &is))
	require.NotEmpty(t, is.Notes)
	require.Len(t, is.Expected, 4)
	return is
}

func TestTheDemoTellsAllThatWasPlantedAndNothingElse(t *testing.T) {
	slow(t)
	is := demoTruth(t)
	_, what := hearJSON(t, demoArgs(t)...)
	require.Len(t, what.Findings, len(is.Expected))
	for i, want := range is.Expected {
		got := what.Findings[i]
		assert.Equal(t, want.Kind, got.Kind)
		assert.Equal(t, want.Measure, got.Measure, want.Kind)
		assert.Equal(t, want.ToMeasure, got.ToMeasure, want.Kind)
		assert.Equal(t, want.Beat, got.Beat, want.Kind)
		assert.InDelta(t, want.Value, got.Value, want.Within, want.Kind)
		assert.Equal(t, "sure", got.Trust, want.Kind)
	}
}

func TestTheDemoHearsEachNoteWhereAndAsItSounds(t *testing.T) {
	slow(t)
	is := demoTruth(t)
	_, what := hearJSON(t, demoArgs(t)...)
	require.Len(t, what.Notes, len(is.Notes))
	reference := 1200 * math.Log2(what.HeardA/440) // cents are told from there
	var cents []float64
	for i, want := range is.Notes {
		got := what.Notes[i]
		assert.Equal(t, want.Measure, got.Measure)
		assert.Equal(t, want.Beat, got.Beat)
		if got.State == "wrong_note" {
			assert.Equal(t, want.MIDI-1, got.MIDI, "the note of the page, a semitone below the one played")
			continue
		}
		assert.Equal(t, "played", got.State)
		assert.Equal(t, want.MIDI, got.MIDI)
		assert.InDelta(t, want.HeardS, *got.Onset, 0.06, "measure %s beat %g", want.Measure, want.Beat)
		if want.Quarters >= 1 { // the sampled bass scoops into a note: an eighth is not yet at the pitch that the truth tells
			cents = append(cents, math.Abs(want.Cents-reference-*got.Cents))
		}
	}
	require.Greater(t, len(cents), 30)
	slices.Sort(cents)
	assert.LessOrEqual(t, cents[len(cents)/2], 1.0, "median error, cents")
	assert.LessOrEqual(t, cents[len(cents)*95/100], 5.0, "95 %% of the errors, cents")
}

// demoArgs names the demo piece and take as files.
func demoArgs(t *testing.T) []string {
	t.Helper()
	piece, take := demoFiles(t)
	return []string{piece, take}
}
