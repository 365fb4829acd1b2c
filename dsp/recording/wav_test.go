package recording

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/sourcetest"
)

// wavFile is a WAV put together by hand, wrongly where a test wants it.
type wavFile struct {
	tag        uint16
	channels   int
	rate       int
	bits       int
	container  int  // bytes a sample takes; 0 for just enough
	extensible bool // hide the tag behind WAVE_FORMAT_EXTENSIBLE
	before     []byte
	after      []byte
	length     func(real int) uint32 // what the data chunk claims
}

func le16(b []byte, x int) []byte { return binary.LittleEndian.AppendUint16(b, uint16(x)) }
func le32(b []byte, x int) []byte { return binary.LittleEndian.AppendUint32(b, uint32(x)) }

// with gives the file that holds the sound, the same in every channel.
func (w wavFile) with(sound []float32) []byte {
	if w.container == 0 {
		w.container = (w.bits + 7) / 8
	}
	fmtChunk := le16(nil, int(w.tag))
	if w.extensible {
		fmtChunk = le16(nil, wavExtensible)
	}
	fmtChunk = le16(fmtChunk, w.channels)
	fmtChunk = le32(fmtChunk, w.rate)
	fmtChunk = le32(fmtChunk, w.rate*w.channels*w.container)
	fmtChunk = le16(fmtChunk, w.channels*w.container)
	if w.extensible {
		fmtChunk = le16(fmtChunk, 8*w.container)
		fmtChunk = le16(fmtChunk, 22)
		fmtChunk = le16(fmtChunk, w.bits)
		fmtChunk = le32(fmtChunk, 0)
		fmtChunk = le16(fmtChunk, int(w.tag))
		fmtChunk = append(fmtChunk, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71)
	} else {
		fmtChunk = le16(fmtChunk, w.bits)
	}
	data := []byte{}
	for _, x := range sound {
		for range w.channels {
			data = w.sample(data, float64(x))
		}
	}
	claimed := uint32(len(data))
	if w.length != nil {
		claimed = w.length(len(data))
	}
	b := []byte("RIFF\x00\x00\x00\x00WAVE")
	b = append(b, w.before...)
	b = append(le32(append(b, "fmt "...), len(fmtChunk)), fmtChunk...)
	b = append(le32(append(b, "data"...), int(claimed)), data...)
	b = append(b, w.after...)
	binary.LittleEndian.PutUint32(b[4:], uint32(len(b)-8))
	return b
}

// sample writes one sample the slow and obvious way.
func (w wavFile) sample(b []byte, x float64) []byte {
	switch {
	case w.tag == wavFloat && w.bits == 32:
		return binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
	case w.tag == wavFloat:
		return binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
	case w.bits <= 8:
		return append(b, byte(128+math.Round(x*127)))
	}
	full := math.Exp2(float64(w.bits-1)) - 1
	v := int64(math.Round(x*full)) << (8*w.container - w.bits) // against the upper end
	for i := range w.container {
		b = append(b, byte(v>>(8*i)))
	}
	return b
}

func TestEverySampleFormatKeepsItsSound(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing in it to race")
	}
	for _, is := range []struct {
		tag             uint16
		bits, container int
	}{
		{wavPCM, 8, 0}, {wavPCM, 12, 2}, {wavPCM, 16, 0}, {wavPCM, 20, 3}, {wavPCM, 24, 0}, {wavPCM, 24, 4},
		{wavPCM, 32, 0}, {wavFloat, 32, 0}, {wavFloat, 64, 0},
	} {
		for _, rate := range []int{8000, 11025, 44100, 48000, 96000, 192000} {
			for _, channels := range []int{1, 2, 3, 6} {
				for _, extensible := range []bool{false, true} {
					name := fmt.Sprintf("%d bits of kind %d in %d, %d Hz, %d channels, %v",
						is.bits, is.tag, is.container, rate, channels, extensible)
					sound := tone(98, rate, 0.13, 0.8)
					r := decoded(t, wavFile{tag: is.tag, bits: is.bits, container: is.container, rate: rate,
						channels: channels, extensible: extensible}.with(sound))
					assert.Equal(t, rate, r.Rate(), name)
					assert.Equal(t, channels, r.Channels(), name)
					assert.InDelta(t, 0.13, r.Duration(), 1e-3, name)
					got := heard(t, r)
					require.Len(t, got, len(sound), name)
					assert.Empty(t, r.Warning(), name)
					// Full scale is written as 2^n-1 and read as 2^n: one step at most,
					// and half a step of rounding; 24 bits are what a float32 holds.
					step := math.Exp2(float64(1 - min(is.bits, 24)))
					for i := range sound {
						if math.Abs(float64(got[i]-sound[i])) > 1.5*step {
							t.Fatalf("%s: sample %d is %g, not %g", name, i, got[i], sound[i])
						}
					}
				}
			}
		}
	}
}

