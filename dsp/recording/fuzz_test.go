package recording

import (
	"bytes"
	"errors"
	"runtime"
	"strings"
	"testing"
)

// The fuzzers look for a panic, a breach of dsp.Source's contract, an error of
// more than a line, or memory without bounds. Other formats are ffmpeg's, which
// is kept away from them.

func FuzzWAV(f *testing.F) {
	sound := tone(98, 8000, 0.01, 0.5)
	for _, w := range []wavFile{
		{tag: wavPCM, bits: 16, rate: 8000, channels: 1},
		{tag: wavPCM, bits: 24, rate: 44100, channels: 2, extensible: true},
		{tag: wavPCM, bits: 8, rate: 11025, channels: 5, before: append(le32([]byte("LIST"), 5), "INFOx\x00"...)},
		{tag: wavFloat, bits: 32, rate: 192000, channels: 1, length: func(int) uint32 { return 0xFFFFFFFF }},
		{tag: wavFloat, bits: 64, rate: 48000, channels: 3, length: func(int) uint32 { return 0 }},
	} {
		f.Add(w.with(sound))
	}
	rf64 := wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1,
		before: append(le32([]byte("ds64"), 28), make([]byte, 28)...)}.with(sound)
	f.Add(append([]byte("RF64"), rf64[4:]...))
	fuzz(f)
}

func FuzzFLAC(f *testing.F) {
	content := fixture(f, "tone.flac")
	f.Add(content)
	f.Add(withoutPadding(content))
	f.Add(withoutPadding(content)[:1000])
	fuzz(f)
}

// withoutPadding leaves out the metadata blocks after the first, in which a
// fuzzer would waste its time.
func withoutPadding(flac []byte) []byte {
	const first = 4 + 4 + 34 // "fLaC", a block's header, STREAMINFO
	out := bytes.Clone(flac[:first])
	out[4] |= 0x80 // the last block
	at := bytes.Index(flac[first:], []byte{0xff, 0xf8})
	return append(out, flac[first+at:]...)
}

func FuzzMP3(f *testing.F) {
	content := fixture(f, "tone.mp3")
	f.Add(content)
	f.Add(content[20+288:])
	f.Add(append([]byte("ID3\x04\x00\x00\x00\x00\x00\x05abcde"), content[20:1000]...))
	fuzz(f)
}

func fuzz(f *testing.F) {
	f.Setenv("PATH", f.TempDir())
	f.Fuzz(func(t *testing.T, content []byte) {
		r, err := Decode("take", bytes.NewReader(content))
		buf := make([]float32, 5000)
		for n, all := 0, 0; err == nil && all < 1<<22; all += n {
			n, err = r.Read(buf)
			if n < 0 || n > len(buf) || (n > 0) != (err == nil) {
				t.Fatalf("read (%d, %v)", n, err)
			}
			for _, x := range buf[:n] {
				if !(x >= -1 && x <= 1) {
					t.Fatalf("sample %g", x)
				}
			}
		}
		if err != nil && strings.ContainsAny(err.Error(), "\n\r") {
			t.Fatalf("an error of more than a line: %q", err)
		}
		var panicked runtime.Error
		if errors.As(err, &panicked) {
			t.Fatalf("our own panic: %v", panicked)
		}
		if r != nil {
			r.Close()
		}
		var m runtime.MemStats
		if runtime.ReadMemStats(&m); m.HeapInuse > 512<<20 {
			t.Fatalf("%d MB in use", m.HeapInuse>>20)
		}
	})
}
