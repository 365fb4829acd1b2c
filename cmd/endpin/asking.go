package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/outside"
	"endpin/piece/player"
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

func yesOption(f *pflag.FlagSet) { f.Bool("yes", false, "do not ask first") }

// sure asks before something is removed for good. The answer is yes, or the
// player's name.
func sure(c *call, what, name string) error {
	if yes, _ := c.flags.GetBool("yes"); yes {
		return nil
	}
	t := atTerminal()
	if t == nil {
		return fmt.Errorf("endpin %s removes %s for good, and nobody is here to be asked: say --yes to mean it", c.line, what)
	}
	fmt.Fprintf(t.out, "Remove %s for good? Type %s or y to do it, anything else to leave it: ", outside.Line(what), outside.Line(name))
	said, err := bufio.NewReader(t.in).ReadString('\n')
	if err != nil {
		fmt.Fprintln(t.out)
	}
	if said = strings.TrimSpace(said); strings.EqualFold(said, "y") || strings.EqualFold(said, "yes") || player.Same(said, name) {
		return nil
	}
	return fmt.Errorf("nothing was removed")
}
