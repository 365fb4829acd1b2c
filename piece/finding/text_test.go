package finding_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/align"
	"endpin/piece/finding"
)

// stumble makes a few mistakes of every sort at random places.
func stumble(t testing.TB, rng *rand.Rand) *player {
	tune := []string{harbour, eighths, rests, twoNoteFrame, oneNoteFrame}[rng.Intn(5)]
	if rng.Intn(3) == 0 {
		tune = regexp.MustCompile(`![0-4]!|"I+"`).ReplaceAllString(tune, "")
	}
	p := play(t, tune)
	scatter(p, rng, 8, 20)
	any := func() int { return rng.Intn(len(p.line)) }
	sign := float64(2*rng.Intn(2) - 1)
	for range 1 + rng.Intn(4) {
		switch rng.Intn(18) {
		case 0:
			if k := len(p.plan.Shifts); k > 0 {
				s := p.plan.Shifts[rng.Intn(k)]
				for i, f := range p.plan.Notes {
					if f.Frame == s.Frame {
						p.detune(sign*float64(25+rng.Intn(120)), i)
					}
				}
			}
		case 1:
			p.detune(sign*float64(35+rng.Intn(30)), any())
		case 2:
			p.detune(100*float64(rng.Intn(9)-4), any())
		case 3:
			p.detune(1200*sign, any())
		case 4, 5:
			for _, s := range p.of(any()) {
				s.onset += sign * (0.15 + 0.3*rng.Float64())
			}
		case 6:
			for _, s := range p.of(any()) {
				s.end = s.onset + 0.5*(s.end-s.onset)
			}
		case 7:
			if i := any(); len(p.of(i)) > 0 {
				from := p.of(i)[0].onset
				for k := range p.sounds {
					if p.sounds[k].onset >= from {
						p.sounds[k].onset += sign * p.quarter
						p.sounds[k].end += sign * p.quarter
					}
				}
			}
		case 8:
			p.leaveOut(any())
		case 9:
			p.sounds = append(p.sounds, p.sound(-1, float64(30+rng.Intn(20)), 2+10*rng.Float64(), 99))
			p.sounds[len(p.sounds)-1].end = p.sounds[len(p.sounds)-1].onset + 0.5
		case 10:
			b := 1 + rng.Intn(len(p.line)-1)
			a := rng.Intn(b)
			again := p.at2(a, b)
			p.sounds = append(again, p.sounds...)
		case 11:
			p.pace(0.7 + rng.Float64())
		case 12:
			for i := range p.line {
				p.detune(sign*20, i)
			}
		case 13:
			for i := range p.line {
				if p.plan.Notes[i].Finger == "4" {
					p.detune(sign*30, i)
				}
			}
		case 14:
			p.clipped, p.floor = 0.1*float64(rng.Intn(2)), -70+float64(rng.Intn(50))
		case 15: // a passage at another pace
			from, length := lead+20*rng.Float64(), 4+8*rng.Float64()
			p.bend(func(s float64) float64 { return s + 0.3*sign*min(max(0, s-from), length) })
		case 16: // the recording ends
			p.leaveOut(upTo(len(p.line)/2+rng.Intn(len(p.line)/2), len(p.line))...)
		case 17: // measures left out
			if from, to := p.at("3:1"), p.at("5:1"); len(p.of(from)) > 0 && len(p.of(to)) > 0 {
				by := p.of(from)[0].onset - p.of(to)[0].onset
				p.leaveOut(upTo(from, to)...)
				for i := to; i < len(p.line); i++ {
					for _, s := range p.of(i) {
						s.onset, s.end = s.onset+by, s.end+by
					}
				}
			}
		}
	}
	return p
}

// upTo are the notes from..to-1.
func upTo(from, to int) (notes []int) {
	for i := from; i < to; i++ {
		notes = append(notes, i)
	}
	return notes
}

