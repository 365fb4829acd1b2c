package main

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"endpin/piece/words"
)

// keeps says that no file asked for would take the place of one that is read.
func keeps(f *pflag.FlagSet, read ...string) error {
	if err := isPage("report", text(f, "report")); err != nil {
		return err
	}
	for _, option := range []string{"report", "json", "musicxml"} {
		out := text(f, option)
		if out == "" || out == "-" {
			continue
		}
		for _, in := range read {
			a, errA := os.Stat(out)
			b, errB := os.Stat(in)
			if errA == nil && errB == nil && os.SameFile(a, b) {
				return words.Fault("command.write-over.option", "option", option, "file", out)
			}
		}
	}
	return nil
}

// isPage says that a page is not named as something that it is not: nothing would open it.
func isPage(option, file string) error {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".pdf", ".doc", ".docx", ".odt", ".rtf", ".txt", ".png", ".jpg", ".jpeg":
		return words.Fault("command.page", "option", option, "file", file)
	}
	return nil
}
