package notation

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endpin/piece"
)

// family is what scores say of the parts of one instrument: what they are called in
// the languages that scores come in, the standard sounds (MusicXML 4.0, "Standard
// Sounds") and programs (General MIDI 1) that exporters give them, and how they are
// written. The names are common practice, no source.
type family struct {
	own   []string // words that mean this instrument and no other
	line  []string // words for a line that it plays where it has none of its own
	loose []string // words that mean it, or a voice, or the low one of anything …
	made  []string // … and it alone, with one of these
	near  []string // words that with a loose one mean its next of kin: "bass guitar"

	sounds, nearSounds     []string // of its own, and how those of its next of kin begin
	programs, nearPrograms []int

	clef      string // the sign of its usual clef
	semitones int    // from the page to the sound
	low, high int    // where its parts sound, MIDI numbers
	lowest    bool   // it is the lowest of all
}

// foundation are words for the line below all others, whoever plays it.
var foundation = folded("continuo continue continua cont bc generalbass thoroughbass fondamento seguente")

var (
	bassFamily = family{
		own: folded("contrabass contrabasse contrabasses contrabasso contrabassi contrabassen contrabasy contrebasse contrebasses contrabajo contrabajos contrabaixo contrabaixos contrabaix",
			"doublebass violone violoni vne nagybőgő контрабас контрабасы контрабаси コントラバス ダブルベース 弦バス 低音提琴 低音大提琴 콘트라베이스 더블베이스 cb db ctb cbs"),
		line:  foundation,
		loose: folded("bass basses basso bassi basse bassen bajo bajos baixo baixos bs violon"),
		made:  folded("double string upright contra contre viol"),
		near:  folded("guitar guitars gitarre guitare guitarra chitarra electric fretless slap acoustic synth"),

		sounds: []string{"strings.contrabass", "strings.viol.violone", "pluck.bass.acoustic"}, nearSounds: []string{"pluck.bass"},
		programs: []int{44, 33}, nearPrograms: []int{34, 35, 36, 37, 38, 39, 40},
		clef: "F", semitones: -piece.Octave, low: lowest, high: 79, lowest: true,
	}
	celloFamily = family{
		line:   foundation,
		own:    folded("cello cellos celli violoncello violoncellos violoncelli violoncelle violoncelles violoncell violonchelo violonchelos cselló wiolonczela виолончель виолончели チェロ 大提琴 첼로 vc vcl vlc vcs"),
		sounds: []string{"strings.cello"}, programs: []int{43},
		clef: "F", low: 36, high: 88,
	}
	violaFamily = family{
		own:    folded("viola violas viole bratsche bratschen altviool brácsa altówka альт альты ヴィオラ ビオラ 中提琴 비올라 vla vle"),
		loose:  folded("alto altos va"),
		sounds: []string{"strings.viola"}, programs: []int{42},
		clef: "C", low: 48, high: 91,
	}
	violinFamily = family{
		own: folded("violin violins violine violinen violino violini violines violon violons viool violen geige geigen hegedű skrzypce housle",
			"скрипка скрипки ヴァイオリン バイオリン 小提琴 바이올린 vl vn vln vlns vno vni"),
		sounds: []string{"strings.violin"}, programs: []int{41},
		clef: "G", low: 55, high: 103,
	}
)

// familyOf finds a family by its word.
func familyOf(word string) *family {
	switch word {
	case "cello":
		return &celloFamily
	case "viola":
		return &violaFamily
	case "violin":
		return &violinFamily
	}
	return &bassFamily
}

// plain are words that say nothing of an instrument, and company what shares a part
// with the strings that it is named after.
var (
	plain = folded("ii iii iv st nd rd th part parts partie stimme staff instrument musicxml track midi player unnamed untitled",
		"first second third solo soli tutti rip ripieno ripieni div divisi unis section string strings desk principal pizz arco lib ad",
		"ed et und and en or ou oder di de del da the for für per pour in with mit senza con col")
	company = folded("cello cellos celli violoncello violoncellos violoncelli violoncelle violoncelles violoncell violonchelos vc vcl vlc",
		"organ organo orgue orgel org cembalo clavecin harpsichord bass basso bassi basse")
)

