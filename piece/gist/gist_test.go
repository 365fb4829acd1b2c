package gist_test

import (
	"fmt"
	"math"
	"math/rand"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
)

// eight is a piece of eight measures of four quarters, of which the first of each measure
// is an open string.
func eight() *piece.Piece {
	p := &piece.Piece{Title: "Eight"}
	for m := range 8 {
		bar := piece.Measure{Number: fmt.Sprint(m + 1), Length: 4 * piece.Quarter, Time: piece.Time{Beats: 4, Unit: 4}}
		for k := range 4 {
			bar.Notes = append(bar.Notes, piece.Note{Start: piece.Ticks(k) * piece.Quarter, Length: piece.Quarter, MIDI: 38 + k})
		}
		p.Measures = append(p.Measures, bar)
	}
	return p
}

// played is a take of it at ♩ = 60 in which all is in place; a shift lands on the third
// note of every second measure.
func played(p *piece.Piece) *finding.Hearing {
	h := &finding.Hearing{Level: "intermediate", TempoAsked: 60, TempoHeard: 60, ReferenceA: 440, HeardA: 440, WorthFixing: []int{}}
	line, _ := p.Line()
	for i, e := range line {
		onset, cents, late, held := float64(i), 0.0, 0.0, 0.95
		n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, Onset: &onset, Cents: &cents, LateMS: &late, Held: &held,
			Finger: []string{"0", "1", "2", "4"}[i%4], Position: "1", Trust: dsp.Sure, State: finding.StatePlayed, Line: i, Heard: i}
		if i%8 == 2 {
			n.AfterShift = true
			h.Landings = append(h.Landings, finding.Landing{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, From: "1", To: "3", String: 1, Marked: true, Trust: dsp.Sure})
		}
		h.Notes = append(h.Notes, n)
	}
	return h
}

// tell puts findings into a hearing and ranks them.
func tell(h *finding.Hearing, f ...finding.Finding) *finding.Hearing {
	h.Findings = append(h.Findings, f...)
	order := h.Worth()
	h.WorthFixing = order[:min(2, len(order))]
	return h
}

func found(k finding.Kind, measure string, trust dsp.Trust) finding.Finding {
	f := finding.Finding{Kind: k, Measure: measure, ToMeasure: measure, Pass: 1, Beat: 1, Trust: trust, Notes: 1, Tolerance: 18, Value: 40}
	if about := k.Row().About; about == finding.WholeTake || about == finding.Hand {
		f.Measure, f.ToMeasure = "1", "8"
	}
	return f
}

func TestToABeginnerTheWholeOfATakeIsSaidInThePagesWords(t *testing.T) {
	p := eight()
	for _, k := range finding.Kinds() {
		h := tell(played(p), found(k, "4", dsp.Sure))
		h.Level = finding.FirstYear.Name
		says := gist.Of(p, h).String()
		assert.NotRegexp(t, `\b(sharp|flat|cents|ms)\b`, says)
		if k.Row().OffPitch() {
			assert.Regexp(t, `too (high|low)\b`, says)
		}
	}
}

