package packed

import (
	"bytes"
	"compress/zlib"
	"encoding/json"
	"io"
	"reflect"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Notes are the notes of a hearing: what is alike stands together and deflates to a few bytes a
// note. The lists are called as the fields of a note, and in JSON as those in the JSON of a hearing.
type Notes struct {
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

// each gives every list with the place of its field in a note.
func (c *Notes) each(do func(list reflect.Value, field []int)) {
	lists := reflect.ValueOf(c).Elem()
	for i := range lists.NumField() {
		of, _ := reflect.TypeFor[finding.Note]().FieldByName(lists.Type().Field(i).Name)
		do(lists.Field(i), of.Index)
	}
}

// Pack deflates notes (zlib, RFC 1950), and gives their size before.
func Pack(notes []finding.Note) (packed []byte, size int, err error) {
	var c Notes
	c.each(func(list reflect.Value, field []int) {
		for i := range notes {
			list.Set(reflect.Append(list, reflect.ValueOf(&notes[i]).Elem().FieldByIndex(field)))
		}
	})
	text, err := json.Marshal(c)
	if err != nil {
		return nil, 0, err
	}
	packed, err = Deflate(text)
	return packed, len(text), err
}

// Unpack gives the notes back.
func Unpack(packed []byte, size int) ([]finding.Note, error) {
	text, err := Inflate(packed, size)
	if err != nil {
		return nil, err
	}
	var c Notes
	if err := Read(text, &c); err != nil {
		return nil, err
	}
	notes := make([]finding.Note, len(c.Measure))
	c.each(func(list reflect.Value, field []int) {
		for i := range notes {
			reflect.ValueOf(&notes[i]).Elem().FieldByIndex(field).Set(list.Index(i))
		}
	})
	for i := range notes {
		notes[i].Line, notes[i].Heard = -1, -1
	}
	return notes, nil
}

// Deflate packs what a diary keeps small (zlib).
func Deflate(data []byte) ([]byte, error) {
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

// Inflate gives back what was deflated, which was so many bytes long.
func Inflate(packed []byte, size int) ([]byte, error) {
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
