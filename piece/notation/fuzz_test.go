package notation_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"endpin/piece/notation"
)

// seeds are the fixtures of a kind.
func seeds(f *testing.F, pattern string) {
	files, err := filepath.Glob(filepath.Join("../../testdata/pieces", pattern))
	if err != nil || len(files) == 0 {
		f.Fatal("no fixtures to begin from")
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
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

// What can be read and written can be read again.
func FuzzWrite(f *testing.F) {
	seeds(f, "*.musicxml")
	f.Add([]byte(good))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := notation.Read("x", data)
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := notation.Write(&b, p, notation.WriteOptions{}); err != nil {
			return
		}
		if _, err := notation.Read("written", b.Bytes()); err != nil {
			t.Fatalf("%v\n%s", err, b.Bytes())
		}
	})
}

func FuzzMXL(f *testing.F) {
	f.Add(packed(f, map[string]string{"META-INF/container.xml": container("score.xml"), "score.xml": good}))
	f.Add(packed(f, map[string]string{"score.xml": good}))
	f.Fuzz(func(t *testing.T, data []byte) {
		sound(t, append([]byte("PK\x03\x04"), data[min(len(data), 4):]...))
	})
}