func TestTheWholeOfATakeInASentence(t *testing.T) {
	p := eight()
	shift := func(measures ...string) (all []finding.Finding) {
		for _, m := range measures {
			all = append(all, found(finding.SharpAfterShift, m, dsp.Sure))
		}
		return all
	}
	says := func(h *finding.Hearing) string { return gist.Of(p, h).String() }
	assert.Equal(t, "Steady at 60; nothing to mend in all 8 measures.", says(played(p)))
	assert.Equal(t, "Steady at 60; the hand lands sharp after three shifts.", says(tell(played(p), shift("1", "3", "5")...)))
	assert.Equal(t, "Steady at 60; the hand lands sharp in measure 5.", says(tell(played(p), shift("5")...)))
	assert.Equal(t, "Steady at 60; perhaps: a note is flat in measure 2.", says(tell(played(p), found(finding.Flat, "2", dsp.Fair))))
	off := played(p)
	*off.Notes[6].Cents = 31
	assert.Equal(t, "Steady at 60; nothing stood out.", says(off), "a note that is off and was not told is nothing to be praised")
	slow := tell(played(p), found(finding.WrongRhythm, "4", dsp.Sure))
	assert.Equal(t, "Another rhythm is played in measure 4.", says(slow), "nobody is steady who played another rhythm")
	waits := found(finding.Paused, "1", dsp.Sure)
	waits.Places = []finding.Place{{Measure: "4", Pass: 1, Beat: 1}, {Measure: "6", Pass: 1, Beat: 1}}
	waits.ToMeasure = "6"
	assert.Equal(t, "You hesitate in three places.", says(tell(played(p), waits)))
	waits.Measure, waits.Beat, waits.Places = "1", 3, []finding.Place{{Measure: "3", Pass: 1, Beat: 3}, {Measure: "6", Pass: 1, Beat: 1}}
	assert.Equal(t, "You stop before shifts.", says(tell(played(p), waits)))
	passage := found(finding.SlowerPassage, "5", dsp.Sure)
	passage.ToMeasure, passage.Value, passage.Tolerance = "8", 0.73, 0.08
	assert.Equal(t, "Measures 5–8 went slower than the rest.", says(tell(played(p), passage)))
	assert.Equal(t, "Steady at 60; the recording ends in measure 6.", says(tell(played(p), found(finding.Stopped, "6", dsp.Sure))))
	key := found(finding.WrongNote, "2", dsp.Sure)
	key.Places, key.Value, key.Tolerance = []finding.Place{{Measure: "4", Pass: 1, Beat: 1}, {Measure: "6", Pass: 1, Beat: 1}}, -1, 0.5
	assert.Equal(t, "Steady at 60; the same note is played wrong three times.", says(tell(played(p), key)))
	drift := found(finding.Tempo, "1", dsp.Sure)
	drift.Value, drift.Tolerance, drift.FromQPM, drift.ToQPM = 53, 5, 60, 47
	assert.Equal(t, "You slow down, from 60 to 47.", says(tell(played(p), drift)), "of a pace that changes all along, its mean says nothing")
	manner := found(finding.Late, "1", dsp.Sure)
	manner.ToMeasure, manner.Value, manner.Tolerance, manner.Notes = "8", 180, 100, 4
	late := played(p)
	for i := range late.Notes {
		if late.Notes[i].AfterShift {
			*late.Notes[i].LateMS = 180
		}
	}
	assert.Equal(t, "You come late after shifts.", says(tell(late, manner)))
	short := found(finding.HeldShort, "1", dsp.Sure)
	short.ToMeasure, short.Value, short.Tolerance, short.Notes = "8", 0.5, 0.7, 32
	assert.Equal(t, "Steady at 60; notes are cut short all through.", says(tell(played(p), short)))
	missing := found(finding.Missing, "4", dsp.Sure)
	missing.Notes = 3
	assert.Equal(t, "Steady at 60; three notes are left out.", says(tell(played(p), missing)))
	pace := played(p)
	for i := 16; i < len(pace.Notes); i++ {
		*pace.Notes[i].Onset += 0.4 * float64(i-15)
	}
	assert.Equal(t, "Nothing to mend in all 8 measures.", says(pace), "not steady, though each note lies on the beat kept there")
	assert.Equal(t, "Not sure of this take.", says(tell(played(p), found(finding.NotSure, "1", dsp.NotSure))))
	for _, c := range []struct {
		unsure int // of the four notes of each measure but the last two
		says   string
	}{{4, "Not sure of this take."}, {3, "Not sure of this take."}, {2, "Nothing stood out."}} {
		dim := played(p)
		for i := range dim.Notes[:24] {
			if i%4 < c.unsure {
				dim.Notes[i].Trust = dsp.NotSure
			}
		}
		assert.Equal(t, c.says, says(dim), "nothing can stand out where it could not be heard")
	}
	assert.Equal(t, "No notes of this piece were heard.", says(&finding.Hearing{}))
	low := found(finding.Tuning, "1", dsp.Sure)
	low.Value = -20
	h := tell(played(p), low)
	assert.Equal(t, "Steady at 60; a string is out of tune.", says(h))
	h.HeardA = 440 * math.Pow(2, -20/1200.0)
	assert.Equal(t, "Steady at 60; the whole bass is 20 cents off.", says(h))
	lower := low
	lower.Value = -45
	h = tell(h, lower)
	assert.Equal(t, "Steady at 60; a string is out of tune.", says(h), "and the whole bass is no second one")
}

func TestTheWholeOfAClassInASentence(t *testing.T) {
	f := found(finding.FlatAfterShift, "5", dsp.Sure)
	assert.Equal(t, "6 of 22: the hand lands flat in measure 5.", gist.OfClass(22, &f, 6, 22).String())
	assert.Equal(t, "22 heard; no fault is shared by enough of them.", gist.OfClass(22, nil, 0, 0).String())
}

