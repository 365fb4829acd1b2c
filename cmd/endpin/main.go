// Command endpin listens to a recording of a piece and says, measure by
// measure, what a good teacher would have heard.
//
// It needs no window and no system library. What is asked for goes to standard
// output, and nothing else does; errors go to standard error, one line each,
// naming the file, what is wrong with it and the mend.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// What the exit status says.
const (
	heard    = 0 // something was heard, findings or not
	unusable = 2 // arguments or files that cannot be used
	notHeard = 3 // nothing of the piece could be heard
)

// command is one job.
type command struct {
	name    string
	line    string // how it is called
	about   string
	options func(*pflag.FlagSet) // adds its own; nil for none
	run     func(c *call) error
	below   []command // commands of its own; then it has no run
}

// call is one command being run.
type call struct {
	line  string
	flags *pflag.FlagSet
	args  []string
	out   io.Writer
}

func commands() []command {
	return []command{demoCommand, hearCommand, classCommand, outlineCommand, pitchCommand, diaryCommand}
}

// helpWidth is how wide help is set, in columns.
const helpWidth = 100

// status is an error that ends in an exit status of its own.
type status struct {
	code int
	err  error
}

func (s status) Error() string { return s.err.Error() }
func (s status) Unwrap() error { return s.err }

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run does one command and gives the exit status. No panic reaches a user.
func run(args []string, out, errOut io.Writer) (code int) {
	out = outside.Terminal(out)
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errOut, "endpin: a fault of Endpin's own, not of your files: %v. Please report it with the piece and the recording.\n", p)
			code = unusable
		}
	}()
	if len(args) == 0 {
		usage(errOut)
		return unusable
	}
	switch args[0] {
	case "--help", "-h", "help":
		usage(out)
		return heard
	}
	for _, c := range commands() {
		if c.name == args[0] && c.below != nil {
			return c.choose(args[1:], out, errOut)
		}
		if c.name == args[0] {
			return finish(c.do(args[1:], out, errOut), errOut)
		}
	}
	fmt.Fprintf(errOut, "endpin: no command %q: the commands are %s\n", args[0], names())
	return unusable
}

// choose does one of a command's own commands.
func (c command) choose(args []string, out, errOut io.Writer) int {
	if len(args) == 0 {
		c.overview(errOut)
		return unusable
	}
	switch args[0] {
	case "--help", "-h", "help":
		c.overview(out)
		return heard
	}
	var n []string
	for _, b := range c.below {
		if b.name == args[0] {
			b.name = c.name + " " + b.name
			return finish(b.do(args[1:], out, errOut), errOut)
		}
		n = append(n, b.name)
	}
	fmt.Fprintf(errOut, "endpin: no command %q of %s: they are %s\n", args[0], c.name, strings.Join(n, ", "))
	return unusable
}

// overview lists a command's own commands.
func (c command) overview(w io.Writer) {
	fmt.Fprintf(w, "endpin %s\n\n%s\n\n", c.line, c.about)
	for _, b := range c.below {
		fmt.Fprintf(w, "  endpin %-36s %s\n", b.line, firstLine(b.about))
	}
	fmt.Fprintf(w, "\nendpin %s COMMAND --help lists a command's options.\n", c.name)
}

func (c command) do(args []string, out, errOut io.Writer) error {
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.SortFlags = false
	flags.BoolP("help", "h", false, "print this help")
	if c.options != nil {
		c.options(flags)
	}
	if err := flags.Parse(args); err != nil {
		return fmt.Errorf("%w; endpin %s --help lists the options", err, c.name)
	}
	if help, _ := flags.GetBool("help"); help {
		_ = flags.MarkHidden("help") // whoever reads this has found it
		fmt.Fprintf(out, "endpin %s\n\n%s\n", c.line, c.about)
		if c.options != nil {
			fmt.Fprintf(out, "\n%s", flags.FlagUsagesWrapped(helpWidth))
		}
		return nil
	}
	return c.run(&call{line: c.line, flags: flags, args: flags.Args(), out: out})
}

// finish prints an error in one line and gives the exit status.
func finish(err error, errOut io.Writer) int {
	if err == nil {
		return heard
	}
	fmt.Fprintln(errOut, "endpin: "+outside.Line(words.Told(err)))
	var s status
	if errors.As(err, &s) {
		return s.code
	}
	return unusable
}

func names() string {
	var n []string
	for _, c := range commands() {
		n = append(n, c.name)
	}
	return strings.Join(n, ", ")
}

func usage(w io.Writer) {
	fmt.Fprint(w, "Endpin listens to a double bass and says, measure by measure, what was heard.\n\n")
	for _, c := range commands() {
		fmt.Fprintf(w, "  endpin %-24s %s\n", c.line, firstLine(c.about))
	}
	fmt.Fprint(w, "\nendpin COMMAND --help lists a command's options. Recordings never leave this machine.\n")
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(s, "\n")
	return line
}
