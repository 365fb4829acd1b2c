package fingerboard

import "strings"

// Lettered is the string that a letter names as it is typed, small or large: 1 for the first
// of the names, 0 where none begins so.
func Lettered(names []string, letter string) int {
	for i, name := range names {
		if name != "" && strings.EqualFold(letter, name[:1]) {
			return i + 1
		}
	}
	return 0
}
