package class

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
)

// tune is eight measures of four quarter notes; measures 5 and 6 are 1 and 2 again,
// come to from the same notes.
func tune() *piece.Piece {
	p := &piece.Piece{Title: "Two Doors"}
	rows := [][4]int{{43, 45, 47, 48}, {50, 48, 47, 45}, {43, 43, 45, 45}, {47, 45, 43, 43}, {43, 45, 47, 48}, {50, 48, 47, 45}, {40, 41, 43, 45}, {43, 41, 40, 38}}
	for i, row := range rows {
		m := piece.Measure{Number: fmt.Sprint(i + 1), Length: 4 * piece.Quarter, Time: piece.Time{Beats: 4, Unit: 4}}
		for k, midi := range row {
			m.Notes = append(m.Notes, piece.Note{Start: piece.Ticks(k) * piece.Quarter, Length: piece.Quarter, MIDI: midi})
		}
		p.Measures = append(p.Measures, m)
	}
	return p
}

func found(kind finding.Kind, measure string) finding.Finding {
	return finding.Finding{Kind: kind, Measure: measure, ToMeasure: measure, Pass: 1, Beat: 1, Trust: dsp.Sure, Notes: 1}
}

// heard is a hearing of so many sure notes.
func heard(notes int, f ...finding.Finding) *finding.Hearing {
	h := &finding.Hearing{Findings: f}
	onset := 1.0
	for range notes {
		h.Notes = append(h.Notes, finding.Note{Measure: "1", Onset: &onset, Trust: dsp.Sure, State: finding.StatePlayed})
	}
	return h
}

func TestTheTakeThatIsHeardBetterCountsNotTheOneWithFewerFindings(t *testing.T) {
	seats := []Seat{{"Ben", []string{"a.wav", "b.wav", "c.wav"}}, {"Uma", nil}}
	s := Gather(tune(), "Two Doors", seats, []Result{
		{File: "a.wav", Hearing: heard(5)},
		{File: "b.wav", Hearing: heard(30, found(finding.Late, "2"))},
		{File: "c.wav", Reason: "silence"},
	}, nil)
	require.Len(t, s.Students, 2)
	ben := s.Students[0]
	assert.Equal(t, "b.wav", *ben.Recording)
	assert.Equal(t, []bool{false, true, false}, []bool{ben.Takes[0].Chosen, ben.Takes[1].Chosen, ben.Takes[2].Chosen})
	assert.Equal(t, NotHeard, ben.Takes[2].Status)
	assert.Equal(t, "silence", ben.Takes[2].Reason)
	assert.Equal(t, "Told of b.wav, one of 3 takes: more of it was heard clearly.", ben.Why)
	assert.Empty(t, s.Students[1].Why)
	assert.Equal(t, Missing, s.Students[1].Status)
	assert.Nil(t, s.Students[1].Recording)
}

func TestTheSheetSaysWhyOneOfSeveralTakesCounts(t *testing.T) {
	why := func(r ...Result) string {
		seat := Seat{Name: "Ada"}
		for _, x := range r {
			seat.Files = append(seat.Files, x.File)
		}
		return Gather(tune(), "", []Seat{seat}, r, nil).Students[0].Why
	}
	assert.Empty(t, why(Result{File: "a", Hearing: heard(9)}))
	assert.Empty(t, why(Result{File: "a", Reason: "silence"}, Result{File: "b", Reason: "silence"}), "none of them counts")
	assert.Equal(t, "Told of b, one of 2 takes: the piece was heard in no other.", why(Result{File: "a", Reason: "silence"}, Result{File: "b", Hearing: heard(9)}))
	assert.Equal(t, "Told of take 10, one of 3 takes: others are of the same time and as clear, and this is the last by the numbers in their names.",
		why(Result{File: "take", Hearing: heard(9)}, Result{File: "take 10", Hearing: heard(9)}, Result{File: "take 9", Hearing: heard(9)}))
	day := func(d int) time.Time { return time.Date(2026, 11, d, 17, 0, 0, 0, time.UTC) }
	for by, says := range map[By]string{ByName: "of 27 November 2026, by its name.", ByRecording: "of 27 November 2026, as the recorder wrote into it.",
		ByFile: "its file was written last, on 27 November 2026."} {
		assert.Equal(t, "Told of b, the newest of 2 takes: "+says,
			why(Result{File: "a", Hearing: heard(10), At: day(20), By: by}, Result{File: "b", Hearing: heard(9), At: day(27), By: by}), "a little less clear is as clear")
	}
	assert.Equal(t, "Told of a, one of 2 takes: more of it was heard clearly.",
		why(Result{File: "a", Hearing: heard(10), At: day(20)}, Result{File: "b", Hearing: heard(7), At: day(27)}), "cut off")
}