func TestWAVIsASource(t *testing.T) {
	for _, channels := range []int{1, 2, 5} {
		content := wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: channels}.with(tone(98, 8000, 2.01, 0.5))
		sourcetest.Check(t, func() dsp.Source { return decoded(t, content) })
	}
}

func TestWhatWeWriteWeRead(t *testing.T) {
	sound := append(tone(55, 44100, 0.1, 0.9), 2, -2, float32(math.NaN()), 1, -1)
	var b bytes.Buffer
	require.NoError(t, WriteWAV(&b, 44100, sound))
	got := heard(t, decoded(t, b.Bytes()))
	require.Len(t, got, len(sound))
	end := len(sound) - 5
	for i := range sound[:end] {
		assert.InDelta(t, sound[i], got[i], 0.5/(1<<15)+1e-9)
	}
	const loudest = 1 - 1.0/(1<<15)
	assert.Equal(t, []float32{loudest, -1, 0, loudest, -1}, got[end:])
}

func TestChunksOfOtherThingsAreReadOver(t *testing.T) {
	sound := tone(98, 8000, 0.1, 0.5)
	list := le32([]byte("LIST"), 5)
	for name, before := range map[string][]byte{
		"even":           append(le32([]byte("JUNK"), 4), "abcd"...),
		"odd and padded": append(list, "INFOx\x00"...),
		"odd, no pad":    append(list, "INFOx"...),
		"empty":          le32([]byte("cue "), 0),
	} {
		plain := wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1, before: before}
		assert.Len(t, heard(t, decoded(t, plain.with(sound))), len(sound), name)
	}
	after := wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1, after: append(le32([]byte("LIST"), 4), "INFO"...)}
	assert.Len(t, heard(t, decoded(t, after.with(sound))), len(sound), "what follows is no sound")
}

func TestLengthNeverFilledInMeansToTheEnd(t *testing.T) {
	sound := tone(98, 8000, 0.5, 0.5)
	for _, claim := range []uint32{0, 0xFFFFFFFF, 0x7FFFFFFF, 0x7FFF0024} {
		r := decoded(t, wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1,
			length: func(int) uint32 { return claim }}.with(sound))
		assert.Len(t, heard(t, r), len(sound), "%#x", claim)
		assert.Zero(t, r.Duration())
		assert.Empty(t, r.Warning())
	}
}

// A recorder that is switched off leaves the length that it wrote last.
func TestSoundBeyondTheLengthPromisedIsHeard(t *testing.T) {
	whole := wavFile{tag: wavPCM, channels: 1, rate: 8000, bits: 16}
	sound := tone(98, 8000, 3, 0.5)
	stale := whole
	stale.length = func(int) uint32 { return 8000 }
	r := decoded(t, stale.with(sound))
	same(t, heard(t, decoded(t, whole.with(sound))), heard(t, r), "all of it")
	assert.EqualError(t, r.Warning(), "recording.warn.longer, promised 0.5")

	// What is no sound stays unheard.
	for what, after := range map[string][]byte{
		"a chunk":              append(le32([]byte("LIST"), 8192), tagged(8192)...),
		"a chunk, not aligned": append(le32([]byte("\x00LIST"), 8192), tagged(8192)...),
		"a tag":                append([]byte("TAG\x00"), tagged(5000)...),
		"zeros":                make([]byte, 8192),
		"a few bytes":          tagged(2000),
	} {
		w := whole
		w.after = after
		r := decoded(t, w.with(sound))
		assert.Len(t, heard(t, r), len(sound), what)
		assert.Empty(t, r.Warning(), what)
	}
}

// tagged is what a program may leave in a file for itself.
func tagged(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i * 7)
	}
	return b
}

// An hour is refused before it is heard, by what the header says: a file of a few
// seconds is none, whatever it says.
func TestALengthBeyondTheFileIsNotBelieved(t *testing.T) {
	w := wavFile{tag: wavPCM, channels: 1, rate: 8000, bits: 16, length: func(int) uint32 { return 0x70000000 }}
	r := opened(t, file(t, "take.wav", w.with(tone(98, 8000, 2, 0.5))))
	assert.InDelta(t, 2, r.Duration(), 0.01)
	assert.Len(t, heard(t, r), 16000)
	assert.EqualError(t, r.Warning(), "recording.warn.cut-short, promised 117440.5, held 2.0")
}

