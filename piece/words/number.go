package words

import (
	"math"
	"strconv"
	"strings"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// Number is a number as it is written, with so many decimals.
type Number struct {
	x      float64
	digits int    // after the point
	most   int    // of digits at all, instead; 0 where digits counts
	trim   bool   // without a decimal that is 0
	sign   bool   // also where it is positive
	bare   bool   // no sign where it is nothing
	minus  string // another than plain text's
}

// Fixed writes a number with so many decimals: "2.50".
func Fixed(x float64, digits int) Number { return Number{x: x, digits: digits} }

// Whole writes a number without decimals.
func Whole(x float64) Number { return Fixed(x, 0) }

// Short writes a number with one decimal where it has one: "2", "2.5".
func Short(x float64) Number { return Number{x: x, digits: 1, trim: true} }

// Significant writes a number with so many digits at most: "2.25".
func Significant(x float64, most int) Number { return Number{x: x, most: most} }

// Signed writes a number with its sign, as plain text has it: "+28", "-3".
func Signed(x float64, digits int) Number { return Number{x: x, digits: digits, sign: true} }

// Shown is Signed with a true minus, for a page or a window: "+28", "−3".
func Shown(x float64, digits int) Number {
	return Number{x: x, digits: digits, sign: true, minus: "−"}
}

// Scale writes a number as it stands beside an axis, or in a column of such: Shown,
// with one decimal where it has one, and nothing without a sign: "+2.5", "−50", "0".
func Scale(x float64) Number {
	return Number{x: x, digits: 1, trim: true, sign: true, minus: "−", bare: true}
}

// plain writes the number for CLDR's rules of plural.
func (n Number) plain() string {
	s := strconv.FormatFloat(math.Abs(n.x), 'f', n.digits, 64)
	if n.most > 0 {
		s = strconv.FormatFloat(math.Abs(n.x), 'g', n.most, 64)
	}
	if n.trim {
		s = strings.TrimSuffix(s, ".0")
	}
	return s
}

// In implements Sayer. The decimal sign is the language's.
func (n Number) In(w *Words) string {
	s := n.plain()
	if point := w.Say("number.point"); point != "." {
		s = strings.Replace(s, ".", point, 1)
	}
	nothing := strings.Trim(s, "0.,") == ""
	switch {
	case nothing && n.bare:
		return s
	case math.Signbit(n.x) && n.minus != "" && nothing:
		return "+" + s // what rounds to nothing has no side
	case math.Signbit(n.x) && n.minus != "":
		return n.minus + s
	case math.Signbit(n.x):
		return "-" + s
	case n.sign:
		return "+" + s
	}
	return s
}

// String writes the number in the language that the program speaks.
func (n Number) String() string { return n.In(Here()) }

// Ordinal is a place in a row: "2nd".
type Ordinal int

// In implements Sayer. Which form a number takes is CLDR's for the language.
func (o Ordinal) In(w *Words) string {
	form := map[plural.Form]string{plural.One: "first", plural.Two: "second", plural.Few: "third"}[plural.Ordinal.MatchPlural(language.Make(w.tag), int(o), 0, 0, 0, 0)]
	if form == "" {
		form = "other"
	}
	return w.Say("number.ordinal."+form, "n", int(o))
}

// NumberWord is a number as a word, as far as ten: "two", "ten", "11"; none is "no".
type NumberWord int

// In implements Sayer.
func (n NumberWord) In(w *Words) string {
	if n < 0 || n > 10 {
		return strconv.Itoa(int(n))
	}
	return w.Say("number.word." + strconv.Itoa(int(n)))
}

// Times is how often: "once", "twice", "3 times".
type Times int

// In implements Sayer.
func (t Times) In(w *Words) string {
	if t == 2 {
		return w.Say("number.times.twice")
	}
	return Many("number.times", int(t)).In(w)
}

// Duration is a time in a recording, s: "1:07".
type Duration float64

// In implements Sayer.
func (d Duration) In(w *Words) string {
	if s := float64(d); math.IsNaN(s) || s < 0 || s > 1e7 {
		return "?"
	}
	s := int(math.Round(float64(d)))
	return w.Say("number.minutes", "minutes", s/60, "seconds", strconv.Itoa(100 + s%60)[1:])
}

// List is several things in a row: "3, 5 and 9".
type List []string

// In implements Sayer.
func (l List) In(w *Words) string {
	if len(l) == 0 {
		return ""
	}
	said := l[0]
	for i, next := range l[1:] {
		key := "number.list.more"
		if i == len(l)-2 {
			key = "number.list.two"
		}
		said = w.Say(key, "a", said, "b", next)
	}
	return said
}

// Linked are several things one after another.
type Linked struct {
	key    string
	things []any
}

// Row links things that have no commas in them: "3, 5, 9".
func Row[T any](things ...T) Linked { return linked("number.list.more", things) }

// Clauses links things that may have commas in them: "a; b, c; d".
func Clauses[T any](things ...T) Linked { return linked("number.list.clause", things) }

// All links things that are named together: "F♯ and B♭ and C".
func All[T any](things ...T) Linked { return linked("number.list.two", things) }

// Sentences are whole sentences, one after another.
func Sentences[T any](things ...T) Linked { return linked("number.list.sentence", things) }

func linked[T any](key string, things []T) Linked {
	l := Linked{key: key}
	for _, t := range things {
		l.things = append(l.things, t)
	}
	return l
}

// In implements Sayer.
func (l Linked) In(w *Words) string {
	if len(l.things) == 0 {
		return ""
	}
	said := w.said(l.things[0])
	for _, next := range l.things[1:] {
		said = w.Say(l.key, "a", said, "b", next)
	}
	return said
}

func (l Linked) String() string { return l.In(Here()) }
