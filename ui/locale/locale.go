// Package locale names a language before the window's toolkit looks for one:
// where the system's is the bare "C" the toolkit would print an error that means
// nothing to a user. It imports nothing but the standard library and its path
// comes before the toolkit's, and so Go initialises it first.
package locale

import "os"

func init() {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		switch os.Getenv(name) {
		case "":
			continue
		case "C", "POSIX", "C.UTF-8":
			os.Setenv(name, "en_US.UTF-8")
		}
		return
	}
	os.Setenv("LANG", "en_US.UTF-8")
}
