package option

import (
	"strings"
	"unicode/utf8"

	"github.com/spf13/pflag"

	"endpin/piece/words"
)

// helpWidth is how wide help is set, in columns.
const helpWidth = 100

// Help lists the options: on the left how each is written, on the right what it says,
// by the usage that it was given. What stands there between backquotes stands for the
// value.
func Help(f *pflag.FlagSet) string {
	var written, said []string
	widest := 0
	f.VisitAll(func(o *pflag.Flag) {
		if o.Hidden {
			return
		}
		value, what := pflag.UnquoteUsage(o)
		as := "      --" + o.Name
		switch {
		case o.Value.Type() == "bool":
			as += "[=true|false]"
		case o.NoOptDefVal != "": // it may stand alone, and then means something that is said in words
			as += " " + value + `[="` + words.Say("command.alone."+o.Name) + `"]`
		default:
			as += " " + value
		}
		if o.DefValue != "" && o.DefValue != "0" && o.DefValue != "false" && o.DefValue != "[]" {
			var unless any = o.DefValue
			if o.Value.Type() == "string" {
				unless = words.Quoted(o.DefValue)
			}
			what = words.Say("command.default", "what", what, "value", unless)
		}
		written, said = append(written, as), append(said, what)
		widest = max(widest, utf8.RuneCountInString(as))
	})
	var b strings.Builder
	begin := widest + 3
	for i, as := range written {
		b.WriteString(as + strings.Repeat(" ", begin-utf8.RuneCountInString(as)))
		b.WriteString(strings.Join(wrap(said[i], helpWidth-begin), "\n"+strings.Repeat(" ", begin)) + "\n")
	}
	return b.String()
}

// wrap breaks text into lines of at most so many columns. All but the last end a
// little sooner, so that no short word stands alone.
func wrap(text string, columns int) (lines []string) {
	const sooner = 5
	rest := []rune(text)
	for len(rest) >= columns {
		at := columns - sooner - 1
		for at > 0 && rest[at] != ' ' {
			at--
		}
		for at == 0 || at < len(rest) && rest[at] != ' ' { // a word longer than a line
			at++
		}
		if at == len(rest) {
			break
		}
		lines, rest = append(lines, string(rest[:at])), rest[at+1:]
	}
	return append(lines, string(rest))
}
