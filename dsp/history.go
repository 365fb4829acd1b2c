package dsp

// history keeps the last stretch of a stream of samples, addressed by position from its start.
// What lies before the start is silence.
type history struct {
	buf  []float64
	from int // position of buf[0]
	keep int
}

func newHistory(keep int) *history {
	return &history{buf: make([]float64, keep, 4*keep), from: -keep, keep: keep}
}

func (t *history) push(v float64) {
	if len(t.buf) == cap(t.buf) {
		n := copy(t.buf, t.buf[len(t.buf)-t.keep:])
		t.from += len(t.buf) - n
		t.buf = t.buf[:n]
	}
	t.buf = append(t.buf, v)
}

func (t *history) end() int { return t.from + len(t.buf) }

// at gives n values from a position, or nil where they are not (or no longer) there.
func (t *history) at(from, n int) []float64 {
	i := from - t.from
	if i < 0 || n < 0 || i+n > len(t.buf) {
		return nil
	}
	return t.buf[i : i+n]
}
