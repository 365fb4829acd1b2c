package takes

import (
	"fmt"
	"path/filepath"
	"strings"

	"endpin/ui/desk"
)

// Name is what a take is called: when it was played, or the recording's file
// and who plays in it, where that is known.
func Name(t *desk.Take) string {
	switch {
	case t.Elsewhere() && t.Player != "":
		return t.Player + ", " + filepath.Base(t.Sound)
	case t.Elsewhere():
		return filepath.Base(t.Sound)
	}
	return "Take of " + t.Made.Format("2 January, 15:04")
}

// about tells a take's measures, tempo and what was found.
func about(t *desk.Take) []string {
	measures := "all measures"
	if t.Measures != "" {
		measures = "measures " + strings.ReplaceAll(t.Measures, "-", "–")
		if !strings.Contains(t.Measures, "-") {
			measures = "measure " + t.Measures
		}
	}
	all := []string{measures}
	if qpm := t.Tempo(); qpm > 0 {
		all = append(all, fmt.Sprintf("♩ = %.0f", qpm))
	}
	if t.Found != "" {
		all = append(all, t.Found)
	}
	return all
}
