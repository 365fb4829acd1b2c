package outline

// factor is a stretch of a row of words that stands once more entirely before
// itself: length words at from and again at at.
type factor struct{ at, from, length int }

// freeBefore is how many words lie between end and the factor.
func (f factor) freeBefore(end int) int { return f.at - end }

// factors reads a row of words from the left and at each place takes the
// longest stretch that stands entirely before it, and where it stands first.
// Stretches of one word and of none are left out.
func factors(words []int32) []factor {
	return factorsWhere(words, func(int) bool { return true })
}

// factorsWhere begins a stretch only where it may.
//
// It is the factorization of Lempel and Ziv (1976) without overlap, by a suffix
// automaton of what has been read (Blumer and others, 1985): time in proportion
// to the words.
func factorsWhere(words []int32, may func(at int) bool) []factor {
	a := newAutomaton()
	var found []factor
	for at := 0; at < len(words); {
		state, length := 0, 0
		if may(at) {
			for at+length < len(words) {
				next, ok := a.states[state].next[words[at+length]]
				if !ok {
					break
				}
				state = next
				length++
			}
		}
		if length >= 2 {
			found = append(found, factor{at, a.states[state].ends - length + 1, length})
		}
		for range max(length, 1) {
			a.add(words[at])
			at++
		}
	}
	return found
}

// automaton knows every stretch of the words added so far.
type automaton struct {
	states []node
	last   int
}

type node struct {
	next   map[int32]int
	link   int
	length int
	ends   int // where its stretches end first
}

func newAutomaton() *automaton {
	return &automaton{states: []node{{next: map[int32]int{}, link: -1, ends: -1}}}
}

func (a *automaton) add(word int32) {
	cur := len(a.states)
	a.states = append(a.states, node{next: map[int32]int{}, length: a.states[a.last].length + 1, ends: a.states[a.last].length})
	p := a.last
	for ; p >= 0; p = a.states[p].link {
		if _, ok := a.states[p].next[word]; ok {
			break
		}
		a.states[p].next[word] = cur
	}
	a.last = cur
	if p < 0 {
		return
	}
	q := a.states[p].next[word]
	if a.states[p].length+1 == a.states[q].length {
		a.states[cur].link = q
		return
	}
	clone := len(a.states)
	next := make(map[int32]int, len(a.states[q].next))
	for w, s := range a.states[q].next {
		next[w] = s
	}
	a.states = append(a.states, node{next: next, link: a.states[q].link, length: a.states[p].length + 1, ends: a.states[q].ends})
	for ; p >= 0 && a.states[p].next[word] == q; p = a.states[p].link {
		a.states[p].next[word] = clone
	}
	a.states[q].link, a.states[cur].link = clone, clone
}
