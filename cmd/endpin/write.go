package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"endpin/cmd/job"
	"endpin/piece/outside"
	"endpin/piece/words"
)

// keeps says that no file asked for would take the place of one that is read.
func (c *call) keeps(read ...string) error {
	if err := isPage("report", text(c.flags, "report")); err != nil {
		return err
	}
	c.outputs.Replace, _ = c.flags.GetBool("replace")
	c.outputs.Reads(read...)
	for _, option := range []string{"report", "json", "musicxml"} {
		if err := c.outputs.Ask(option, text(c.flags, option)); err != nil {
			return err
		}
	}
	if c.flags.Lookup("all") != nil { // the page over weeks
		return c.outputs.Ask("out", text(c.flags, "out"))
	}
	return nil
}

// replaceOption is the option of every command that writes a file.
func replaceOption(f *pflag.FlagSet) { f.Bool("replace", false, words.Say("command.option.replace")) }

// stays says which files were left as they were: on standard error where the JSON has
// standard output to itself.
func (c *call) stays() {
	out := c.out
	if text(c.flags, "json") == "-" {
		out = outside.Terminal(os.Stderr)
	}
	for _, s := range c.outputs.Stays() {
		fmt.Fprintln(out, outside.Line(s.String()))
	}
}

// toJSON writes a value where --json says.
func (c *call) toJSON(file string, v any) error {
	if file == "-" {
		return job.SealedJSON(c.out, v)
	}
	_, err := c.outputs.JSON(file, v)
	return err
}

// isPage says that a page is not named as something that it is not: nothing would open it.
func isPage(option, file string) error {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".pdf", ".doc", ".docx", ".odt", ".rtf", ".txt", ".png", ".jpg", ".jpeg":
		return words.Fault("command.page", "option", option, "file", file)
	}
	return nil
}