func TestTheSheetSaysWhatMovedSinceTheTakeBefore(t *testing.T) {
	p, at := tune(), time.Date(2026, 11, 20, 17, 0, 0, 0, time.UTC) // a Friday
	moved := func(days int, before, now *finding.Hearing) string {
		st, then := Student{Name: "Ada"}, LessonOf(p, now, at.AddDate(0, 0, days))
		st.Beside(then, "Gate", []Lessons{{"Ben", p, "Gate", []Lesson{LessonOf(p, judged(found(finding.Flat, "1")), at)}}, {"Ada", p, "Gate", []Lesson{then, LessonOf(p, before, at)}}})
		return st.Moved
	}
	assert.Equal(t, "Better since last week, no longer told: late in measure 3; still told: sharp in measure 6.",
		moved(3, judged(found(finding.Late, "3"), found(finding.Sharp, "2")), judged(found(finding.Sharp, "6"))), "2 and 6 are the same music")
	assert.Equal(t, "Better since 20 November, no longer told: late in measure 3.", moved(14, judged(found(finding.Late, "3")), judged()))
	assert.Equal(t, "New since last week: late in measure 3.", moved(7, judged(), judged(found(finding.Late, "3"))))
	assert.Equal(t, "Still told since 20 November: late in measure 3.", moved(1, judged(found(finding.Late, "3")), judged(found(finding.Late, "3"))))
	assert.Empty(t, moved(7, judged(), judged()))
	off := func(cents float64) *finding.Hearing {
		f := found(finding.SharpAfterShift, "3")
		f.Value = cents
		return judged(f)
	}
	assert.Equal(t, "Still told since last week: sharp after shift in measure 3 (was +37 cents, now +24 cents).", moved(7, off(37), off(24)), "nearer, and no standing still")
	assert.Equal(t, "Still told since last week: sharp after shift in measure 3.", moved(7, off(24.3), off(23.8)))
	short := judged()
	for i := range short.Notes[2:] {
		short.Notes[2+i].Onset, short.Notes[2+i].State = nil, finding.StateMissing
	}
	assert.Empty(t, moved(7, judged(found(finding.Late, "3")), short), "what was not played is not better")
}

func TestTheTakeOfLastWeekIsComparedBeforeOneOfThisWeek(t *testing.T) {
	p, monday := tune(), time.Date(2026, 11, 16, 17, 0, 0, 0, time.UTC)
	take := func(days int, f ...finding.Finding) Lesson {
		return LessonOf(p, judged(f...), monday.AddDate(0, 0, days))
	}
	all := []Lessons{{"Ada", p, "Gate", []Lesson{take(9), take(8, found(finding.Flat, "7")), take(5, found(finding.Late, "3")), take(0, found(finding.Sharp, "2"))}}}
	st := Student{Name: "Ada"}
	st.Beside(take(9), "Gate", all)
	assert.Equal(t, "Better since last week, no longer told: late in measure 3.", st.Moved)
	assert.Equal(t, monday.AddDate(0, 0, 5), st.Since)
	st.Beside(take(0), "Gate", all)
	assert.Empty(t, st.Moved, "there was none before")
	assert.Zero(t, st.Since)
}

