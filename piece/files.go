package piece

import (
	"path/filepath"
	"slices"
	"strings"
)

// Endings are how the names of files end that hold a piece; homework holds one, too.
func Endings() []string {
	return []string{".musicxml", ".mxl", ".xml", ".abc", ".mid", ".midi", ".endpin"}
}

// IsNamed reports whether a file is named as one that holds a piece.
func IsNamed(file string) bool {
	return slices.Contains(Endings(), strings.ToLower(filepath.Ext(file)))
}
