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
	"unicode/utf8"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/cmd/option"
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
	key     string               // of its words in the catalogue: how it is called, what it is about, and more
	options func(*pflag.FlagSet) // adds its own; nil for none
	run     func(c *call) error
	below   []command // commands of its own; then it has no run
}

// call is one command being run.
type call struct {
	command
	flags *pflag.FlagSet
	args  []string
	typed []string // with the options, as it was typed
	out   io.Writer

	outputs job.Outputs
}

// say writes a sentence on a line of its own.
func (c *call) say(s words.Sentence) error {
	_, err := fmt.Fprintln(c.out, s)
	return err
}

// line is how a command is called, about says in a line what it does, more in several
// what else there is to know, "" for nothing.
func (c command) line() string  { return words.Say(c.key + ".line") }
func (c command) about() string { return words.Say(c.key + ".about") }
func (c command) more() string {
	if key := c.key + ".more"; words.Here().Has(key) {
		return words.Say(key) + "\n"
	}
	return ""
}

func commands() []command {
	return []command{demoCommand, hearCommand, classCommand, outlineCommand, assignCommand, markCommand, drillCommand, transcribeCommand, convertCommand, pitchCommand, diaryCommand}
}

// status is an error that ends in an exit status of its own.
type status struct {
	code int
	err  error
}

func (s status) Error() string { return s.err.Error() }
func (s status) Unwrap() error { return s.err }

func main() {
	words.Speak(option.System())
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run does one command and gives the exit status. No panic reaches a user.
func run(args []string, out, errOut io.Writer) (code int) {
	out = outside.Terminal(out)
	defer func() {
		if p := recover(); p != nil {
			code = finish(words.Fault("command.own-fault", "fault", p), errOut)
		}
	}()
	asked, args, err := option.Spoken(args)
	if err != nil {
		return finish(err, errOut)
	}
	if asked != nil {
		defer words.Speak(words.Speak(asked))
	}
	if len(args) == 0 {
		usage(errOut)
		return unusable
	}
	switch args[0] {
	case "--help", "-h", "help":
		if len(args) == 2 && args[1] == "--all" {
			all(out, errOut)
			return heard
		}
		if len(args) > 1 { // help hear, help diary add
			return run(append(args[1:], "--help"), out, errOut)
		}
		usage(out)
		return heard
	case "--version":
		fmt.Fprintln(out, job.Version("endpin"))
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
	if meant := meant(args[0], commands()); meant != "" {
		return finish(words.Fault("command.unknown.meant", "typed", words.Quoted(args[0]), "meant", meant, "commands", names(commands())), errOut)
	}
	return finish(words.Fault("command.unknown", "typed", words.Quoted(args[0]), "commands", names(commands())), errOut)
}

// meant is the command that was mistyped; "" where none was.
func meant(typed string, all []command) string {
	for _, c := range all {
		if outside.Mistyped(typed, c.name) {
			return c.name
		}
	}
	return ""
}

// choose does one of a command's own commands.
func (c command) choose(args []string, out, errOut io.Writer) int {
	if len(args) == 0 {
		c.overview(errOut)
		return unusable
	}
	switch args[0] {
	case "--help", "-h", "help":
		if len(args) > 1 && args[0] == "help" {
			return c.choose(append(args[1:], "--help"), out, errOut)
		}
		c.overview(out)
		return heard
	}
	for _, b := range c.below {
		if b.name == args[0] {
			b.name = c.name + " " + b.name
			return finish(b.do(args[1:], out, errOut), errOut)
		}
	}
	if meant := meant(args[0], c.below); meant != "" {
		return finish(words.Fault("command.unknown.below.meant", "typed", words.Quoted(args[0]), "command", c.name, "meant", meant, "commands", names(c.below)), errOut)
	}
	return finish(words.Fault("command.unknown.below", "typed", words.Quoted(args[0]), "command", c.name, "commands", names(c.below)), errOut)
}

// overview lists a command's own commands.
func (c command) overview(w io.Writer) {
	fmt.Fprintf(w, "endpin %s\n\n%s\n%s\n", c.line(), c.about(), c.more())
	list(w, c.below, 36)
	fmt.Fprintf(w, "\n%s\n", words.Of("command.foot.below", "command", c.name))
}

func (c command) do(args []string, out, errOut io.Writer) error {
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.SortFlags = false
	flags.BoolP("help", "h", false, "print this help")
	if c.options != nil {
		c.options(flags)
	}
	option.Language(flags)
	if err := flags.Parse(args); err != nil {
		return option.Fault(err, "endpin "+c.name, flags)
	}
	if help, _ := flags.GetBool("help"); help {
		_ = flags.MarkHidden("help") // whoever reads this has found it
		fmt.Fprintf(out, "endpin %s\n\n%s\n%s\n%s", c.line(), c.about(), c.more(), option.Help(flags))
		return nil
	}
	if name := inPieces(flags.Args()); name != "" {
		return words.Fault("command.space", "file", name)
	}
	return c.run(&call{command: c, flags: flags, args: flags.Args(), typed: args, out: out})
}

// inPieces is a file whose name, with a space in it, came as several words; "" for none.
func inPieces(args []string) string {
	there := func(name string) bool { _, err := os.Stat(name); return err == nil }
	for from := range args {
		for to := from + 2; to <= len(args) && !there(args[from]); to++ {
			if name := strings.Join(args[from:to], " "); there(name) {
				return name
			}
		}
	}
	return ""
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

func names(all []command) words.Linked {
	var n []string
	for _, c := range all {
		n = append(n, c.name)
	}
	return words.Row(n...)
}

func usage(w io.Writer) {
	fmt.Fprintf(w, "%s\n\n", words.Of("command.about"))
	list(w, commands(), 24)
	fmt.Fprintf(w, "\n%s\n", words.Of("command.foot"))
}

// all writes the help of every command, one after the other: for the manual page.
func all(out, errOut io.Writer) {
	usage(out)
	var each func(names []string, commands []command)
	each = func(names []string, commands []command) {
		for _, c := range commands {
			called := append(names[:len(names):len(names)], c.name)
			fmt.Fprintln(out)
			run(append(called, "--help"), out, errOut)
			each(called, c.below)
		}
	}
	each(nil, commands())
}

// list writes a line for each command; how it is called has so many columns.
func list(w io.Writer, all []command, columns int) {
	for _, c := range all {
		columns = max(columns, utf8.RuneCountInString(c.line()))
	}
	for _, c := range all {
		fmt.Fprintf(w, "  endpin %-*s %s\n", columns, c.line(), c.about())
	}
}