func TestThePassageThatComesAgainIsCountedTogether(t *testing.T) {
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}, {"C", []string{"c"}}, {"D", []string{"d"}}}
	s := Gather(tune(), "", seats, []Result{
		{File: "a", Hearing: heard(9, found(finding.Sharp, "2"))},
		{File: "b", Hearing: heard(9, found(finding.Sharp, "6"))},
		{File: "c", Hearing: heard(9, found(finding.Sharp, "2"), found(finding.Sharp, "6"))},
		{File: "d", Hearing: heard(9, found(finding.Late, "3"))},
	}, nil)
	require.Len(t, s.Reteach, 1, "what one student had is for nobody else")
	assert.Equal(t, Reteach{Measure: "2", ToMeasure: "2", Kind: finding.Sharp, Students: 3, Of: 4, Also: []string{"6"}}, s.Reteach[0])
	assert.Equal(t, "3 of 4 played sharp in measures 2 and 6, which are the same music.", s.Reteach[0].Text())
}

func TestAMeasureAloneAndWhatComesTransposedAreNotCountedTogether(t *testing.T) {
	p := tune()
	up := tune()
	up.Measures = up.Measures[:6]
	up.Measures[2] = p.Measures[0] // one measure comes again by itself
	up.Measures[2].Number = "3"
	for m := 4; m < 6; m++ { // 1 and 2 a tone higher
		for k := range up.Measures[m].Notes {
			up.Measures[m].Notes[k].MIDI += 2
		}
	}
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}, {"C", []string{"c"}}}
	s := Gather(up, "", seats, []Result{
		{File: "a", Hearing: heard(9, found(finding.Sharp, "1"))},
		{File: "b", Hearing: heard(9, found(finding.Sharp, "3"))},
		{File: "c", Hearing: heard(9, found(finding.Sharp, "5"))},
	}, nil)
	assert.Empty(t, s.Reteach, "the same notes in one measure are no passage, and a tone higher is another place of the hand")
}

func TestAnEndingThatDiffersIsCountedByItself(t *testing.T) {
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}}
	in := func(a, b string) []Reteach {
		return Gather(tune(), "", seats, []Result{{File: "a", Hearing: heard(9, found(finding.Late, a))}, {File: "b", Hearing: heard(9, found(finding.Late, b))}}, nil).Reteach
	}
	assert.Len(t, in("1", "5"), 1)
	assert.Empty(t, in("3", "7"), "measures 3 and 7 end the phrase in two ways")
}

func TestWhatIsNotSureTeachesNobody(t *testing.T) {
	unsure := found(finding.Sharp, "2")
	unsure.Trust = dsp.NotSure
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}}
	s := Gather(tune(), "", seats, []Result{{File: "a", Hearing: heard(9, unsure)}, {File: "b", Hearing: heard(9, unsure)}}, nil)
	assert.Empty(t, s.Reteach)
	assert.Empty(t, s.Students[0].WorthFixing)
}

func TestAtMostThreeThingsAndNoneTwice(t *testing.T) {
	again := found(finding.WrongNote, "2")
	again.Pass = 2
	h := heard(9, found(finding.WrongNote, "2"), again, found(finding.Late, "3"), found(finding.Early, "4"), found(finding.Sharp, "7"))
	assert.Equal(t, []int{0, 2, 3}, WorthFixing(h))
}

func TestWhatLeavesDoubtStandsBesideWhatWasHeard(t *testing.T) {
	unsure := found(finding.NotSure, "1")
	unsure.Text = "The room rings."
	h := heard(9, unsure)
	h.Remarks = []string{"The recording is read as it was written."} // a remark like any other
	s := Gather(tune(), "", []Seat{{"Ada", []string{"a"}}}, []Result{{File: "a", Hearing: h, Doubt: "The recording breaks off."}}, nil)
	assert.Equal(t, "The room rings. The recording breaks off.", s.Students[0].Reason)
}