// at2 gives a first attempt from note a that breaks off before note b, in front
// of the take.
func (p *player) at2(a, b int) []sound {
	var again []sound
	for _, s := range p.sounds {
		if s.note >= a && s.note < b {
			again = append(again, s)
		}
	}
	if len(again) == 0 {
		return nil
	}
	by := again[len(again)-1].end + 1.5 - again[0].onset
	for k := range p.sounds {
		p.sounds[k].onset += by
		p.sounds[k].end += by
	}
	return again
}

// scatter is a beginner's: standard deviations in cents and ms.
func scatter(p *player, rng *rand.Rand, cents, ms float64) {
	for k := range p.sounds {
		s := &p.sounds[k]
		if p.stopped(s.note) {
			s.midi += cents / 100 * rng.NormFloat64()
		}
		by := ms / 1000 * rng.NormFloat64()
		s.onset += by
		if k > 0 && math.Abs(p.sounds[k-1].end-(s.onset-by)) < 1e-9 {
			p.sounds[k-1].end = s.onset
		}
	}
}

var slip = regexp.MustCompile(`%!|NaN|Inf|<nil>|\{|\}|%[a-z]|  |\+?-0 |[0-9]e[+-]`)

func TestEveryTextIsOneSentenceThatNamesItsPlace(t *testing.T) {
	seen := map[finding.Kind]int{}
	for seed := range int64(220) {
		rng := rand.New(rand.NewSource(seed))
		p := stumble(t, rng)
		level := []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced}[rng.Intn(3)]
		h, err := finding.Judge(p.piece, p.heard(), finding.Options{Level: level})
		if errors.Is(err, align.ErrNothing) {
			continue
		}
		require.NoError(t, err)
		for _, f := range h.Findings {
			seen[f.Kind]++
			at := fmt.Sprintf("seed %d, %s: %q", seed, f.Kind, f.Text)
			assert.NotRegexp(t, slip, f.Text, at)
			assert.NotRegexp(t, slip, f.Short, at)
			assert.True(t, strings.HasSuffix(f.Text, "."), at)
			assert.NotRegexp(t, `[.!?] [A-Z]`, f.Text, "%s: two sentences", at)
			first, _ := utf8.DecodeRuneInString(f.Text)
			assert.True(t, unicode.IsUpper(first) || unicode.IsDigit(first), at)
			assert.LessOrEqual(t, utf8.RuneCountInString(f.Text), 260, at)
			assert.NotEmpty(t, f.Short, at)
			assert.LessOrEqual(t, utf8.RuneCountInString(f.Short), 40, at)
			assert.False(t, math.IsNaN(f.Value) || math.IsInf(f.Value, 0), at)
			assert.Contains(t, []dsp.Trust{dsp.Sure, dsp.Fair, dsp.NotSure}, f.Trust, at)
			assert.NotEmpty(t, f.Measure, at)
			assert.NotEmpty(t, f.ToMeasure, at)
			assert.GreaterOrEqual(t, f.Beat, 1.0, at)
			assert.GreaterOrEqual(t, f.Pass, 1, at)
			assert.LessOrEqual(t, f.First, f.Last, at)
			switch {
			case f.Kind == finding.Tempo, f.Kind == finding.Tuning, f.Kind == finding.Uneven, f.Kind == finding.NotSure: // of the whole take
			case f.Kind == finding.NarrowHand, f.Kind == finding.WideHand: // a habit of the hand
			case f.Kind == finding.Missing && f.First == 0 && f.Last > 0: // where the take begins
				assert.Regexp(t, `\bmeasure \w+`, f.Text, at)
			default:
				assert.Regexp(t, `(?i)\bmeasures? `+regexp.QuoteMeta(f.Measure)+`\b`, f.Text, at)
			}
			if level.Name == finding.FirstYear.Name {
				assert.NotRegexp(t, `\b(cents|Hz|ms)\b`, f.Text, "%s: a child is told in words", at)
			}
			assert.NotRegexp(t, `(?i)\b(grade|score|stars?|streak|per ?cent|bad|failed)\b`, f.Text, at)
		}
		assert.LessOrEqual(t, len(h.WorthFixing), 2)
		used := map[int]bool{}
		for _, k := range h.WorthFixing {
			require.Less(t, k, len(h.Findings))
			require.GreaterOrEqual(t, k, 0)
			assert.False(t, used[k], "once")
			used[k] = true
			assert.NotEqual(t, dsp.NotSure, h.Findings[k].Trust)
		}
		if sure := len(h.Findings) > 0 && h.Findings[0].Trust == dsp.Sure && h.Findings[0].Weight() > 0; sure {
			assert.NotEmpty(t, h.WorthFixing, "seed %d", seed)
		}
		assert.Len(t, withState(h, finding.StateExtra, false), len(p.line), "every note of the line is told of")
	}
	for _, k := range []finding.Kind{finding.SharpAfterShift, finding.FlatAfterShift, finding.Sharp, finding.Flat, finding.NarrowHand,
		finding.WideHand, finding.Late, finding.Early, finding.HeldShort, finding.WrongRhythm, finding.WrongNote,
		finding.Missing, finding.Extra, finding.Restarted, finding.LeftOut, finding.Tempo, finding.SlowerPassage, finding.FasterPassage, finding.Paused, finding.Stopped, finding.Tuning, finding.NotSure} {
		assert.NotZero(t, seen[k], "no %s was made: the property holds of nothing", k)
	}
}

