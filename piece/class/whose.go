package class

import (
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endpin/piece/outside"
)

// Question is a recording of which it is not known whose it is.
type Question struct {
	File     string   `json:"file"`
	Perhaps  []string `json:"perhaps"`  // of the roster, whose it may be; empty where nobody is meant
	Unplaced []string `json:"unplaced"` // what stands in its name and names nobody on the roster
	Missing  []string `json:"missing"`  // who on the roster has no recording
	Comma    rune     `json:"-"`        // that separates the roster's cells; 0 for a comma
}

// called is what stands in a file's name, as words to be compared.
type called struct {
	words []string         // in their order, letters alone
	by    map[string][]int // a way in which one or several of them are written, and which
	whole string           // all of them, for a writing without spaces
}

// together parts a file's name into words: "AnnaMüller" is two, "O'Neill" is one and two.
var together = regexp.MustCompile(`[\p{L}\p{M}]+(['’ʼ][\p{L}\p{M}]+)*`)

var humps = regexp.MustCompile(`(\p{Ll}{2,})(\p{Lu}\p{Ll}+)`)

func calledBy(file string) *called {
	file = norm.NFC.String(filepath.Base(file))
	for ext := filepath.Ext(file); ext != "" && media[strings.ToLower(ext)]; ext = filepath.Ext(file) {
		file = strings.TrimSuffix(file, ext)
	}
	file = dates.ReplaceAllString(strings.ReplaceAll(file, "_", " "), " ")
	c := &called{by: map[string][]int{}}
	add := func(text string, at ...int) {
		for _, way := range spellings(text) {
			if _, there := c.by[way]; !there && way != "" {
				c.by[way] = at
			}
		}
	}
	for _, run := range together.FindAllString(file, -1) {
		hump := humps.ReplaceAllString(run, "$1 $2")
		for _, w := range strings.Fields(hump) {
			c.words = append(c.words, w)
			for _, part := range strings.FieldsFunc(w, func(r rune) bool { return !unicode.In(r, unicode.L, unicode.M) }) {
				add(part, len(c.words)-1) // Anna'nın, O'Neill
			}
			add(w, len(c.words)-1)
		}
	}
	for i, w := range c.words {
		if i > 0 {
			add(c.words[i-1]+w, i-1, i)
		}
		for _, way := range spellings(w) { // Annas Übung, Ben's homework
			if bare, ok := strings.CutSuffix(way, "s"); ok && len(bare) > 2 {
				add(bare, i)
			}
		}
	}
	c.whole = key(strings.Join(c.words, ""))
	return c
}

// fit is how well what stands in a file's name fits one on the roster.
type fit struct {
	entry *Entry
	used  []int // words of the file's name that are the student's
	all   bool  // the whole name stands there
	much  int   // then its letters; else twice the names of the student that stand there, and once the initials
}

// fits is how a name stands in what a file is called.
func (c *called) fits(e *Entry) (f fit) {
	f.entry = e
	if spaceless(e.Name) {
		if own := key(e.Name); strings.Contains(c.whole, own) {
			return fit{e, c.holding(own), true, len(own)}
		}
	}
	own := together.FindAllString(norm.NFC.String(e.Name), -1)
	for turn := range own { // "Müller Anna" too
		if used, ok := c.cover(slices.Concat(own[turn:], own[:turn])); ok {
			return fit{e, used, true, len(key(e.Name))}
		}
	}
	for i, w := range own {
		if used, ok := c.cover([]string{w}); ok && names(w) {
			f.used, f.much = append(f.used, used...), f.much+2
			continue
		}
		first := spellings(w)[0]
		if _, size := firstRune(first); names(w) {
			initial := first[:size]
			for k, other := range own { // "A. Müller", "amueller", "annam"
				used, ok := c.by[initial]
				if k != i && !ok {
					for _, way := range spellings(other) {
						if used, ok = c.by[initial+way]; !ok {
							used, ok = c.by[way+initial]
						}
						if ok && len(own) == 2 {
							return fit{e, used, false, 3}
						}
						ok = false
					}
				}
				if ok {
					f.used, f.much = append(f.used, used...), f.much+1
					break
				}
			}
		}
	}
	if f.much == 1 { // an initial alone
		f.much, f.used = 0, nil
	}
	return f
}

func firstRune(s string) (rune, int) {
	for i, r := range s {
		if i > 0 {
			return r, i
		}
	}
	return 0, len(s)
}

// cover finds words in what a file is called, some of them written as one.
func (c *called) cover(own []string) (used []int, ok bool) {
	if len(own) == 0 {
		return nil, true
	}
	joined := []string{""}
	for n, w := range own {
		var longer []string
		for _, before := range joined {
			for _, way := range spellings(w) {
				longer = append(longer, before+way)
			}
		}
		if joined = longer; len(joined) > 81 {
			break
		}
		for _, way := range joined {
			at, there := c.by[way]
			if !there {
				continue
			}
			if rest, all := c.cover(own[n+1:]); all {
				return append(slices.Clone(at), rest...), true
			}
		}
	}
	return nil, false
}

