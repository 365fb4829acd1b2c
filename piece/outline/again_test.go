package outline

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"endpin/piece"

	"github.com/stretchr/testify/assert"
)

// measureOf is a measure of 4/4 filled evenly with these pitches.
func measureOf(i int, pitches ...int) piece.Measure {
	m := piece.Measure{Number: fmt.Sprint(i + 1), Length: 4 * piece.Quarter, Time: piece.Time{Beats: 4, Unit: 4}}
	each := 4 * piece.Quarter / piece.Ticks(len(pitches))
	for k, midi := range pitches {
		m.Notes = append(m.Notes, piece.Note{Start: piece.Ticks(k) * each, Length: each, MIDI: midi, Value: "quarter"})
	}
	return m
}

// phrased is a piece written as letters, a measure each; a lower-case letter is
// the same measure two semitones higher.
func phrased(letters string) *piece.Piece {
	tunes := map[rune][]int{'A': {43, 45, 47, 48}, 'B': {48, 45, 43, 40}, 'C': {38, 42, 45, 42}, 'D': {40, 43, 47, 43},
		'E': {36, 40, 43, 40}, 'F': {41, 36, 33, 36}, 'G': {43, 38, 35, 31}, 'H': {45, 47, 45, 38}}
	p := &piece.Piece{}
	for i, l := range letters {
		up := 0
		if l >= 'a' {
			l, up = l-'a'+'A', 2
		}
		var pitches []int
		for _, midi := range tunes[l] {
			pitches = append(pitches, midi+up)
		}
		p.Measures = append(p.Measures, measureOf(i, pitches...))
	}
	return p
}

func told(same []Same) (all []string) {
	for _, s := range same {
		all = append(all, fmt.Sprintf("%s-%s as %s-%s %s", s.As[0], s.As[1], s.From[0], s.From[1], s.How))
	}
	return all
}

func TestWhatComesAgain(t *testing.T) {
	for letters, want := range map[string][]string{
		"ABCDEFGHABCD": {"9-12 as 1-4 exact"},
		"ABCDABCE":     {"5-8 as 1-4 ending differs"},
		"ABCDabcd":     {"5-8 as 1-4 transposed"},
		"ABAB":         {"3-4 as 1-2 exact"},
		"ABCDEFGH":     nil,
		"AAAA":         {"3-4 as 1-2 exact"},
	} {
		assert.Equal(t, want, told(Again(phrased(letters))), letters)
	}
}

func TestAWrittenRepeatIsNotTheSameAgainTwice(t *testing.T) {
	p := phrased("ABCD")
	p.Measures[3].RepeatTimes = 2
	assert.Empty(t, Again(p))
}

// factorsSlowly is the definition, word by word.
func factorsSlowly(words []int32) []factor {
	var found []factor
	for at := 0; at < len(words); {
		best := factor{at: at}
		for from := 0; from < at; from++ {
			n := 0
			for at+n < len(words) && from+n < at && words[from+n] == words[at+n] {
				n++
			}
			if n > best.length {
				best.from, best.length = from, n
			}
		}
		if best.length >= 2 {
			found = append(found, best)
		}
		at += max(best.length, 1)
	}
	return found
}

func TestTheLongestPassageIsFoundOnEveryShortLine(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for range 20000 {
		words := make([]int32, r.IntN(24))
		for i := range words {
			words[i] = int32(r.IntN(1 + r.IntN(5)))
		}
		if !assert.Equal(t, factorsSlowly(words), factors(words), words) {
			return
		}
	}
}

// BenchmarkOutline shows cost in proportion to the measures.
func BenchmarkOutline(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{100, 200, 400, 800} {
		p := &piece.Piece{}
		for i := range n {
			var pitches []int
			for range 8 {
				pitches = append(pitches, 31+r.IntN(20))
			}
			p.Measures = append(p.Measures, measureOf(i, pitches...))
			if i >= 32 && i%32 < 8 {
				p.Measures[i].Notes = p.Measures[i-32].Notes
			}
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Of(p, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