func TestALengthBeyondTwoGigabytesIsMeant(t *testing.T) {
	const tenHours = 10 * 3600 * 44100 * 2
	r := decoded(t, wavFile{tag: wavPCM, bits: 16, rate: 44100, channels: 1,
		length: func(int) uint32 { return tenHours }}.with(tone(98, 44100, 0.5, 0.5)))
	assert.Equal(t, 36000.0, r.Duration())
}

func TestEmptyDataChunkIsNoSound(t *testing.T) {
	_, err := Decode("take.wav", bytes.NewReader(wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1,
		after: append(le32([]byte("LIST"), 4), "INFO"...)}.with(nil)))
	assert.ErrorContains(t, err, "take.wav: recording.ends-after-header")
}

func TestRF64TellsItsLengthInSixtyFourBits(t *testing.T) {
	sound := tone(98, 8000, 0.5, 0.5)
	ds64 := le32([]byte("ds64"), 28)
	ds64 = binary.LittleEndian.AppendUint64(ds64, 0)
	ds64 = binary.LittleEndian.AppendUint64(ds64, uint64(2*len(sound)))
	ds64 = append(ds64, make([]byte, 12)...)
	for _, id := range []string{"RF64", "BW64"} {
		content := wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1, before: ds64,
			length: func(int) uint32 { return 0xFFFFFFFF },
			after:  append(le32([]byte("LIST"), 4), "INFO"...)}.with(sound)
		copy(content, id)
		r := decoded(t, content)
		assert.InDelta(t, 0.5, r.Duration(), 1e-9)
		assert.Len(t, heard(t, r), len(sound))
	}
}

func TestTruncatedWAVPlaysWhatIsThere(t *testing.T) {
	whole := wavFile{tag: wavPCM, bits: 24, rate: 8000, channels: 2}.with(tone(98, 8000, 2, 0.5))
	r := decoded(t, whole[:44+6*8000])
	assert.Len(t, heard(t, r), 8000)
	assert.EqualError(t, r.Warning(), "recording.warn.cut-short, promised 2.0, held 1.0")

	r = decoded(t, whole[:len(whole)-1])
	assert.Len(t, heard(t, r), 15999)
	assert.EqualError(t, r.Warning(), "recording.warn.mid-sample")
}

func TestFloatsThatAreNoSoundAreTamed(t *testing.T) {
	strange := []float32{0.5, float32(math.NaN()), float32(math.Inf(1)), float32(math.Inf(-1)), 1.5, -3e30, -0.5}
	want := []float32{0.5, 0, 0, 0, 1, -1, -0.5}
	for _, bits := range []int{32, 64} {
		r := decoded(t, wavFile{tag: wavFloat, bits: bits, rate: 8000, channels: 1}.with(strange))
		assert.Equal(t, want, heard(t, r))
	}
}

func TestEveryWrongHeaderIsSaidInOneLine(t *testing.T) {
	sound := tone(98, 8000, 0.1, 0.5)
	good := wavFile{tag: wavPCM, bits: 16, rate: 8000, channels: 1}
	whole := good.with(sound)
	noFormat := append([]byte(nil), whole...)
	copy(noFormat[12:], "junk")
	slow, fast, mute, none, short := good, good, good, good, good
	slow.rate, fast.rate, mute.channels, none.bits = 4000, 384000, 0, 0
	short.before = append(le32([]byte("fmt "), 4), "abcd"...)
	endless := bytes.Repeat(le32([]byte("JUNK"), 0), maxChunks+10)
	withoutTools(t)
	for what, c := range map[string]struct {
		content []byte
		want    string
	}{
		"no fmt chunk":     {noFormat, "recording.no-fmt"},
		"too slow":         {slow.with(sound), "recording.rate, rate 4000, least 8000, most 192000"},
		"too fast":         {fast.with(sound), "recording.rate, rate 384000"},
		"no channels":      {mute.with(sound), "recording.header.wav"},
		"no bits":          {none.with(sound), "recording.header.wav"},
		"a short format":   {short.with(sound), "recording.header.wav"},
		"chunks for ever":  {append([]byte("RIFF\x00\x00\x00\x00WAVE"), endless...), "recording.damaged.wav"},
		"a header alone":   {whole[:44], "recording.ends-after-header"},
		"half a header":    {whole[:30], "recording.ends-after-header"},
		"another encoding": {wavFile{tag: 7, bits: 8, rate: 8000, channels: 1}.with(sound), "recording.no-ffmpeg, is recording.is.wav-compressed, tag 0x0007"},
		"40 bits":          {wavFile{tag: wavPCM, bits: 40, rate: 8000, channels: 1}.with(sound), "recording.no-ffmpeg, is recording.is.wav-bits, bits 40"},
		"MP3 in a WAV":     {wavFile{tag: 0x55, bits: 16, rate: 8000, channels: 1}.with(sound), "recording.no-ffmpeg, is recording.is.wav-compressed, tag 0x0055"},
	} {
		path := file(t, "take.wav", c.content)
		_, err := Open(path)
		assert.ErrorContains(t, err, path+": "+c.want, what)
		assert.NotContains(t, err.Error(), "\n")
	}
}