// holding are the words that a stretch of a writing without spaces lies in.
func (c *called) holding(own string) (at []int) {
	for i, w := range c.words {
		if k := key(w); strings.Contains(k, own) || strings.Contains(own, k) {
			at = append(at, i)
		}
	}
	return at
}

// whose is the one on the roster to whom a recording belongs; else who may be meant, and
// the words that speak against it. common are words in the names of several students'
// recordings, which name none of them.
func whose(file string, roster []Entry, common map[string]bool) (found *Entry, perhaps []string, unplaced []string) {
	for i := range roster {
		pattern := strings.ToLower(roster[i].Pattern)
		if ok, _ := path.Match(pattern, strings.ToLower(norm.NFC.String(file))); ok && pattern != "" {
			return &roster[i], nil, nil
		}
	}
	c := calledBy(file)
	best := c.best(roster)
	for i, w := range c.words {
		used := slices.ContainsFunc(best, func(b fit) bool { return slices.Contains(b.used, i) })
		if !used && names(w) && !common[key(w)] && (letters(w) > 1 || strings.ToUpper(w) == w) && !spaceless(w) {
			unplaced = append(unplaced, w)
		}
	}
	for _, f := range best {
		perhaps = append(perhaps, f.entry.Name)
	}
	switch {
	case len(best) == 1 && (best[0].all || best[0].much > 2 || !c.beside(&best[0], unplaced)):
		return best[0].entry, nil, nil
	case len(best) == 0:
		perhaps = c.mistyped(roster)
	}
	return nil, perhaps, unplaced
}

// best are the students whose whole names stand in a file's name, longer ones before those
// that are part of them; else those of whom most stands there.
func (c *called) best(roster []Entry) (best []fit) {
	var all []fit
	for i := range roster {
		if f := c.fits(&roster[i]); f.much > 0 && !slices.ContainsFunc(all, func(g fit) bool { return key(g.entry.Name) == key(f.entry.Name) }) {
			all = append(all, f)
		}
	}
	for _, f := range all {
		if !slices.ContainsFunc(all, func(g fit) bool { return better(&g, &f) }) {
			best = append(best, f)
		}
	}
	return best
}

func better(a, b *fit) bool {
	switch {
	case a.all != b.all:
		return a.all
	case a.all && spaceless(b.entry.Name):
		return a.much > b.much && strings.Contains(key(a.entry.Name), key(b.entry.Name))
	case a.all:
		return a.much > b.much && within(b.used, a.used)
	}
	return a.much > b.much
}

// beside reports whether a word that could be another's name stands beside the one of a
// student: "Anna Schmidt" is perhaps not Anna Müller. Where the name has a capital letter and the
// other word has none, that is no name.
func (c *called) beside(f *fit, unplaced []string) bool {
	capital := func(w string) bool { return strings.ToLower(w) != w || strings.ToUpper(w) == strings.ToLower(w) }
	for i, w := range c.words {
		if !slices.Contains(unplaced, w) {
			continue
		}
		for _, at := range f.used {
			if (i == at-1 || i == at+1) && (capital(w) || !capital(c.words[at])) {
				return true
			}
		}
	}
	return false
}

func within(a, b []int) bool {
	return !slices.ContainsFunc(a, func(x int) bool { return !slices.Contains(b, x) })
}

// mistyped are those on the roster one of whose names a file's name nearly holds.
func (c *called) mistyped(roster []Entry) (perhaps []string) {
	for i := range roster {
		for _, own := range together.FindAllString(roster[i].Name, -1) {
			close := slices.ContainsFunc(c.words, func(w string) bool { return names(w) && outside.Mistyped(key(w), key(own)) })
			if close && names(own) && !slices.Contains(perhaps, roster[i].Name) {
				perhaps = append(perhaps, roster[i].Name)
			}
		}
	}
	return perhaps
}

// commonWords are those that stand in the names of files of several students: of whom the
// whole name stands in it, or one name that nobody else has. "Devoir", whatever language
// it is.
func commonWords(files []string, roster []Entry) map[string]bool {
	of := map[string]map[string]bool{}
	for _, file := range files {
		c := calledBy(file)
		for i := range roster {
			f := c.fits(&roster[i])
			if f.much == 0 {
				continue
			}
			for k, w := range c.words {
				if slices.Contains(f.used, k) {
					continue
				}
				if of[key(w)] == nil {
					of[key(w)] = map[string]bool{}
				}
				of[key(w)][key(roster[i].Name)] = true
			}
		}
	}
	common := map[string]bool{}
	for w, students := range of {
		common[w] = len(students) >= fewestCommon
	}
	return common
}

// Names reports whether a title stands in a file's name.
func Names(file, title string) bool {
	words := together.FindAllString(title, -1)
	_, all := calledBy(file).cover(words)
	return all && letters(title) > 0
}

// fewestCommon is of how many students the files hold a word that names none of them: two
// may be brothers, three of one name that the roster does not have are not to be expected
// (no source).
const fewestCommon = 3
