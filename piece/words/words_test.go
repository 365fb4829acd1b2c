package words

import (
	"errors"
	"fmt"
	"io/fs"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestASentenceIsJoinedFromWhatStandsInItsPlaces(t *testing.T) {
	s := Of("finding.late", "measure", "6", "beat", Beat(2.5), "note", Note{Step: "B", Alter: -1}, "by", Of("finding.by.seconds", "seconds", Fixed(0.24, 2)))
	assert.Equal(t, "In measure 6, beat 2.5, the B♭ came 0.24 seconds late.", s.String())
	assert.True(t, Sentence{}.Zero())
	assert.Empty(t, Sentence{}.String())
	assert.Equal(t, "[no.such]", Say("no.such"), "something stands there, and a test finds it")
}

func TestWordsGoByHowManyThereAre(t *testing.T) {
	of := func(n int) string {
		return Many("finding.wrong_note.lower", n, "measure", "6", "beat", Beat(1), "note", Note{Step: "C"}).String()
	}
	assert.Equal(t, "In measure 6, beat 1, C sounded a semitone lower than written.", of(1))
	assert.Equal(t, "In measure 6, beat 1, C sounded 3 semitones lower than written.", of(3))
}

func TestAnErrorInAPlaceIsFound(t *testing.T) {
	err := Fault("finding.option.level", "name", fmt.Errorf("reading: %w", fs.ErrNotExist))
	assert.True(t, errors.Is(err, fs.ErrNotExist))
	assert.Contains(t, err.Error(), "write first-year")
	assert.False(t, errors.Is(Fault("finding.option.level", "name", Quoted("x\x1b")), fs.ErrNotExist))
	assert.NotContains(t, Quoted("x\x1b").In(Here()), "\x1b")
}

func TestNumbersAreWrittenOneWay(t *testing.T) {
	for want, s := range map[string]Sayer{
		"+28": Signed(28.4, 0), "-3": Signed(-3, 0), "−3": Shown(-3.2, 0), "+3": Shown(3, 0), "+0": Shown(-0.2, 0),
		"2.50": Fixed(2.5, 2), "2": Short(2.04), "2.1": Short(2.06), "0.25": Significant(0.251, 2),
		"1st": Ordinal(1), "2nd": Ordinal(2), "3rd": Ordinal(3), "11th": Ordinal(11), "112th": Ordinal(112), "22nd": Ordinal(22),
		"1:07": Duration(66.6), "?": Duration(-1),
		"3": List{"3"}, "3 and 5": List{"3", "5"}, "3, 5 and 9": List{"3", "5", "9"},
		"3, 5": Row(3, 5), "": Row[Sentence](), "high, 2; low": Clauses("high, 2", "low"),
		"F♯ and B♭ and C": All("F♯", "B♭", "C"), "It is so. It stays.": Sentences("It is so.", "It stays."),
		"no": NumberWord(0), "seven": NumberWord(7), "11": NumberWord(11), "once": Times(1), "twice": Times(2), "12 times": Times(12),
		"12 cents sharp": Off(12.4), "1 cent flat": Off(-0.6), "0 cents": Off(-0.4), `"ab"`: QuotedHead("abc", 2),
		"+2.5": Scale(2.5), "−50": Scale(-50), "0": Scale(-0.02), "+1": Scale(1.04),
	} {
		assert.Equal(t, want, s.In(Here()))
	}
}

func TestDatesAreWrittenOneWay(t *testing.T) {
	for _, at := range []time.Time{time.Date(2026, 2, 3, 8, 5, 59, 0, time.FixedZone("", 3*3600)), time.Date(2024, 12, 31, 23, 0, 0, 0, time.UTC)} {
		for form, d := range map[string]Date{"2 January 2006": Day(at), "2 January": DayOfYear(at), "2 Jan": BriefDay(at), "Monday 2 January": DayOfWeek(at),
			"2 January 2006, 15:04": Day(at).WithHour(), "2 January, 15:04": DayOfYear(at).WithHour()} {
			assert.Equal(t, at.Format(form), d.String())
		}
		assert.Equal(t, at.Format("Mon"), BriefWeekday(at.Weekday()).String())
	}
}

func TestBeatsAreWrittenAsTheyAreCounted(t *testing.T) {
	for x, want := range map[float64]string{2: "2", 2.5: "2½", 1. / 3: "⅓", 1.66: "1⅔", 0.25: "¼", 1.4: "1.4", 0: "0"} {
		assert.Equal(t, want, Beats(x).String())
	}
	assert.Equal(t, "½ beat", Beats(0.5).Long().String())
	assert.Equal(t, "2⅓ beats", Beats(7./3).Long().String())
	assert.Equal(t, "beat 12", Beat(12).In(Here()))
}

func TestPositionsAndNotesAreNamedAsAPlayerNamesThem(t *testing.T) {
	for token, want := range map[Position][4]string{
		"3": {"third position", "3rd position", "3rd", "III"}, "half": {"half position", "half position", "half", "half position"},
		"2-3": {"position 2–3", "2nd-3rd position", "2nd-3rd", "II–III"}, "9": {"position 9", "9 position", "9", "IX"},
	} {
		assert.Equal(t, want, [4]string{token.String(), token.Brief().String(), token.Least().String(), token.Printed().String()})
	}
	assert.Equal(t, "F♯", PitchClass(42).String())
	assert.Equal(t, []string{"F♯2", "C4", "B-2"}, []string{Pitch(42).String(), Pitch(60).String(), Pitch(-1).String()})
	assert.Equal(t, []string{"F♮", "F♯"}, []string{Note{"F", 0}.Signed().In(Here()), Note{"F", 1}.Signed().In(Here())})
	assert.Equal(t, "dotted half note C♯", Value{Type: "half", Dots: 1, Note: Note{"C", 1}}.In(Here()))
	assert.Equal(t, "quarter note", Value{Type: "quarter"}.In(Here()))
	assert.Equal(t, "G", Value{Note: Note{Step: "G"}}.In(Here()))
}

func TestDistancesAreSaidInWordsAHandUnderstands(t *testing.T) {
	for mm, want := range map[float64]string{
		0.4: "about a millimetre", 3.2: "about 3 millimetres", -5: "about half a centimetre", 9: "about a centimetre",
		12.4: "about a centimetre", -15: "about a centimetre and a half", 21: "about 2 centimetres", 58: "about 6 centimetres",
	} {
		assert.Equal(t, want, Distance(mm).In(Here()))
	}
	assert.Equal(t, "toward the bridge", Side(3).String())
	assert.Equal(t, "toward the scroll", Side(-3).String())
}

func TestAPartOfANoteIsSaidAsTheNearestPartThatHasAName(t *testing.T) {
	for part, want := range map[float64]string{0.1: "about a tenth", 0.35: "about a third", 0.4: "about two fifths", 0.45: "about two fifths", 0.5: "about half", 0.6: "about three fifths", 0.7: "about two thirds"} {
		assert.Equal(t, want, Share(part).In(Here()), part)
	}
}

func TestALanguageThatIsNotHereIsSaidSo(t *testing.T) {
	_, err := In("tlh")
	require.ErrorContains(t, err, `language "tlh": no words of it are here`)
}

func TestALineNeverEndsAtANoBreakSpace(t *testing.T) {
	assert.Equal(t, []string{"Appuie", "sur", "«\u00a0Page\u00a0»\u00a0:", "joue."}, Apart("Appuie sur «\u00a0Page\u00a0»\u00a0:\njoue."))
}
