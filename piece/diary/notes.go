package diary

import (
	"bytes"
	"compress/zlib"
	"encoding/json"
	"io"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// columns are the notes of a hearing, one list for each of their fields: what is
// alike stands together and deflates to a few bytes a note. The names are those
// of the JSON of a hearing.
type columns struct {
	Measure     []string        `json:"measure"`
	Pass        []int           `json:"pass"`
	Beat        []float64       `json:"beat"`
	MIDI        []int           `json:"midi"`
	HeardMIDI   []*int          `json:"heard_midi"`
	Onset       []*float64      `json:"onset_s"`
	Offset      []*float64      `json:"offset_s"`
	Cents       []*float64      `json:"cents"`
	CentsSpread []*float64      `json:"cents_spread"`
	LateMS      []*float64      `json:"late_ms"`
	Held        []*float64      `json:"held"`
	String      []int           `json:"string"`
	Finger      []string        `json:"finger"`
	Position    []string        `json:"position"`
	AfterShift  []bool          `json:"after_shift"`
	Trust       []dsp.Trust     `json:"trust"`
	State       []finding.State `json:"state"`
}

// packNotes deflates notes (zlib, RFC 1950), and gives their size before.
func packNotes(notes []finding.Note) (packed []byte, size int, err error) {
	var c columns
	for i := range notes {
		n := &notes[i]
		c.Measure = append(c.Measure, n.Measure)
		c.Pass = append(c.Pass, n.Pass)
		c.Beat = append(c.Beat, n.Beat)
		c.MIDI = append(c.MIDI, n.MIDI)
		c.HeardMIDI = append(c.HeardMIDI, n.HeardMIDI)
		c.Onset = append(c.Onset, n.Onset)
		c.Offset = append(c.Offset, n.Offset)
		c.Cents = append(c.Cents, n.Cents)
		c.CentsSpread = append(c.CentsSpread, n.CentsSpread)
		c.LateMS = append(c.LateMS, n.LateMS)
		c.Held = append(c.Held, n.Held)
		c.String = append(c.String, n.String)
		c.Finger = append(c.Finger, n.Finger)
		c.Position = append(c.Position, n.Position)
		c.AfterShift = append(c.AfterShift, n.AfterShift)
		c.Trust = append(c.Trust, n.Trust)
		c.State = append(c.State, n.State)
	}
	text, err := json.Marshal(c)
	if err != nil {
		return nil, 0, err
	}
	packed, err = deflate(text)
	return packed, len(text), err
}

// unpackNotes gives the notes back.
func unpackNotes(packed []byte, size int) ([]finding.Note, error) {
	text, err := inflate(packed, size)
	if err != nil {
		return nil, err
	}
	var c columns
	if err := json.Unmarshal(text, &c); err != nil {
		return nil, err
	}
	err = alike(len(c.Measure), len(c.Pass), len(c.Beat), len(c.MIDI), len(c.HeardMIDI), len(c.Onset), len(c.Offset), len(c.Cents), len(c.CentsSpread),
		len(c.LateMS), len(c.Held), len(c.String), len(c.Finger), len(c.Position), len(c.AfterShift), len(c.Trust), len(c.State))
	if err != nil {
		return nil, err
	}
	notes := make([]finding.Note, len(c.Measure))
	for i := range notes {
		notes[i] = finding.Note{Measure: c.Measure[i], Pass: c.Pass[i], Beat: c.Beat[i], MIDI: c.MIDI[i], HeardMIDI: c.HeardMIDI[i],
			Onset: c.Onset[i], Offset: c.Offset[i], Cents: c.Cents[i], CentsSpread: c.CentsSpread[i], LateMS: c.LateMS[i], Held: c.Held[i],
			String: c.String[i], Finger: c.Finger[i], Position: c.Position[i], AfterShift: c.AfterShift[i],
			Trust: c.Trust[i], State: c.State[i], Line: -1, Heard: -1}
	}
	return notes, nil
}

func deflate(data []byte) ([]byte, error) {
	var out bytes.Buffer
	w := zlib.NewWriter(&out)
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// mostInflated is how many bytes anything in a diary may be inflated: twice the
// largest file that a piece is read from, and ten hours of ten notes a second.
const mostInflated = 64 << 20

func inflate(packed []byte, size int) ([]byte, error) {
	if size < 0 || size > mostInflated {
		return nil, words.Fault("diary.packed.long", "n", size)
	}
	r, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(r, int64(size)+1))
	if err == nil && len(data) != size {
		err = words.Fault("diary.packed.short", "promised", size, "held", len(data))
	}
	return data, err
}