// All kinds, once, many times, over several measures, certainly or not, with a pace that was
// kept or not, in a take or in a class, in the words with the most figures.
func TestTheFirstSentenceHasAtMostTwelveWords(t *testing.T) {
	p := eight()
	for i := range p.Measures {
		p.Measures[i].Number = fmt.Sprint(i+101, "a")
	}
	said := map[string]bool{}
	count := func(s words.Sentence) {
		said[s.String()] = true
	}
	for _, k := range finding.Kinds() {
		for _, trust := range []dsp.Trust{dsp.Sure, dsp.Fair, dsp.NotSure} {
			for _, times := range []int{1, 2, 5, 8} {
				for _, wide := range []bool{false, true} {
					for _, value := range []float64{-140, 140, 59.5} {
						h := played(p)
						var all []finding.Finding
						for m := range times {
							f := found(k, p.Measures[m].Number, trust)
							f.Value = value
							if wide {
								f.ToMeasure = p.Measures[7].Number
							}
							all = append(all, f)
						}
						for _, heard := range []float64{440, 440 * math.Pow(2, value/1200)} {
							h.HeardA = heard
							for _, steady := range []float64{60, 0} {
								h.TempoHeard = steady
								h.Findings = nil
								count(gist.Of(p, tell(h, all...)))
							}
						}
						count(gist.OfClass(40, &all[0], 13, 40))
					}
				}
			}
		}
	}
	require.Greater(t, len(said), 5*len(finding.Kinds()))
	for s := range said {
		assert.LessOrEqual(t, len(strings.Fields(s)), 12, s)
		assert.NotContains(t, s, "[", "no message")
		assert.Regexp(t, `^[A-Z0-9].*\.$`, s)
	}
}

func TestEveryWordOfWhatIsSaidFirstStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	p := eight()
	said := gist.Praise(p, played(p))
	for _, k := range finding.Kinds() {
		f := found(k, "2", dsp.Fair)
		said = append(said, gist.Of(p, tell(played(p), f)).String(), gist.OfClass(3, &f, 2, 3).String())
	}
	for _, s := range said {
		assert.Empty(t, pseudo.Plain(s), s)
	}
}

func TestWhatWentWell(t *testing.T) {
	p := eight()
	clean := "In measures 1 to 8 all 32 notes came in time, the 24 under a finger in tune."
	assert.Equal(t, []string{clean, "All your 4 shifts landed where they should.", "You kept a steady tempo, about ♩ = 60."}, gist.Praise(p, played(p)))

	h := tell(played(p), found(finding.Late, "4", dsp.Sure))
	assert.Equal(t, "In measures 5 to 8 all 16 notes came in time, the 12 under a finger in tune.", gist.Praise(p, h)[0])

	open := played(p)
	for i := range open.Notes {
		open.Notes[i].Finger = "0"
	}
	assert.Equal(t, "In measures 1 to 8 all 32 notes came in time.", gist.Praise(p, open)[0], "of an open string's pitch nobody is praised")

	doubt := tell(played(p), found(finding.NotSure, "1", dsp.NotSure))
	assert.Equal(t, []string{"You reached the end."}, gist.Praise(p, doubt))
	doubt.Notes[31].State, doubt.Notes[31].Onset = finding.StateMissing, nil
	assert.Empty(t, gist.Praise(p, doubt))

	half := played(p)
	half.Landings[0].Cents, half.Landings[1].Trust = 30, dsp.Fair
	assert.Contains(t, gist.Praise(p, half), "2 of your 4 shifts landed where they should. One could not be heard clearly.")
	half.Landings[1].Trust, half.Landings[2].Cents = dsp.Sure, -18
	assert.Contains(t, gist.Praise(p, half), "3 of your 4 shifts landed where they should.")
	half.Landings[1].Trust, half.Landings[2].Cents = dsp.NotSure, -19
	assert.NotContains(t, strings.Join(gist.Praise(p, half), " "), "shifts", "where most did not, nothing is praised")
	only := played(p)
	only.OnlyPitch = true
	assert.NotContains(t, strings.Join(gist.Praise(p, only), " "), "in time", "of a take with a backing track no rhythm is praised")
}

func TestAShiftThatLandedInTuneLandedThoughItsNoteCameLate(t *testing.T) {
	p := eight()
	late := tell(played(p), found(finding.Late, "1", dsp.Sure))
	*late.Notes[2].LateMS = 310
	assert.Contains(t, gist.Praise(p, late), "All your 4 shifts landed where they should.")
}

