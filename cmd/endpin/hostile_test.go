package main

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
)

// mxl is a compressed MusicXML file whose container points to root.
func mxl(t *testing.T, root string, score io.Reader) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	add := func(name string, body io.Reader) {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = io.Copy(w, body)
		require.NoError(t, err)
	}
	add("META-INF/container.xml", strings.NewReader(`<?xml version="1.0"?><container><rootfiles><rootfile full-path="`+root+`"/></rootfiles></container>`))
	add("score.xml", score)
	require.NoError(t, z.Close())
	return b.Bytes()
}

// process runs the built program and gives the most memory that it held, MiB;
// 0 where this system does not tell.
func process(t *testing.T, args ...string) (errOut string, status int, mebibytes float64) {
	t.Helper()
	c := exec.Command("endpin", args...)
	var e strings.Builder
	c.Stderr = &e
	_ = c.Run()
	require.NotNil(t, c.ProcessState)
	return e.String(), c.ProcessState.ExitCode(), mostMemory(c.ProcessState)
}

func TestAnMXLFileThatCannotBeUsedIsToldInOneLine(t *testing.T) {
	whole := mxl(t, "score.xml", bytes.NewReader(assets.DemoPiece))
	blown := int64(1 << 29) // more than the memory that is held
	if testing.Short() {
		blown = 1 << 26 // more than is unpacked
	}
	spaces := io.MultiReader(strings.NewReader("<score-partwise>"), io.LimitReader(endless(' '), blown))
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"climbs.mxl":  {mxl(t, "../../demo.musicxml", bytes.NewReader(assets.DemoPiece)), `its container points outside the file ("../../demo.musicxml"): export it again`},
		"lost.mxl":    {mxl(t, "other.xml", bytes.NewReader(assets.DemoPiece)), "export it again"},
		"cut.mxl":     {whole[:len(whole)/2], "the compressed file is damaged: export it again"},
		"damaged.mxl": {append(bytes.Clone(whole[:60]), garbled(whole[60:], 0)...), "export it again"},
		"bomb.mxl":    {mxl(t, "score.xml", spaces), "unpacks to more than 32 MB: save the part alone"},
		"empty.mxl":   {nil, "the file is empty: save the piece again"},
	} {
		t.Run(name, func(t *testing.T) {
			path := kept(t, name, c.data)
			errOut, status, memory := process(t, "hear", path, "nowhere.wav")
			assert.Equal(t, unusable, status)
			assert.Regexp(t, oneLine, errOut)
			assert.Contains(t, errOut, "endpin: "+path+": ")
			assert.Contains(t, errOut, c.says)
			assert.Less(t, memory, 250.0*underRace, "MiB")
		})
	}
}

// endless gives one byte for ever.
type endless byte

func (e endless) Read(buf []byte) (int, error) {
	for i := range buf {
		buf[i] = byte(e)
	}
	return len(buf), nil
}

func TestAPieceTooDeepOrTooLongIsRefusedInBoundedMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("reads files of 30 MB")
	}
	for name, c := range map[string]struct{ head, more string }{
		"deep.musicxml": {"<score-partwise>", "<a>"},
		"long.musicxml": {`<score-partwise><part-list/><part id="P1">`, "<measure/>"},
		"long.abc":      {"X:1\nK:G\n", "[abc"},
	} {
		path := kept(t, name, []byte(c.head))
		file, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0o600)
		require.NoError(t, err)
		some := strings.Repeat(c.more, 1<<20/len(c.more))
		for range 30 { // never 30 MB at once: Linux counts what this process held among its child's
			_, err := file.WriteString(some)
			require.NoError(t, err)
		}
		require.NoError(t, file.Close())
		errOut, status, memory := process(t, "hear", path, "nowhere.wav")
		assert.Equal(t, unusable, status, name)
		assert.Regexp(t, oneLine, errOut)
		assert.Contains(t, errOut, path)
		assert.Less(t, memory, 600.0*underRace, "%s: MiB", name)
	}
	path := kept(t, "title.abc", []byte("X:1\nT:"+strings.Repeat("A", 400_000)+"\nL:1/4\nK:G clef=bass\nG,, A,, B,, C, |]\n"))
	out, err := exec.Command("endpin", "outline", path).Output()
	require.NoError(t, err)
	assert.Less(t, strings.Count(string(out), "A"), 1000, "a title is read as far as anybody reads one: breaking it whole into lines took half a minute")
}

const tenHours = 36000 // s

func TestATenHourRecordingIsRefusedAtOnce(t *testing.T) {
	piece, _ := demoFiles(t)
	long := wav(t, tone(1))
	binary.LittleEndian.PutUint32(long[40:], tenHours*rate*2) // the data chunk's length
	flac := bytes.Clone(assets.DemoTake[:100000])
	total := uint64(tenHours * rate) // 36 bits of STREAMINFO, RFC 9639 section 8.2
	flac[21] = flac[21]&0xf0 | byte(total>>32)
	binary.BigEndian.PutUint32(flac[22:], uint32(total))
	for name, data := range map[string][]byte{"long.wav": long, "long.flac": flac} {
		path := kept(t, name, data)
		if name == "long.wav" { // a length that the file does not have is not believed: this one has it, and takes no room
			require.NoError(t, os.Truncate(path, tenHours*rate*2+44))
		}
		begun := time.Now()
		errOut, status, memory := process(t, "hear", piece, path)
		assert.Less(t, time.Since(begun), 5*time.Second, name)
		assert.Equal(t, unusable, status, name)
		assert.Equal(t, "endpin: "+path+": is longer than an hour: cut out the takes and hear them one by one\n", errOut)
		assert.Less(t, memory, 100.0*underRace, "%s: MiB", name)
	}
}

func TestTheWrongPieceIsNotHeard(t *testing.T) {
	slow(t)
	_, take := demoFiles(t)
	pieces, err := filepath.Glob("../../testdata/pieces/*.*")
	require.NoError(t, err)
	tried := 0
	for _, piece := range pieces {
		if strings.HasSuffix(piece, ".md") {
			continue
		}
		tried++
		out, errOut, status := endpin("hear", piece, take)
		assert.Equal(t, notHeard, status, "%s: %s", piece, out)
		assert.Regexp(t, `^endpin: .*demo.flac: this does not sound like .*: \d+ notes were heard, most often [A-G♯♭, ]+; check that piece and recording belong together\n$`, errOut)
	}
	assert.GreaterOrEqual(t, tried, 10)
}
