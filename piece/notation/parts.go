package notation

import (
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/outside"
	"endpin/piece/words"
)

// part is what a file says of one of its parts (a voice, in ABC).
type part struct {
	id      string
	name    string
	about   []string // its abbreviation and the names of its instruments
	sounds  []string // MusicXML's standard sounds: "strings.contrabass"
	program int      // General MIDI program from 1; 0 for none

	// What its notes say for themselves: as the file says that they sound, or else as
	// it writes them.
	notes, sung int            // notes with a pitch, and those with words under them
	low, high   int            // the lowest and the highest, MIDI numbers
	sum         int            // of all of these numbers
	staves      int            // how many it is written on; 0 for one
	clef        string         // the sign of the clef in force: "F"
	clefs       map[string]int // how many notes stand in each
	shift       int            // semitones that the file adds to what it writes here
	written     transposition
}

func (p *part) pitched() bool { return p.notes > 0 }

// note counts a note of that MIDI number.
func (p *part) note(midi int) {
	if p.notes == 0 || midi < p.low {
		p.low = midi
	}
	if p.notes == 0 || midi > p.high {
		p.high = midi
	}
	if p.clefs == nil {
		p.clefs = map[string]int{}
	}
	p.clefs[p.clef]++
	p.notes++
	p.sum += midi
}

// mostIn is the clef that most of its notes stand in.
func (p *part) mostIn() string {
	most := ""
	for clef, n := range p.clefs {
		if n > p.clefs[most] || n == p.clefs[most] && clef < most {
			most = clef
		}
	}
	return most
}

// mean is the middle of its notes.
func (p *part) mean() float64 { return float64(p.sum) / float64(max(p.notes, 1)) }

// chosen is a part, and why it was taken.
type chosen struct {
	index  int
	asked  bool  // the user named it
	fits   bool  // it fits the instrument
	others []int // parts that fit as well, the better first
}

// choose picks a part: the one wanted, else the one with pitched notes that fits
// the instrument best, else the first with pitched notes, else the first.
func choose(parts []part, wanted string, f *family) (chosen, error) {
	if len(parts) == 0 {
		return chosen{}, words.Fault("notation.no-part")
	}
	if wanted = strings.TrimSpace(wanted); wanted != "" {
		i, err := wantedPart(parts, wanted)
		return chosen{index: i, asked: true}, err
	}
	scores := make([]int, len(parts))
	var fitting []int
	for i := range parts {
		if scores[i] = f.score(&parts[i], parts); parts[i].pitched() && scores[i] >= fits {
			fitting = append(fitting, i)
		}
	}
	if len(fitting) > 0 {
		slices.SortStableFunc(fitting, func(a, b int) int { return scores[b] - scores[a] })
		return chosen{index: fitting[0], fits: true, others: fitting[1:]}, nil
	}
	return chosen{index: max(0, slices.IndexFunc(parts, func(p part) bool { return p.pitched() }))}, nil
}

// taken says which of a file's parts was taken, and how to ask for another that
// fits: nothing where there is no other.
func (c chosen) taken(parts []part, instrument words.Sentence) string {
	if len(parts) < 2 {
		return ""
	}
	key, also := "notation.taken", words.List{}
	switch {
	case c.asked:
	case !c.fits:
		key = "notation.taken.none"
	case len(c.others) > 0:
		key = "notation.taken.also"
		for _, i := range c.others[:min(len(c.others), mostOthers)] {
			also = append(also, words.Say("notation.taken.other", "part", parts[i].label(), "n", i+1))
		}
	}
	return words.Say(key, "part", parts[c.index].label(), "n", c.index+1, "of", len(parts), "also", also, "instrument", instrument)
}

// listed are the parts of a file that have notes.
func (c chosen) listed(parts []part, f *family) (all []piece.Part) {
	for i := range parts {
		if p := &parts[i]; p.pitched() {
			all = append(all, piece.Part{Number: i + 1, Name: p.label(), For: namedFor(p), Fits: f.score(p, parts) >= fits, Taken: i == c.index})
		}
	}
	return all
}

// namedFor is the family that a part names, by its standard sound or in words; "" for none.
func namedFor(p *part) string {
	for _, word := range []string{"bass", "cello", "viola", "violin"} {
		if f := familyOf(word); f.soundOf(p) == calledOwn || f.calls(p) == calledOwn {
			return word
		}
	}
	return ""
}

// mostOthers is how many other parts are named: one line holds no more.
const mostOthers = 3

func wantedPart(parts []part, wanted string) (int, error) {
	for i, p := range parts {
		if strings.EqualFold(p.name, wanted) || strings.EqualFold(p.id, wanted) {
			return i, nil
		}
	}
	if n, err := strconv.Atoi(wanted); err == nil && n >= 1 && n <= len(parts) {
		return n - 1, nil
	}
	for i, p := range parts {
		if strings.Contains(strings.ToLower(p.name), strings.ToLower(wanted)) {
			return i, nil
		}
	}
	var names []string
	for i, p := range parts {
		if i == 12 {
			names = append(names, "…")
			break
		}
		names = append(names, strconv.Itoa(i+1)+" "+p.label())
	}
	return 0, words.Fault("notation.part-absent", "typed", words.Quoted(wanted), "parts", words.Row(names...))
}

func (p part) label() string {
	if p.name != "" {
		return outside.Short(p.name, maxLabel)
	}
	return outside.Short(p.id, maxLabel)
}

// maxLabel is how many characters of a part's name are said in a sentence.
const maxLabel = 40
