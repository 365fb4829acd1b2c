package trend

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func on(day int) time.Time { return monday.AddDate(0, 0, day) }

func TestARangeIsCleanAtTheFastestTempoThatMostlyWentWell(t *testing.T) {
	weeks := CleanTempo([]Pass{
		{on(0), 60, true}, {on(1), 60, true}, {on(2), 76, true}, {on(2), 84, false}, {on(3), 84, true}, {on(4), 100, false},
		{on(8), 90, false}, {on(8), 60, true},
	})
	require.Len(t, weeks, 2)
	require.NotNil(t, weeks[0].Value)
	assert.Equal(t, 84.0, *weeks[0].Value, "four of five up to there were clean")
	assert.Nil(t, weeks[1].Value, "once is not enough")
	assert.Equal(t, time.Monday, weeks[1].Monday.Weekday())
}

func TestLateEntrancesAreToldByTheWeekAsAShare(t *testing.T) {
	weeks := Share([]Count{{on(0), 3, 40}, {on(6), 1, 40}, {on(7), 0, 40}})
	require.Len(t, weeks, 2)
	assert.Equal(t, 0.05, *weeks[0].Value)
	assert.Equal(t, 0.0, *weeks[1].Value)
}

// A day is a day of the calendar where it was played, summer time or not.
func TestDaylightSavingMovesNoDay(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Skip(err)
	}
	before := time.Date(2026, 10, 24, 23, 50, 0, 0, berlin)
	assert.Equal(t, day(before)+1, day(time.Date(2026, 10, 25, 0, 10, 0, 0, berlin)))
	assert.Equal(t, day(before)+2, day(time.Date(2026, 10, 26, 0, 10, 0, 0, berlin)))
}

func TestTheJSONHasTheFieldsPromised(t *testing.T) {
	b, err := json.Marshal(Shifts([]Group{{Shift{Piece: "a", Measure: "3", String: 2, From: "1", To: "3"}, month{from: 35, to: 5}.play()}}, Options{})[0])
	require.NoError(t, err)
	var fields map[string]any
	require.NoError(t, json.Unmarshal(b, &fields))
	for _, name := range []string{"piece", "measure", "string", "from", "to", "times", "first_median_cents", "last_median_cents", "spread_cents",
		"trend_cents_per_week", "trend_interval", "settle_ms", "within_tolerance", "verdict"} {
		assert.Contains(t, fields, name)
	}
	assert.Len(t, fields["trend_interval"], 2)
	b, err = json.Marshal(Judge(nil, Options{}))
	require.NoError(t, err)
	assert.Contains(t, string(b), `"trend_interval":null`)
}

func TestSentencesSayHowTheTempoMoved(t *testing.T) {
	got := Judge(month{from: 25, to: 25, qpm: rising(1.3)}.play(), Options{})
	assert.Equal(t, Holding, got.Verdict)
	assert.Contains(t, got.Text, "at a fifth faster")
	assert.Equal(t, "1 cent flat", Off(-0.7).String())
	assert.Equal(t, "in tune", Off(-0.2).String())
}

func TestAMeasureIsCleanAtTheFastestTempoAtWhichNothingWasToldSince(t *testing.T) {
	at := func(day int, qpm float64, clean bool) Pass {
		return Pass{When: time.Date(2026, 11, day, 17, 0, 0, 0, time.UTC), QPM: qpm, Clean: clean}
	}
	assert.Zero(t, FastestClean(nil))
	up := []Pass{at(1, 50, true), at(2, 60, true), at(3, 72, true)}
	assert.Equal(t, 72.0, FastestClean(up))
	assert.Equal(t, 72.0, FastestClean(append(up, at(4, 50, true))), "slow work takes nothing back")
	assert.Equal(t, 72.0, FastestClean(append(up, at(4, 84, false))), "nor does a try that was too fast")
	assert.Equal(t, 50.0, FastestClean(append(up, at(4, 60, false))), "but a slip where it had been clean does")
	assert.Equal(t, 60.0, FastestClean(append(up, at(4, 60, false), at(5, 60, true))), "until it is clean there again")
	assert.Zero(t, FastestClean([]Pass{at(1, 60, false)}))
}
