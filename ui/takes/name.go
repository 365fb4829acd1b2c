package takes

import (
	"path/filepath"
	"strings"

	"endpin/piece/words"
	"endpin/ui/desk/shelf"
)

// Name is what a take is called: when it was played, or the recording's file
// and who plays in it, where that is known.
func Name(t *shelf.Take) string {
	switch {
	case t.Elsewhere() && t.Player != "":
		return words.Say("window.takes.name.player", "player", t.Player, "file", filepath.Base(t.Sound))
	case t.Elsewhere():
		return filepath.Base(t.Sound)
	}
	return words.Say("window.takes.name", "when", moment(t))
}

// moment is when a take was played.
func moment(t *shelf.Take) words.Date { return words.DayOfYear(t.Made).WithHour() }

// about tells a take's measures, tempo and what was found.
func about(t *shelf.Take) []string {
	measures := words.Of("window.takes.about.measures", "range", strings.ReplaceAll(t.Measures, "-", "–"))
	switch {
	case t.Measures == "":
		measures = words.Of("window.takes.about.all")
	case !strings.Contains(t.Measures, "-"):
		measures = words.Of("window.takes.about.measure", "n", t.Measures)
	}
	all := []string{measures.String()}
	if qpm := t.Tempo(); qpm > 0 {
		all = append(all, words.Say("window.takes.about.tempo", "qpm", words.Whole(qpm)))
	}
	if t.Found != "" {
		all = append(all, t.Found)
	}
	return all
}