func TestWhereThePageMarksNoShiftThereMayHaveBeenNone(t *testing.T) {
	p := eight()
	free := played(p)
	for i := range free.Landings {
		free.Landings[i].Marked = false
	}
	assert.Contains(t, gist.Praise(p, free), "If you shifted where Endpin supposes it, all 4 shifts landed where they should.")
	free.Landings[0].Cents = 30
	assert.Contains(t, gist.Praise(p, free), "If you shifted where Endpin supposes it, 3 of 4 shifts landed where they should.")
	other := played(p)
	other.Landings[1].Other = true
	assert.Contains(t, strings.Join(gist.Praise(p, other), " "), "If you shifted", "another fingering goes there as well")
}

func TestOfAManneredTakeWhatLiesWithinIsPraisedAllTheSame(t *testing.T) {
	p := eight()
	manner := found(finding.Late, "1", dsp.Sure)
	manner.ToMeasure, manner.Value, manner.Tolerance, manner.Notes = "8", 180, 100, 3
	late := played(p)
	for _, i := range []int{2, 10, 18} {
		*late.Notes[i].LateMS = 180
	}
	assert.Equal(t, "In measures 6 to 8 all 12 notes came in time, the 9 under a finger in tune.", gist.Praise(p, tell(late, manner))[0])
}

func TestOfATakeThatGrowsSlowerNothingIsSaidToBeInTime(t *testing.T) {
	p := eight()
	drift := found(finding.Tempo, "1", dsp.Sure)
	drift.FromQPM, drift.ToQPM = 60, 47
	all := gist.Praise(p, tell(played(p), drift))
	assert.Equal(t, "In measures 1 to 8 all 24 notes under a finger were in tune.", all[0])
	assert.NotContains(t, strings.Join(all, " "), "time")
}

func TestShiftsBehindTheEndOfTheRecordingWereNotToBeHeard(t *testing.T) {
	p := eight()
	ends := played(p)
	for i := 20; i < len(ends.Notes); i++ {
		n := &ends.Notes[i]
		n.State, n.Onset, n.Cents, n.LateMS, n.Held = finding.StateMissing, nil, nil, nil, nil
	}
	assert.Contains(t, gist.Praise(p, tell(ends, found(finding.Stopped, "5", dsp.Sure))), "All your 3 shifts landed where they should.")
}

// scattered is a take as chance has it, told by no judge.
func scattered(p *piece.Piece, r *rand.Rand) *finding.Hearing {
	h := played(p)
	h.Level = []string{"first-year", "intermediate", "advanced"}[r.Intn(3)]
	wild := []float64{0, 4, 12, 30}[r.Intn(4)]
	for i := range h.Notes {
		n := &h.Notes[i]
		*n.Cents, *n.LateMS, *n.Held = wild*r.NormFloat64(), 4*wild*r.NormFloat64(), 0.95-wild/60*r.Float64()
		n.Trust = []dsp.Trust{dsp.Sure, dsp.Sure, dsp.Sure, dsp.Sure, dsp.Sure, dsp.Fair, dsp.NotSure}[r.Intn(7)]
		switch r.Intn(40) {
		case 0:
			n.State, n.Onset, n.Cents, n.LateMS, n.Held = finding.StateMissing, nil, nil, nil, nil
		case 1:
			n.State = finding.StateWrong
		case 2:
			n.Cents = nil // guessed
		}
	}
	for i := range h.Landings {
		h.Landings[i].Cents = wild * r.NormFloat64()
	}
	for range r.Intn(4) {
		kinds := finding.Kinds()
		k := kinds[r.Intn(len(kinds))]
		if k != finding.NotSure {
			tell(h, found(k, fmt.Sprint(1+r.Intn(8)), []dsp.Trust{dsp.Sure, dsp.Fair}[r.Intn(2)]))
		}
	}
	return h
}

var range8 = regexp.MustCompile(`^In measures? (\d)(?: to (\d))? all (\d+) notes came in time(?:, the (\d+) under a finger in tune)?\.$`)

// praisedRun reads which measures are praised.
func praisedRun(t *testing.T, said []string) (from, to, notes, stopped int) {
	t.Helper()
	for _, s := range said {
		if m := range8.FindStringSubmatch(s); m != nil {
			n := make([]int, 5)
			for i := range m {
				n[i], _ = strconv.Atoi(m[i])
			}
			if m[2] == "" {
				n[2] = n[1]
			}
			return n[1], n[2], n[3], n[4]
		}
	}
	return 0, -1, 0, 0
}

