package option

import (
	"strings"

	"github.com/jeandeaual/go-locale"
	"github.com/spf13/pflag"

	"endpin/piece/words"
)

// languageOption names the option in which a user asks for a language.
const languageOption = "language"

// Language lists that option; Spoken reads it, before any help is written.
func Language(f *pflag.FlagSet) {
	f.String(languageOption, "", words.Say("command.option.language"))
}

// Spoken gives the words of the language that a command line asks for, nil where it asks
// for none, and all else that stands there.
func Spoken(args []string) (w *words.Words, rest []string, err error) {
	asked, given := "", false
	for i := 0; i < len(args); i++ {
		if args[i] == "--" {
			rest = append(rest, args[i:]...)
			break
		}
		value, joined := strings.CutPrefix(args[i], "--"+languageOption+"=")
		switch {
		case joined:
			asked, given = value, true
		case args[i] != "--"+languageOption:
			rest = append(rest, args[i])
		case i+1 == len(args):
			return nil, nil, words.Fault("command.no-value.language", "tags", languages())
		default:
			i++
			asked, given = args[i], true
		}
	}
	if !given {
		return nil, rest, nil
	}
	w, is := words.Best(asked)
	if !is {
		return nil, nil, words.Fault("command.language", "typed", words.Quoted(asked), "tags", languages())
	}
	return w, rest, nil
}

func languages() words.Linked { return words.Row(words.Languages()...) }

// System gives the words of the language that this computer speaks, English where they are
// not here. Tests and what calls a program's parts do not ask for it: main does.
func System() *words.Words {
	tags, _ := locale.GetLocales() // a system that does not know speaks English
	for i := range tags {
		tags[i], _, _ = strings.Cut(tags[i], "@") // fr_CA@euro
	}
	w, _ := words.Best(tags...)
	return w
}
