package finding

import "endpin/piece"

// Offset is how far the indexes of a hearing's notes and findings stand from those of
// the piece's whole line: a range is judged as a line of its own.
func (h *Hearing) Offset(line []piece.Expected) int {
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Line < 0 {
			continue
		}
		for k := range line {
			if e := &line[k]; e.Number == n.Measure && e.Pass == n.Pass && sameBeat(e.Beat, n.Beat) {
				return k - n.Line
			}
		}
	}
	return 0
}

func sameBeat(a, b float64) bool { return a-b < 0.002 && b-a < 0.002 }
