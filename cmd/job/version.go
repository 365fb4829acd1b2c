package job

import (
	"runtime/debug"
	"strings"

	"endpin/piece/finding"
	"endpin/piece/words"
)

// Version is what a program is, in a line: built from which state of the source and on
// which day that was committed, and by which version of the listening it hears and judges.
func Version(program string) string {
	revision, day := words.Say("command.version.unknown"), ""
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				revision = s.Value[:min(12, len(s.Value))]
			case "vcs.time":
				day, _, _ = strings.Cut(s.Value, "T")
			}
		}
	}
	return strings.TrimSpace(words.Say("command.version", "program", program, "revision", revision, "listening", finding.Listening) + " " + day)
}
