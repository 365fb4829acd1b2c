package sound

import "sync/atomic"

// ring carries samples from one goroutine or callback to one other. Neither
// waits for the other.
type ring struct {
	buf  []float32
	read atomic.Int64 // positions from the start; only the reader moves it
	put  atomic.Int64 // only the writer moves it
}

func newRing(size int) *ring { return &ring{buf: make([]float32, size)} }

// ready is how many samples can be taken, room how many more can be given.
func (r *ring) ready() int { return int(r.put.Load() - r.read.Load()) }
func (r *ring) room() int  { return len(r.buf) - r.ready() }

// give writes as many samples as there is room for.
func (r *ring) give(x []float32) int {
	n := min(len(x), r.room())
	at := r.put.Load()
	i := int(at % int64(len(r.buf)))
	k := copy(r.buf[i:], x[:n])
	copy(r.buf, x[k:n])
	r.put.Store(at + int64(n))
	return n
}

// silence writes up to n samples of silence, as many as there is room for.
func (r *ring) silence(n int) int {
	n = min(n, r.room())
	at := r.put.Load()
	i := int(at % int64(len(r.buf)))
	k := min(n, len(r.buf)-i)
	clear(r.buf[i : i+k])
	clear(r.buf[:n-k])
	r.put.Store(at + int64(n))
	return n
}

// take reads up to len(x) samples.
func (r *ring) take(x []float32) int {
	n := min(len(x), r.ready())
	at := r.read.Load()
	i := int(at % int64(len(r.buf)))
	k := copy(x[:n], r.buf[i:])
	copy(x[k:n], r.buf)
	r.read.Store(at + int64(n))
	return n
}
