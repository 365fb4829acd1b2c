package notation_test

import (
	"strings"
	"testing"

	"endpin/piece/notation"
)

// Reading a piece of 400 measures of four quarter notes.
func BenchmarkMusicXML400Measures(b *testing.B) {
	measures := make([]string, 400)
	for i := range measures {
		measures[i] = n("E2", 4) + n("G2", 4) + n("A2", 4) + n("B2", 4)
	}
	measures[0] = attributes("") + measures[0]
	benchmark(b, score("Bass", measures...))
}

func BenchmarkABC400Measures(b *testing.B) {
	benchmark(b, "X:1\nM:4/4\nL:1/4\nK:C bass\n"+strings.Repeat("E,,G,,A,,B,,|E,,G,,A,,B,,|\n", 200))
}

func benchmark(b *testing.B, text string) {
	data := []byte(text)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		p, err := notation.Read("x", data)
		if err != nil {
			b.Fatal(err)
		}
		p.Line()
	}
}