// Outside checks: sox writes every depth; ffmpeg's sine has an amplitude of an
// eighth by its manual ("sine" in ffmpeg-filters).

func TestWAVsBySoxSoundAsMade(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing in it to race")
	}
	for _, rate := range []int{8000, 44100, 192000} {
		for _, bits := range []string{"8", "16", "24", "32", "32f", "64f"} {
			for _, channels := range []string{"1", "2"} {
				path := filepath.Join(t.TempDir(), "take.wav")
				encoding := []string{"-b", bits}
				if n := len(bits); bits[n-1] == 'f' {
					encoding = []string{"-b", bits[:n-1], "-e", "floating-point"}
				}
				args := append([]string{"-r", fmt.Sprint(rate), "-c", "1", "-n"}, encoding...)
				run(t, "sox", append(args, path, "synth", "1", "sine", "98", "vol", "0.5", "channels", channels)...)
				got := heard(t, opened(t, path))
				assert.Len(t, got, rate)
				assert.InDelta(t, bySox(t, path), rms(got), 2e-5, path) // the dither of 8 bits is averaged out
				assert.Greater(t, part(got, 98, rate), 0.999, path)
			}
		}
	}
}

// bySox is the RMS of a file as sox measures it, to six places.
func bySox(t *testing.T, path string) float64 {
	t.Helper()
	_, rest, found := strings.Cut(run(t, "sox", path, "-n", "stat"), "RMS     amplitude:")
	require.True(t, found)
	v, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	require.NoError(t, err)
	return v
}

func TestWAVsByFFmpegSoundAsMade(t *testing.T) {
	for _, codec := range []string{"pcm_u8", "pcm_s16le", "pcm_s24le", "pcm_s32le", "pcm_f32le", "pcm_f64le"} {
		path := filepath.Join(t.TempDir(), "take.wav")
		run(t, "ffmpeg", "-v", "error", "-f", "lavfi", "-i", "sine=frequency=98:sample_rate=44100:duration=1",
			"-ac", "1", "-c:a", codec, path)
		got := heard(t, opened(t, path))
		assert.Len(t, got, 44100)
		assert.InDelta(t, 0.125/math.Sqrt2, rms(got), 0.001, codec)
		assert.Greater(t, part(got, 98, 44100), 0.998, codec)
	}
}

func TestSoxReadsWhatWeWrite(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteWAV(&b, 48000, tone(98, 48000, 1, 0.5)))
	ours, again := file(t, "ours.wav", b.Bytes()), filepath.Join(t.TempDir(), "again.wav")
	run(t, "sox", ours, "-r", "48000", "-b", "16", again)
	assert.Equal(t, heard(t, opened(t, ours)), heard(t, opened(t, again)))
}

// endlessZeros is a file without end.
type endlessZeros struct{}

func (endlessZeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func TestTenHoursAreReadInTheMemoryOfOneSecond(t *testing.T) {
	head := wavFile{tag: wavPCM, bits: 16, rate: 44100, channels: 2,
		length: func(int) uint32 { return 0xFFFFFFFF }}.with(nil)
	r, err := Decode("long.wav", io.MultiReader(bytes.NewReader(head), endlessZeros{}))
	require.NoError(t, err)
	buf := make([]float32, 4096)
	read := func(seconds int) {
		for n := 0; n < seconds*44100; {
			got, err := r.Read(buf)
			require.NoError(t, err)
			n += got
		}
	}
	read(1) // everything is allocated by now
	// A minute has 600 blocks: whatever is allocated for each would show.
	assert.Less(t, testing.AllocsPerRun(1, func() { read(60) }), 10.0)
}

func BenchmarkMinuteOfWAV(b *testing.B) {
	for _, channels := range []int{1, 2} {
		for _, is := range []wavFile{{tag: wavPCM, bits: 16}, {tag: wavPCM, bits: 24}, {tag: wavFloat, bits: 32}} {
			is.rate, is.channels = 44100, channels
			content := is.with(tone(98, 44100, 60, 0.5))
			b.Run(fmt.Sprintf("%d-bit, %d channels", is.bits, channels), func(b *testing.B) {
				buf := make([]float32, 512)
				for b.Loop() {
					r, err := Decode("take.wav", bytes.NewReader(content))
					if err != nil {
						b.Fatal(err)
					}
					for err == nil {
						_, err = r.Read(buf)
					}
				}
			})
		}
	}
}
