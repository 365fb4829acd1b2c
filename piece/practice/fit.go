package practice

import (
	"endpin/piece/outline"
	"endpin/piece/words"
)

// fit says how far a bring-up comes in its minutes, each tempo taken Clean times
// with a measure of count-in. Where the steps do not fit, they are doubled;
// where that does not help, the rest is left for tomorrow.
func (it *Item) fit(o *outline.Outline, felt outline.Felt) {
	it.Reaches = it.reach(o, it.Step)
	steps := "practice.steps"
	if it.Reaches < it.TempoTo {
		if r := it.reach(o, 2*it.Step); r > it.Reaches {
			it.Step, it.Reaches = 2*it.Step, r
			steps = "practice.steps.greater"
		}
	}
	it.say(words.Of(steps, "beats", words.Significant(felt.PerMinute(it.Step), 3)))
	if it.Reaches < it.TempoTo {
		it.say(words.ManyOf("practice.tomorrow", words.Whole(it.Minutes), "tempo", felt.Tempo(it.Reaches)))
	}
}

// reach is the tempo that the last step within the minutes is taken at; the
// first is taken in any case.
func (it *Item) reach(o *outline.Outline, step float64) float64 {
	once := (quarters(o, it.Range) + quarters(o, outline.Range{First: it.Range.First, Last: it.Range.First})) * 60 * Clean
	left := it.Minutes * 60
	reached := it.TempoFrom
	for i, tempo := range (BringUp{From: it.TempoFrom, To: it.TempoTo, Step: step}).Tempos() {
		left -= once / tempo
		if left < 0 && i > 0 {
			break
		}
		reached = tempo
	}
	return reached
}

// quarters is how long a range is, in quarter notes.
func quarters(o *outline.Outline, r outline.Range) float64 {
	sum := 0.0
	for i := r.First; i <= r.Last; i++ {
		sum += o.Measures[i].Quarters
	}
	return sum
}
