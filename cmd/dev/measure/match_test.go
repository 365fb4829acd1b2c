package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/pupil"
)

// perfect is a listener that hears exactly what was planted.
func perfect(out *pupil.Performance) []toldFault {
	var told []toldFault
	for _, f := range out.Expected {
		told = append(told, toldFault{Kind: f.Kind, Measure: f.Measure, ToMeasure: f.ToMeasure, Beat: f.Beat, Value: f.Value, Trust: "sure"})
	}
	return told
}

func TestAPerfectListenerFindsEveryFaultInEveryKindOfTake(t *testing.T) {
	for _, fault := range pupil.Catalogue {
		for seed := range int64(4) {
			trial, err := everywhere.plant(fault, seed)
			require.NoError(t, err, fault.Name)
			v := judge(trial.out, perfect(trial.out))
			assert.NotContains(t, v.found, false, fault.Name)
			assert.Empty(t, v.mistaken, fault.Name)
		}
	}
}

func TestADeafListenerFindsNothing(t *testing.T) {
	trial, err := everywhere.plant(pupil.Late, 1)
	require.NoError(t, err)
	assert.NotContains(t, judge(trial.out, nil).found, true)
}

func TestWhatDoesNotCountAsFound(t *testing.T) {
	out := &pupil.Performance{Tune: pupil.Compose(pupil.Style{Measures: 8}, 1), Expected: []pupil.Finding{
		{Kind: "flat_after_shift", Measure: "6", ToMeasure: "7", Beat: 1, Value: -30, Within: 10, FrameSize: 4}}}
	right := toldFault{Kind: "flat_after_shift", Measure: "6", ToMeasure: "7", Beat: 1, Value: -28, Trust: "fair"}
	v := judge(out, []toldFault{right})
	assert.Equal(t, []bool{true}, v.found)
	assert.Empty(t, v.mistaken)

	for name, wrong := range map[string]func(*toldFault){
		"another kind":            func(f *toldFault) { f.Kind = "sharp_after_shift" },
		"the measure before":      func(f *toldFault) { f.Measure = "5" },
		"a value ten cents off":   func(f *toldFault) { f.Value = -41 },
		"one finger for the hand": func(f *toldFault) { f.Kind = "flat" },
	} {
		told := right
		wrong(&told)
		v := judge(out, []toldFault{told})
		assert.Equal(t, []bool{false}, v.found, name)
		assert.Len(t, v.mistaken, 1, name)
	}

	twice := judge(out, []toldFault{right, right})
	assert.Len(t, twice.mistaken, 1, "told twice is once too often")
	unsure := judge(out, []toldFault{right, {Kind: "not_sure", Measure: "2"}})
	assert.Empty(t, unsure.mistaken)
	assert.Equal(t, 1, unsure.unsure)
}

func TestALateNoteIsNotItsNeighbour(t *testing.T) {
	out := &pupil.Performance{Tune: pupil.Compose(pupil.Style{Measures: 8}, 1), Expected: []pupil.Finding{{Kind: "late", Measure: "3", ToMeasure: "3", Beat: 2, Value: 200, Within: 30}}}
	assert.Equal(t, []bool{false}, judge(out, []toldFault{{Kind: "late", Measure: "3", Beat: 3, Value: 200}}).found)
	assert.Equal(t, []bool{true}, judge(out, []toldFault{{Kind: "late", Measure: "3", Beat: 2, Value: 175}}).found)
}
