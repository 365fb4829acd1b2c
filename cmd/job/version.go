package job

import (
	"runtime/debug"
	"strings"

	"endpin/piece/finding"
	"endpin/piece/words"
)

// built says it where no repository stood beside the compiler: the tag or nothing, the
// revision and the day, with blanks between. A package's maker sets it (-ldflags -X).
var built string

// Version is what a program is, in a line: built from which state of the source and on
// which day that was committed, and by which version of the listening it hears and judges.
func Version(program string) string {
	of := state()
	if of == "" {
		of = words.Say("command.version.unknown")
	}
	return strings.TrimSpace(words.Say("command.version", "program", program, "revision", of, "listening", finding.Listening))
}

// state is the tag, where there is one, with revision and day of the source; "" where nothing
// tells them.
func state() string {
	if built != "" {
		return built
	}
	var tag, revision, day string
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				revision = s.Value[:min(12, len(s.Value))]
			case "vcs.time":
				day, _, _ = strings.Cut(s.Value, "T")
			}
		}
		if v, ok := strings.CutPrefix(info.Main.Version, "v"); ok && revision != "" && !strings.Contains(v, revision) { // else no tag: Go made it of the revision
			tag = v
		}
	}
	if revision == "" {
		return ""
	}
	return strings.Join(strings.Fields(tag+" "+revision+" "+day), " ")
}
