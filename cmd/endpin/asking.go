package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/outside"
	"endpin/piece/player"
	"endpin/piece/words"
)

// terminal is where somebody sits who can answer.
type terminal struct {
	in  io.Reader
	out io.Writer
}

// atTerminal gives it; nil where nobody sits there, as in a script.
var atTerminal = func() *terminal {
	if !isTerminal(os.Stdin) || !isTerminal(os.Stderr) {
		return nil
	}
	return &terminal{os.Stdin, os.Stderr} // what goes to standard output may be kept in a file
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

func yesOption(f *pflag.FlagSet) { f.Bool("yes", false, words.Say("command.option.yes")) }

// sure asks before something is removed for good. The answer is yes, or the
// player's name.
func sure(c *call, what any, name string) error {
	if yes, _ := c.flags.GetBool("yes"); yes {
		return nil
	}
	t := atTerminal()
	if t == nil {
		return words.Fault("command.remove.nobody", "line", c.line(), "what", what)
	}
	if said := answer(t, words.Of("command.remove.ask", "what", what, "name", outside.Line(name))); isYes(said) || player.Same(said, name) {
		return nil
	}
	return words.Fault("command.remove.left")
}

// answer asks and gives what was typed.
func answer(t *terminal, question words.Sentence) string {
	fmt.Fprint(t.out, question)
	said, err := bufio.NewReader(t.in).ReadString('\n')
	if err != nil {
		fmt.Fprintln(t.out)
	}
	return strings.TrimSpace(said)
}

// isYes takes the language's own yes, and the English one.
func isYes(said string) bool {
	return slices.ContainsFunc([]string{"y", "yes", words.Say("command.yes.letter"), words.Say("command.yes")}, func(yes string) bool { return strings.EqualFold(said, yes) })
}

// yes asks what is answered with yes, or anything else for no.
func yes(t *terminal, question words.Sentence) bool { return isYes(answer(t, question)) }
