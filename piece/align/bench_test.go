//go:build unix

package align_test

import (
	"math/rand"
	"strconv"
	"syscall"
	"testing"
	"time"

	"endpin/piece/align"
)

// BenchmarkAlign shows how the work grows with the music: twice the measures cost
// twice as much. On a busy machine the time of the processor tells more than that of the
// clock.
func BenchmarkAlign(b *testing.B) {
	for _, measures := range []int{20, 100, 400, 800, 3000} {
		l := composed(rand.New(rand.NewSource(1)), measures*4)
		h := l.whole().sway(rand.New(rand.NewSource(2)), 12, 35).heard()
		b.Run(strconv.Itoa(measures)+"measures", func(b *testing.B) {
			b.ReportAllocs()
			before := processor()
			for b.Loop() {
				if _, err := align.Align(l.notes, l.clock, h, 440); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64((processor()-before).Milliseconds())/float64(b.N), "cpu-ms/op")
		})
	}
}

// processor is how long this process has had a processor.
func processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano())
}
