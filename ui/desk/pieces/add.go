package pieces

import (
	"os"
	"path/filepath"
	"slices"

	"endpin/piece"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/score"
)

// mostAdded is how many files of a folder are put on the shelf at once.
const mostAdded = 1000

// Add puts pieces on the shelf without opening them, in the background: files, and those
// that lie in folders. What cannot be read is named.
func (s *Shelf) Add(paths ...string) {
	if s.host.Busy("piece") {
		return
	}
	s.errand.Drop()
	s.Reading, s.Asking = filepath.Base(paths[0]), nil
	instrument, read := s.instrument(), s.means.Read
	s.host.Say("")
	s.errand = errand.Send(s.host.Post, func(e *errand.Errand) func() {
		var known []*score.Score
		var unread []string
		files, locked := filesIn(paths)
		for _, path := range files {
			if e.Err() != nil {
				break
			}
			if sc, err := read(path, "", instrument); err == nil {
				sc.File = path
				known = append(known, sc)
			} else {
				unread = append(unread, filepath.Base(path))
			}
			e.Tell(func() { s.Reading = filepath.Base(path); s.host.Changed() })
		}
		return func() { s.added(known, unread, locked) }
	})
	s.host.Changed()
}

// filesIn are the files named, and of folders those that are named as a piece is. A
// folder that cannot be read is locked.
func filesIn(paths []string) (files []string, locked string) {
	for _, path := range paths {
		path = whole(path)
		if info, err := os.Stat(path); err != nil || !info.IsDir() {
			files = append(files, path)
			continue
		}
		in, err := os.ReadDir(path)
		if err != nil {
			locked = path
		}
		for _, f := range in {
			if f.Type().IsRegular() && piece.IsNamed(f.Name()) && len(files) < mostAdded {
				files = append(files, filepath.Join(path, f.Name()))
			}
		}
	}
	return files, locked
}

func (s *Shelf) added(all []*score.Score, unread []string, locked string) {
	s.Reading = ""
	before := len(s.all)
	var first, there *Piece
	for _, sc := range all {
		if i := slices.IndexFunc(s.all, func(p *Piece) bool { return p.Content == sc.Content }); i >= 0 {
			there = s.all[i]
			continue
		}
		p := s.put(sc)
		s.save(p)
		if first == nil {
			first = p
		}
	}
	s.order()
	if first == nil {
		first = there
	}
	if first != nil {
		s.at = max(0, slices.Index(s.list, first))
	}
	n := len(s.all) - before
	switch {
	case locked != "":
		s.host.Fault(words.Say("desk.pieces.locked", "folder", locked))
	case len(all)+len(unread) == 0:
		s.host.Fault(words.Say("desk.pieces.no-music"))
	case len(unread) > 0:
		s.host.Say(words.Many("desk.pieces.added.but", n, "unread", words.Row(unread[:min(3, len(unread))]...), "more", len(unread)).String())
	case n == 0:
		s.host.Say(words.Many("desk.pieces.there", len(all)).String())
	default:
		s.host.Say(words.Many("desk.pieces.added", n).String())
	}
	s.host.Changed()
}
