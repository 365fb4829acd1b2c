package notation_test

import (
	"strings"
	"testing"

	"endpin/piece/notation"
	"endpin/piece/scoretest"
)

// seeds are the fixtures of a kind.
func seeds(f *testing.F, pattern string) {
	for _, data := range scoretest.Files(f, "testdata/pieces/"+pattern) {
		f.Add(data)
	}
}

// sound checks what holds of anything that Read gives.
func sound(t *testing.T, data []byte) {
	p, err := notation.Read("x", data)
	if err != nil {
		if p != nil || strings.ContainsAny(err.Error(), "\n\r") {
			t.Fatalf("not one line: %q", err)
		}
		return
	}
	line, played := p.Line()
	if len(line) == 0 || len(played) == 0 {
		t.Fatal("a piece without notes was let through")
	}
	for i, n := range line {
		if n.Length < 0 || n.MIDI < 0 || n.MIDI > 127 || i > 0 && n.Onset < line[i-1].Onset+line[i-1].Length {
			t.Fatalf("note %d: %+v", i, n)
		}
	}
	for _, m := range p.Measures {
		if m.Number == "" || m.Length < 0 {
			t.Fatalf("measure %+v", m)
		}
	}
}

func FuzzMusicXML(f *testing.F) {
	seeds(f, "*.musicxml")
	f.Add([]byte(good))
	f.Fuzz(sound)
}

func FuzzABC(f *testing.F) {
	seeds(f, "*.abc")
	f.Add([]byte("X:1\nM:6/8\nL:1/8\nK:D\n|:(3ABc [CE]>{d}D- D & z4|1 !D.C.!Z2:|[2 \"^III\"u.A|]\n"))
	f.Fuzz(sound)
}

func FuzzMXL(f *testing.F) {
	f.Add(packed(f, map[string]string{"META-INF/container.xml": container("score.xml"), "score.xml": good}))
	f.Add(packed(f, map[string]string{"score.xml": good}))
	f.Fuzz(func(t *testing.T, data []byte) {
		sound(t, append([]byte("PK\x03\x04"), data[min(len(data), 4):]...))
	})
}