func withState(h *finding.Hearing, s finding.State, is bool) []finding.Note {
	var notes []finding.Note
	for _, n := range h.Notes {
		if (n.State == s) == is {
			notes = append(notes, n)
		}
	}
	return notes
}

func TestTheSameTakeIsHeardTheSameTwice(t *testing.T) {
	for seed := range int64(20) {
		p := stumble(t, rand.New(rand.NewSource(seed)))
		a, errA := finding.Judge(p.piece, p.heard(), finding.Options{})
		b, errB := finding.Judge(p.piece, p.heard(), finding.Options{})
		assert.Equal(t, errA, errB)
		assert.Equal(t, a, b, "seed %d", seed)
	}
}

func TestTheDistanceOnTheStringIsTheOneThatPhysicsGives(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	// C on the G string, a fourth up: the string from there to the bridge is
	// 1050·2^(-5/12) = 787 mm, of which 30 cents are 787·(1-2^(-30/1200)) = 13.5.
	mm := 1050 * math.Exp2(-5.0/12) * (1 - math.Exp2(-30.0/1200))
	assert.InDelta(t, 13.5, mm, 0.1)
	text := p.listen().Findings[0].Text
	assert.Regexp(t, `centimetre|1[34] (mm|millimetres)`, text)
	assert.Contains(t, text, "too far toward the bridge")
}

// The example object of the design, with a value of the type that each key has.
const example = `{"version":1, "piece":"p", "recording":"r", "duration_s":1.5,
 "reference_a_hz":440, "heard_a_hz":440.5, "tempo_asked_qpm":76, "tempo_heard_qpm":75.5,
 "notes":[{"measure":"1","pass":1,"beat":1.0,"midi":43,"heard_midi":43,"onset_s":1.234,"offset_s":2.100,
           "cents":3.1,"cents_spread":1.2,"late_ms":-4,"held":0.97,
           "string":2,"finger":"1","position":"3","after_shift":true,"trust":"sure","state":"played"}],
 "findings":[{"measure":"6","to_measure":"7","pass":1,"beat":1.0,"kind":"sharp_after_shift","value":28.4,
              "trust":"sure","text":"one sentence"}]}`