// Of a class of 22 a mark that three have is for all, of a class of nine one that two have.
func TestWhatThreeShareOrAFifthIsForTheWholeClass(t *testing.T) {
	in := func(heardOf, had int) int {
		var seats []Seat
		var results []Result
		for i := range heardOf {
			name := fmt.Sprint(i)
			h := heard(9)
			if i < had {
				h = heard(9, found(finding.Late, "3"))
			}
			seats, results = append(seats, Seat{name, []string{name}}), append(results, Result{File: name, Hearing: h})
		}
		return len(Gather(tune(), "", seats, results, nil).Reteach)
	}
	for heardOf, least := range map[int]int{2: 2, 4: 2, 9: 2, 10: 2, 11: 3, 15: 3, 22: 3, 60: 3} {
		assert.Zero(t, in(heardOf, least-1), "%d of %d", least-1, heardOf)
		assert.Equal(t, 1, in(heardOf, least), "%d of %d", least, heardOf)
	}
}

func TestATakeOfWhichNotesAreNotToldIsNotCountedAmongThoseHeardThere(t *testing.T) {
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}, {"C", []string{"c"}}, {"D", []string{"d"}}}
	in := func(kind finding.Kind, faint bool) Reteach {
		along, weak := heard(9), heard(9)
		along.OnlyPitch = true
		if faint {
			for i := range weak.Notes {
				weak.Notes[i].Trust = dsp.NotSure
			}
		}
		f := found(kind, "1")
		r := Gather(tune(), "", seats, []Result{{File: "a", Hearing: heard(9, f)}, {File: "b", Hearing: heard(9, f)}, {File: "c", Hearing: along}, {File: "d", Hearing: weak}}, nil).Reteach
		require.Len(t, r, 1)
		return r[0]
	}
	assert.Equal(t, 3, in(finding.Late, false).Of, "with a backing track nothing is told of rhythm")
	assert.Equal(t, "2 of the 3 heard there came late in measure 1.", in(finding.Late, false).Text())
	assert.Equal(t, 4, in(finding.Sharp, false).Of, "of pitch it is")
	assert.Equal(t, 3, in(finding.Sharp, true).Of, "who was not heard surely in that measure")
	assert.Equal(t, 2, in(finding.Late, true).Of)
}

func TestWhatWasToldOfTheOtherTakeTooIsWorkedOnFirst(t *testing.T) {
	in := func(other ...finding.Finding) []int {
		seats := []Seat{{"Ada", []string{"1", "2"}}}
		return Gather(tune(), "", seats, []Result{{File: "1", Hearing: heard(9, other...)},
			{File: "2", Hearing: heard(20, found(finding.WrongRhythm, "2"), found(finding.Late, "5"))}}, nil).Students[0].WorthFixing
	}
	assert.Equal(t, []int{0, 1}, in())
	assert.Equal(t, []int{1, 0}, in(found(finding.Late, "5")))
}

func TestWhoSentNoneOfAPieceIsToldWithWhatWasSentInstead(t *testing.T) {
	p := tune()
	of := func(title, anna string) *Sheet {
		return Gather(p, title, []Seat{{Name: "Anna", Files: strings.Fields(anna)}, {Name: "Ben"}, {Name: "Cleo"}}, []Result{{File: "a.wav", Hearing: judged()}}, nil)
	}
	gate, mill := of("Gate", "a.wav"), of("Mill", "")
	Elsewhere([]*Sheet{gate, mill}, []Unplaced{{Student: "Ben", Recording: "b.wav", Reason: "silence"}})
	assert.Empty(t, gate.Students[0].Reason)
	assert.Equal(t, "none of this piece; played Gate", mill.Students[0].Reason)
	assert.Equal(t, "b.wav: silence", mill.Students[1].Reason)
	assert.Equal(t, "no recording of this name was in the folder", mill.Students[2].Reason)
}