// called is what a name says.
type called string

const (
	calledNothing called = ""
	calledOwn     called = "own"
	calledMixed   called = "mixed" // its own word, and one of another instrument: "contrabass trombone"
	calledLine    called = "line"
	calledLoose   called = "loose"
	calledNear    called = "near"
	calledOther   called = "other"
)

// calls says what a part is called: by the first of its names that says anything.
func (f *family) calls(p *part) called {
	for _, text := range append([]string{p.name}, p.about...) {
		if c := f.means(text); c != calledNothing {
			return c
		}
	}
	return calledNothing
}

// means reads one name. A loose word means the instrument only where all the words
// beside it say nothing else, so that no list of other instruments is needed.
func (f *family) means(name string) called {
	var own, line, loose, made, near, beside, foreign bool
	for _, w := range wordsIn(name) {
		switch {
		case slices.Contains(f.own, w):
			own = true
		case slices.Contains(f.line, w):
			line = true
		case slices.Contains(f.loose, w):
			loose = true
		case slices.Contains(f.made, w):
			made = true
		case slices.Contains(f.near, w):
			near = true
		case slices.Contains(company, w):
			beside = true
		case len([]rune(w)) > 1 && !slices.Contains(plain, w):
			foreign = true
		}
	}
	switch {
	case own && foreign:
		return calledMixed
	case own, loose && made && !foreign:
		return calledOwn
	case line && !foreign:
		return calledLine
	case foreign, beside && !loose, near && !loose:
		return calledOther
	case loose && near:
		return calledNear
	case loose:
		return calledLoose
	}
	return calledNothing
}

// wordsIn are the words of a name, folded. Points join ("C.B."), digits part.
func wordsIn(name string) []string {
	return strings.FieldsFunc(fold(strings.ReplaceAll(name, ".", "")), func(r rune) bool { return !unicode.IsLetter(r) })
}

// folded are the words in a few lists, each as wordsIn gives it.
func folded(lists ...string) []string { return strings.Fields(fold(strings.Join(lists, " "))) }

// fold writes a word as all languages might: small, without accents, k as c, and no
// letter twice. "Kontrabässe" and "contrabasse" are then one.
func fold(text string) string {
	var b strings.Builder
	var last rune
	for _, r := range norm.NFD.String(strings.ReplaceAll(strings.ToLower(text), "ß", "ss")) {
		if r == 'k' {
			r = 'c'
		}
		if unicode.Is(unicode.Mn, r) || r == last && unicode.IsLetter(r) {
			continue
		}
		b.WriteRune(r)
		last = r
	}
	return b.String()
}

// evidence is one reason to take a part for an instrument's, or not.
type evidence struct {
	named  string
	weight int // in steps of about three to one
	holds  func(f *family, p *part, all []part) bool
}

// fits is the evidence from which a part may be the instrument's: where nothing is
// named, its clef, its range and that no other is lower.
const fits = 3

