package marking

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"

	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// ends is how the name of a copy ends.
const ends = ".musicxml"

// Copy proposes a name for a copy, and the folder beside the piece's own file; "" for none.
func (m *Marking) Copy() (name, folder string) {
	s := m.host.Score()
	base := strings.TrimSuffix(filepath.Base(s.File), filepath.Ext(s.File))
	if !s.Demo {
		folder = filepath.Dir(s.File)
	}
	return words.Say("desk.pencil.copy", "name", base) + ends, folder
}

// Goes reports whether marks can go into the piece's own file.
func (m *Marking) Goes() bool {
	s, x := m.host.Score(), m.now()
	return x != nil && !x.Copied() && !s.Demo && s.Homework == nil
}

// Keep writes the piece with its marks into a copy, which lies on the desk from then on.
// Whoever calls it has asked before a file is written over.
func (m *Marking) Keep(path string) {
	x := m.now()
	if x == nil {
		return
	}
	if err := wholefile.Write(path, x.Bytes()); err != nil {
		m.failed(path, err)
		return
	}
	was := m.host.Score()
	s := *was
	s.File, s.Demo, s.Homework = path, false, nil
	if x.Copied() {
		s.Part = "" // the one part that the copy holds
		x.Pencil.Kept()
	}
	delete(m.all, of{was.File, was.Part})
	m.all[of{s.File, s.Part}] = x
	m.kept(x, path)
	x.score = &s
	m.host.Kept(&s)
	m.host.Changed()
}

// KeepInFile writes the marks into the piece's own file, unless somebody else has changed it.
func (m *Marking) KeepInFile() {
	x, s := m.now(), m.host.Score()
	if !m.Goes() {
		return
	}
	data, err := os.ReadFile(s.File)
	if err == nil && !bytes.Equal(data, x.kept) {
		m.host.Fault(words.Say("desk.pencil.changed", "file", filepath.Base(s.File)))
		m.host.Changed()
		return
	}
	if err == nil {
		err = wholefile.Write(s.File, x.Bytes())
	}
	if err != nil {
		m.failed(s.File, err)
		return
	}
	m.kept(x, s.File)
	m.host.Kept(s)
	m.host.Changed()
}

func (m *Marking) kept(x *sheet, path string) {
	x.kept = x.Bytes()
	m.host.Say(words.Say("desk.pencil.kept", "file", filepath.Base(path)))
}

func (m *Marking) failed(path string, err error) {
	m.host.Fault(words.Say("desk.pencil.not-kept", "file", filepath.Base(path), "err", said.Bare(err)))
	m.host.Changed()
}
