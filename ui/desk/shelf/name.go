package shelf

import (
	"path/filepath"
	"strings"

	"endpin/piece/words"
	"endpin/ui/desk/work"
)

// Called is what a take is called: as its player named it, else when it was played, or the
// recording's file and who plays in it, where that is known.
func (t *Take) Called() string {
	switch {
	case t.Name != "":
		return t.Name
	case t.Elsewhere() && t.Player != "":
		return words.Say("window.takes.name.player", "player", t.Player, "file", t.file())
	case t.Elsewhere():
		return t.file()
	}
	return words.Say("window.takes.name", "when", t.When())
}

// file is the name of its file, without what says which kind of file it is.
func (t *Take) file() string {
	return strings.TrimSuffix(filepath.Base(t.Sound), filepath.Ext(t.Sound))
}

// When is when a take was played.
func (t *Take) When() words.Date { return words.DayOfYear(t.Made).WithHour() }

// How is who played it and in which way, as far as that is known, and when where its name
// does not say so.
func (t *Take) How() (all []string) {
	if t.Player != "" && !(t.Elsewhere() && t.Name == "") {
		all = append(all, t.Player)
	}
	if w, err := work.WayByName(string(t.Way)); err == nil && !t.Elsewhere() {
		all = append(all, w.Name())
	}
	if t.Name != "" {
		all = append(all, t.When().String())
	}
	return all
}

// longestName is how many letters a take's name has at most.
const longestName = 60

// Rename names a take; "" leaves it the name that it has by itself.
func (s *Shelf) Rename(t *Take, name string) {
	name = strings.Join(strings.Fields(name), " ")
	if letters := []rune(name); len(letters) > longestName {
		name = string(letters[:longestName])
	}
	t.Name = name
	s.Note(t)
	s.host.Changed()
}