func TestTheJSONHasTheKeysThatOtherProgramsRead(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	h := p.listen()
	data, err := json.Marshal(h)
	require.NoError(t, err)
	var got, want map[string]any
	require.NoError(t, json.Unmarshal(data, &got))
	require.NoError(t, json.Unmarshal([]byte(example), &want))
	same := func(where string, want, got map[string]any) {
		for key, v := range want {
			if assert.Contains(t, got, key, where) {
				assert.IsType(t, v, got[key], where+key)
			}
		}
	}
	same("", want, got)
	first := func(m map[string]any, list string) map[string]any { return m[list].([]any)[0].(map[string]any) }
	same("notes: ", first(want, "notes"), first(got, "notes"))
	same("findings: ", first(want, "findings"), first(got, "findings"))
	assert.Equal(t, 1.0, got["version"])
	assert.Equal(t, "Harbour Steps", got["piece"])
	assert.Equal(t, 80.0, got["tempo_asked_qpm"])
	f := first(got, "findings")
	assert.Equal(t, "6", f["measure"])
	assert.Equal(t, "7", f["to_measure"])
	assert.Equal(t, "sharp_after_shift", f["kind"])
	assert.Equal(t, "sure", f["trust"])
	shifted := got["notes"].([]any)[p.at("6:1")].(map[string]any)
	assert.Equal(t, true, shifted["after_shift"])
	assert.Equal(t, "3", shifted["position"])
	assert.Equal(t, "1", shifted["finger"])
	assert.Equal(t, 1.0, shifted["string"])
	assert.Equal(t, 48.0, shifted["midi"])
	assert.InDelta(t, 30, shifted["cents"], 1)
	assert.InDelta(t, 16, shifted["onset_s"], 0.01)
	open := got["notes"].([]any)[0].(map[string]any)
	assert.Equal(t, "0", open["finger"])
	assert.Equal(t, "0", open["position"])
}

func TestTheWordsOfTheJSONAreTheDesigns(t *testing.T) {
	// kinds, trust, states: the design's words, in its order
	assert.Equal(t, []finding.Kind{"sharp_after_shift", "flat_after_shift", "sharp", "flat", "narrow_hand", "wide_hand", "late", "early",
		"held_short", "held_long", "wrong_rhythm", "wrong_note", "missing", "extra", "restarted", "tempo", "slower_passage", "faster_passage", "paused", "stopped", "left_out", "tuning", "not_sure"},
		[]finding.Kind{finding.SharpAfterShift, finding.FlatAfterShift, finding.Sharp, finding.Flat, finding.NarrowHand, finding.WideHand,
			finding.Late, finding.Early, finding.HeldShort, finding.HeldLong, finding.WrongRhythm, finding.WrongNote, finding.Missing,
			finding.Extra, finding.Restarted, finding.Tempo, finding.SlowerPassage, finding.FasterPassage, finding.Paused, finding.Stopped, finding.LeftOut, finding.Tuning, finding.NotSure})
	assert.Equal(t, []dsp.Trust{"sure", "fair", "not sure"}, []dsp.Trust{dsp.Sure, dsp.Fair, dsp.NotSure})
	assert.Equal(t, []finding.State{"played", "missing", "wrong_note", "extra"},
		[]finding.State{finding.StatePlayed, finding.StateMissing, finding.StateWrong, finding.StateExtra})
}

func TestAnEmptyListIsAListInTheJSON(t *testing.T) {
	data, err := json.Marshal(play(t, harbour).listen())
	require.NoError(t, err)
	assert.Contains(t, string(data), `"findings":[]`)
	assert.NotContains(t, string(data), `"notes":null`)
}

// The levels as the design's table has them.
func TestTheLevelsAreTheDesigns(t *testing.T) {
	for name, want := range map[string][6]float64{
		"first-year": {25, 35, 150, 0.60, 12, 15}, "intermediate": {18, 25, 100, 0.70, 8, 10}, "advanced": {10, 15, 50, 0.80, 5, 5},
	} {
		l, err := finding.LevelByName(name)
		require.NoError(t, err)
		assert.Equal(t, want, [6]float64{l.Frame, l.Note, l.Onset, l.Held, l.Tempo, l.Tuning})
	}
	_, err := finding.LevelByName("expert")
	assert.ErrorContains(t, err, "intermediate")
	_, err = finding.IntonationByName("meantone")
	assert.ErrorContains(t, err, "pythagorean")
	p := play(t, harbour).late(110, "6:2")
	assert.Len(t, told(p.listen()), 1, "intermediate unless asked otherwise")
	assert.Empty(t, told(p.hear(finding.Options{Level: finding.FirstYear})))
}
