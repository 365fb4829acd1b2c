package class

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
)

// judged is a take that lets all measures of the tune be judged.
func judged(f ...finding.Finding) *finding.Hearing {
	h, onset := heard(0, f...), 1.0
	for m := range 8 {
		h.Notes = append(h.Notes, finding.Note{Measure: fmt.Sprint(m + 1), Onset: &onset, Trust: dsp.Sure, State: finding.StatePlayed})
	}
	return h
}

func TestAClassOverItsWeeks(t *testing.T) {
	p := tune()
	monday := time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)
	take := func(days int, f ...finding.Finding) Lesson {
		return LessonOf(p, judged(f...), monday.AddDate(0, 0, days))
	}
	late, sharp := found(finding.Late, "3"), found(finding.Sharp, "2")
	term := OverWeeks([]string{"Gate", "Mill"}, []string{"Uma", "Anna"}, []Lessons{
		{"Anna", p, "Gate", []Lesson{take(8, sharp), take(0, late, sharp), take(13)}}, // twice in the second week: the newest
		{"Anna", p, "Mill", []Lesson{take(14, late)}},
		{"Ben", p, "Gate", []Lesson{take(7, late), take(14, late)}}, // came late in the term
		{"Dora", p, "Gate", []Lesson{take(15)}},
	})
	assert.Equal(t, []string{"2026-11-02", "2026-11-09", "2026-11-16"}, term.Weeks)
	require.Len(t, term.Students, 4)
	anna, ben, uma := &term.Students[0], &term.Students[1], &term.Students[3]
	assert.Equal(t, []string{"Anna", "Ben", "Uma"}, []string{anna.Name, ben.Name, uma.Name})
	first, second := anna.In("2026-11-02", "Gate"), anna.In("2026-11-09", "Gate")
	assert.Equal(t, 2, first.Told)
	assert.Empty(t, first.Moved)
	assert.Equal(t, TermCell{Week: "2026-11-09", Piece: "Gate", PlayedAt: "2026-11-15T18:00:00Z", Before: "2026-11-02T18:00:00Z", Better: 2,
		Moved: "Better since last week, no longer told: late in measure 3, sharp in measure 2."}, *second)
	assert.Equal(t, "Still told since last week: late in measure 3.", ben.In("2026-11-16", "Gate").Moved)
	assert.Equal(t, []string{"Gate"}, anna.Missing, "which most played")
	assert.Empty(t, ben.Missing, "Mill was Anna's own")
	assert.Equal(t, []string{"Gate", "Mill"}, uma.Missing, "who sent nothing")
}

func TestAWeekCountsAllThatIsToldWhateverTheTakeBeforeLetsBeCompared(t *testing.T) {
	p := tune()
	monday := time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)
	half := LessonOf(p, judged(found(finding.Late, "3")), monday)
	half.Unjudged["7"] = true // broken off before it
	whole := judged(found(finding.Late, "3"), found(finding.Sharp, "7"))
	term := OverWeeks([]string{"Gate"}, nil, []Lessons{{"Anna", p, "Gate", []Lesson{half, LessonOf(p, whole, monday.AddDate(0, 0, 7))}}})
	second := term.Students[0].In("2026-11-09", "Gate")
	assert.Equal(t, []int{2, 1, 0}, []int{second.Told, second.Still, second.New})
}

func TestAWeekSaysWhereARecordingEnds(t *testing.T) {
	p := tune()
	monday := time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)
	term := OverWeeks([]string{"Gate"}, nil, []Lessons{{"Anna", p, "Gate", []Lesson{LessonOf(p, played(p, 0, 10), monday), LessonOf(p, judged(), monday.AddDate(0, 0, 7))}}})
	assert.Equal(t, "3", term.Students[0].In("2026-11-02", "Gate").Ends)
	assert.Zero(t, term.Students[0].In("2026-11-02", "Gate").Told, "which is no fault")
	assert.Empty(t, term.Students[0].In("2026-11-09", "Gate").Ends)
}

func TestWhoSentWhatWasNotHeardIsNotWithoutARecording(t *testing.T) {
	term := &Term{Unplaced: []Unplaced{{Student: "Ben", Recording: "b.wav"}, {Student: "Cleo", Recording: "c.wav", NotYet: true}},
		Sheets: []*Sheet{{Students: []Student{{Name: "Dora", Status: NotHeard}, {Name: "Emil", Status: Missing}}}}}
	for name, unheard := range map[string]bool{"Ben": true, "Cleo": false, "Dora": true, "Emil": false} {
		assert.Equal(t, unheard, term.Unheard(name), name)
	}
}