// forPart is all that is looked at. The weights were chosen with nineteen orchestral
// scores and seven of the baroque in view; figures on others are in
// testdata/figures/parts.md.
var forPart = []evidence{
	{"its own name", 6, is(calledOwn)},
	{"its own name beside another's", 1, is(calledMixed)},
	{"the name of a line that it plays", 5, is(calledLine)},
	{"a loose name", 3, is(calledLoose)},
	{"its next of kin's name", 2, is(calledNear)},
	{"another's name", -5, is(calledOther)},

	{"its own sound", 6, func(f *family, p *part, _ []part) bool { return f.soundOf(p) == calledOwn }},
	{"its next of kin's sound", 2, func(f *family, p *part, _ []part) bool { return f.soundOf(p) == calledNear }},
	{"another's sound", -4, func(f *family, p *part, _ []part) bool { return f.soundOf(p) == calledOther }},

	{"its own program", 2, func(f *family, p *part, _ []part) bool { return f.programOf(p) == calledOwn }},
	{"its next of kin's program", 1, func(f *family, p *part, _ []part) bool { return f.programOf(p) == calledNear }},
	{"another's program", -2, func(f *family, p *part, _ []part) bool { return f.programOf(p) == calledOther }},

	{"sounding as far from the page", 1, func(f *family, p *part, _ []part) bool {
		return f.semitones != 0 && p.written.stated && p.written.semitones == f.semitones
	}},
	{"in another key", -2, func(_ *family, p *part, _ []part) bool { return p.written.semitones%piece.Octave != 0 }},
	{"mostly in its clef", 1, func(f *family, p *part, _ []part) bool { return p.mostIn() == f.clef }},
	{"mostly in another clef", -2, func(f *family, p *part, _ []part) bool { return p.mostIn() != "" && p.mostIn() != f.clef }},
	{"within its range", 1, func(f *family, p *part, _ []part) bool { return f.reaches(p) }},
	{"beyond its range", -2, func(f *family, p *part, _ []part) bool { return !f.reaches(p) }},
	{"the lowest of all, its like apart", 1, func(f *family, p *part, all []part) bool {
		return f.lowest && !slices.ContainsFunc(all, func(q part) bool { return q.pitched() && q.mean() < p.mean() && !alike(p, &q) })
	}},
	{"with words to sing", -2, func(_ *family, p *part, _ []part) bool { return 2*p.sung > p.notes }},
	{"on several staves", -1, func(_ *family, p *part, _ []part) bool { return p.staves > 1 }},
}

// alike reports whether two parts are called the same, but for which of them it is: "Bass I" and
// "Bass II" are one instrument's.
func alike(p, q *part) bool {
	bare := func(name string) []string {
		return slices.DeleteFunc(wordsIn(name), func(w string) bool { return len([]rune(w)) < 2 || slices.Contains(plain, w) })
	}
	own := bare(p.name)
	return len(own) > 0 && slices.Equal(own, bare(q.name))
}

func is(c called) func(*family, *part, []part) bool {
	return func(f *family, p *part, _ []part) bool { return f.calls(p) == c }
}

// score adds the evidence up.
func (f *family) score(p *part, all []part) int {
	sum := 0
	for _, e := range forPart {
		if e.holds(f, p, all) {
			sum += e.weight
		}
	}
	return sum
}

// soundOf reads the standard sounds. A group of strings may be any of them, and a keyboard
// that plays the bass line, or a cello that plays a "Basso", says nothing against that line.
func (f *family) soundOf(p *part) called {
	heard := calledNothing
	for _, s := range p.sounds {
		switch {
		case slices.Contains(f.sounds, s):
			return calledOwn
		case slices.ContainsFunc(f.nearSounds, func(kin string) bool { return strings.HasPrefix(s, kin) }):
			heard = calledNear
		case s == "", s == "strings.group", strings.HasPrefix(s, "keyboard.") && f.calls(p) == calledLine, slices.Contains(celloFamily.sounds, s) && f.playsLine(p):
		default:
			heard = calledOther
		}
	}
	return heard
}

// programOf reads the General MIDI program. The first is what a program that knows
// nothing better writes; 49 to 52 are strings together.
func (f *family) programOf(p *part) called {
	switch n := p.program; {
	case slices.Contains(f.programs, n):
		return calledOwn
	case slices.Contains(f.nearPrograms, n):
		return calledNear
	case n <= 1, n >= 49 && n <= 52, n <= 24 && f.calls(p) == calledLine, // keyboards
		slices.Contains(celloFamily.programs, n) && f.playsLine(p):
		return calledNothing
	}
	return calledOther
}

// playsLine tells whether a part is called as the lowest line of all is.
func (f *family) playsLine(p *part) bool {
	c := f.calls(p)
	return f.lowest && (c == calledLine || c == calledLoose)
}

// reaches reports whether the part, as this instrument reads it, lies within its
// range: as it is written, where it would else be too low (see draft.sound).
func (f *family) reaches(p *part) bool {
	by := f.semitones
	if p.written.stated || p.low+by < f.low {
		by = 0
	}
	return p.low+by >= f.low && p.high+by <= f.high
}
