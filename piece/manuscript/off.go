package manuscript

import (
	"endpin/piece"
	"endpin/piece/words"
)

// SayOff says by how much a measure does not add up; false where it does.
func (m *Manuscript) SayOff(i int) (words.Sentence, bool) {
	off := m.Off(i)
	key := "manuscript.too-much"
	if off < 0 {
		key, off = "manuscript.too-little", -off
	}
	return words.Of(key, "measure", m.Bars[i].Number, "length", SayLength(off)), off != 0
}

// SayOffBriefly is what of it stands under the measure.
func (m *Manuscript) SayOffBriefly(i int) words.Sentence {
	off := m.Off(i)
	if off < 0 {
		return words.Of("manuscript.too-little.brief", "length", SayLength(-off))
	}
	return words.Of("manuscript.too-much.brief", "length", SayLength(off))
}

// SayLength says a length as note values, the longest first.
func SayLength(t piece.Ticks) words.Sentence {
	var said []words.Sentence
	for _, v := range values {
		length := piece.ValueLength(v)
		if n := int(t / length); n > 0 {
			said = append(said, words.Many("manuscript.length."+v, n))
			t -= piece.Ticks(n) * length
		}
	}
	if t > 0 {
		said = append(said, words.Of("manuscript.length.part"))
	}
	if len(said) == 1 {
		return said[0]
	}
	return words.Of("manuscript.length.all", "lengths", words.All(said...))
}