func TestASchoolYearIsNamedAndEnds(t *testing.T) {
	for day, want := range map[string][2]string{"2026-11-30": {"2026-27", "2027-08-01"}, "2027-07-31": {"2026-27", "2027-08-01"}, "2027-08-01": {"2027-28", "2028-08-01"},
		"2099-09-01": {"2099-00", "2100-08-01"}} {
		at, err := time.Parse(time.DateOnly, day)
		require.NoError(t, err)
		name, end := SchoolYear(at)
		assert.Equal(t, want, [2]string{name, end.Format(time.DateOnly)}, day)
	}
}

func TestWhatTheTeacherAddsIsKept(t *testing.T) {
	p := tune()
	gather := func(day int, h *finding.Hearing) *Sheet {
		return Gather(p, "Gate", []Seat{{"Zoë", []string{"a"}}, {"Ben", []string{"b"}}}, []Result{{File: "a", Hearing: h, At: time.Date(2026, 11, day, 9, 0, 0, 0, time.UTC)},
			{File: "b", Hearing: judged(found(finding.Late, "3"))}}, nil)
	}
	s := gather(6, judged(found(finding.Late, "3"), found(finding.Sharp, "5")))
	require.Len(t, s.Reteach, 1)
	r := &Remarks{}
	page := func(s *Sheet) *Page {
		for _, g := range PagesOf([]*piece.Piece{p}, []*Sheet{s}) {
			if g.Name == "Zoë" {
				return &g
			}
		}
		return nil
	}
	g := page(s)
	seen := g.Ident()
	saved := &Saved{Version: 1, Student: "Zoe\u0308", At: g.At(), Page: seen, Told: []Strike{StrikeOf("Gate", &s.Students[0].Findings[0])}, Struck: []int{0},
		Line: " Sing it first ", Seen: true, Saved: true}
	assert.True(t, r.Take(saved, "1"))
	assert.False(t, r.Take(saved, "1"), "it was read")
	r.Apply(p, s)
	assert.Equal(t, []int{0}, s.Students[0].Struck)
	assert.Equal(t, []int{1}, s.Students[0].WorthFixing)
	assert.Equal(t, []int{0, 1}, s.Students[0].Given())
	assert.Empty(t, s.Reteach, "of two it is one who had it")
	assert.Equal(t, seen, g.Ident(), "the teacher's own makes no other page")
	r.Apply(p, s)
	assert.Equal(t, []int{1}, s.Students[0].WorthFixing, "once as twice")

	next := gather(13, judged(found(finding.Late, "3"), found(finding.Flat, "6")))
	r.Apply(p, next)
	assert.Equal(t, []int{0}, next.Students[0].Struck, "next week it is struck again")
	assert.NotEqual(t, seen, page(next).Ident(), "what was not seen does not go home")
	line, before := r.For("Zoë").Line(page(next).At())
	assert.Empty(t, line)
	assert.Equal(t, "Sing it first", before.Text)
	saved.Struck, saved.Seen = nil, false
	assert.True(t, r.Take(saved, "2"))
	assert.Empty(t, r.For("Zoë").Struck, "put back")
	assert.Empty(t, r.For("Zoë").Seen)
	assert.False(t, r.Take(&Saved{Version: 1, Student: "Zoë"}, "3"), "a page as it was written says nothing")
}

func TestATakeIsOfThePieceThatExplainsIt(t *testing.T) {
	h := judged()
	assert.Equal(t, 1.0, Explains(h))
	onset := 9.0
	extra := judged()
	for range 8 {
		extra.Notes = append(extra.Notes, finding.Note{Onset: &onset, State: finding.StateExtra})
	}
	assert.Equal(t, 0.5, Explains(extra))
	holes := judged()
	for i := 1; i < 7; i++ {
		holes.Notes[i].Onset, holes.Notes[i].State = nil, finding.StateMissing
	}
	assert.Equal(t, 0.25, Explains(holes))
	assert.Zero(t, Explains(&finding.Hearing{}))
}
