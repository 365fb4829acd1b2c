package outline

// Learned gives for each printed measure the first one that is the same, itself
// where there is none before: what is learned there is learned here too, and
// what is heard in either counts for both. It goes by the exact passages and by
// what two passages with different endings have in common.
func (out *Outline) Learned() []int { return Learned(out.Same, len(out.Measures)) }

// Learned is that of any passages in order of where they come again, over so
// many measures.
func Learned(same []Same, measures int) []int {
	first := make([]int, measures)
	for i := range first {
		first[i] = i
	}
	for _, s := range same {
		if s.How == Transposed {
			continue
		}
		for k := range s.Second.Last - s.Second.First + 1 - s.Differ {
			first[s.Second.First+k] = first[s.First.First+k]
		}
	}
	return first
}
