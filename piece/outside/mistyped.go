package outside

// Mistyped reports whether a word of four letters or more was typed for another: one letter in four may be wrong, left
// out, too many or in its neighbour's place (the distance of Damerau and Levenshtein).
func Mistyped(a, b string) bool {
	x, y := []rune(a), []rune(b)
	if len(x) < 4 || len(y) < 4 {
		return false
	}
	before, last := make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	var now []int
	for i := range x {
		now = append(make([]int, 0, len(y)+1), i+1)
		for j := range y {
			d := min(last[j+1]+1, now[j]+1)
			if x[i] == y[j] {
				d = min(d, last[j])
			} else {
				d = min(d, last[j]+1)
			}
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				d = min(d, before[j-1]+1)
			}
			now = append(now, d)
		}
		before, last = last, now
	}
	return 4*now[len(y)] <= max(len(x), len(y))
}
