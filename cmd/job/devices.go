package job

import (
	"path/filepath"
	"regexp"
	"strings"
)

// Device reports whether Windows takes a file's name for one of its devices, whatever
// ends it: what is written to con.html goes to the screen, to aux.json nowhere
// (Microsoft, Naming Files, Paths, and Namespaces).
func Device(path string) bool {
	name, _, _ := strings.Cut(filepath.Base(filepath.ToSlash(path)), ".")
	return device.MatchString(strings.TrimRight(name, " "))
}

var device = regexp.MustCompile(`(?i)^(con|prn|aux|nul|(com|lpt)[0-9¹²³])$`)