func TestPraiseNamesNoNoteOutsideTheTolerance(t *testing.T) {
	p := eight()
	r := rand.New(rand.NewSource(1607))
	praised, clean := 0, 0
	for range 4000 {
		h := scattered(p, r)
		level, err := finding.LevelByName(h.Level)
		require.NoError(t, err)
		from, to, notes, stopped := praisedRun(t, gist.Praise(p, h))
		least := []dsp.Trust{dsp.Sure}
		if strings.Contains(gist.Of(p, h).String(), "nothing to mend") {
			clean++
			from, to, notes, stopped = 1, 8, 32, 24
			least = append(least, dsp.Fair)
		}
		if to < from {
			continue
		}
		praised++
		counted, fingers := 0, 0
		for i := range h.Notes {
			n := &h.Notes[i]
			m, _ := strconv.Atoi(n.Measure)
			if m < from || m > to {
				continue
			}
			counted++
			if n.Finger != "0" {
				fingers++
			}
			require.Equal(t, finding.StatePlayed, n.State)
			require.Contains(t, least, n.Trust)
			require.NotNil(t, n.Cents)
			assert.LessOrEqual(t, math.Abs(*n.Cents), level.Note)
			assert.LessOrEqual(t, math.Abs(*n.LateMS), level.Onset)
			assert.GreaterOrEqual(t, *n.Held, level.Held)
		}
		assert.Equal(t, [2]int{notes, stopped}, [2]int{counted, fingers})
		for _, f := range h.Findings {
			if m, _ := strconv.Atoi(f.Measure); f.Kind.Row().About != finding.WholeTake && f.Kind.Row().Weight > 0 {
				last, _ := strconv.Atoi(f.ToMeasure)
				assert.False(t, m <= to && last >= from, "%s in %s", f.Kind, f.Measure)
			}
		}
	}
	assert.Greater(t, praised, 300, "or nothing was tried")
	t.Log(praised, "praised of 4000,", clean, "wholly clean")
}

// One knob at a time.
func TestAWorseTakeNeverGetsMorePraise(t *testing.T) {
	p := eight()
	r := rand.New(rand.NewSource(1608))
	worse := []func(h *finding.Hearing, n *finding.Note){
		func(h *finding.Hearing, n *finding.Note) {
			if n.Cents != nil {
				*n.Cents += math.Copysign(5+20*r.Float64(), *n.Cents)
			}
		},
		func(h *finding.Hearing, n *finding.Note) {
			if n.LateMS != nil {
				by := math.Copysign(20+100*r.Float64(), *n.LateMS)
				*n.LateMS += by
				*n.Onset += by / 1000
			}
		},
		func(h *finding.Hearing, n *finding.Note) {
			if n.Held != nil {
				*n.Held *= 0.7
			}
		},
		func(h *finding.Hearing, n *finding.Note) { n.Trust = dsp.NotSure },
		func(h *finding.Hearing, n *finding.Note) {
			n.State, n.Onset, n.Cents, n.LateMS, n.Held = finding.StateMissing, nil, nil, nil, nil
		},
		func(h *finding.Hearing, n *finding.Note) { tell(h, found(finding.Late, n.Measure, dsp.Sure)) },
		func(h *finding.Hearing, n *finding.Note) { tell(h, found(finding.NotSure, "1", dsp.NotSure)) },
		func(h *finding.Hearing, n *finding.Note) {
			h.Landings[r.Intn(len(h.Landings))].Cents = 60
		},
		func(h *finding.Hearing, n *finding.Note) { tell(h, found(finding.Restarted, n.Measure, dsp.Sure)) },
	}
	neutral := words.Say("gist.well.end")
	for range 1500 {
		h := scattered(p, r)
		was := gist.Praise(p, h)
		for range 6 {
			k := r.Intn(len(h.Notes))
			worse[r.Intn(len(worse))](h, &h.Notes[k])
			is := gist.Praise(p, h)
			_, _, hadNotes, _ := praisedRun(t, was)
			_, _, notes, _ := praisedRun(t, is)
			if !slices.Contains(is, neutral) {
				require.LessOrEqual(t, len(is), len(was), "%q\n%q", was, is)
			}
			assert.LessOrEqual(t, notes, hadNotes)
			was = is
		}
	}
}
