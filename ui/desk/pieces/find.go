package pieces

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/ui/desk/score"
)

// What is looked through for a file that moved: so many that are read, since what they
// hold is known by their notes alone, and so many folders below the usual ones that are
// gone through for a file of the same name.
const (
	mostRead    = 300
	mostFolders = 2000
)

// find looks for a piece whose file is not where it lay: where other copies lay, then a
// file of its name in the folders of the shelf's pieces and in those where people keep
// what they have, then any file beside those. It is the piece where its notes are.
func find(ctx context.Context, p *Piece, folders []string, read func(path string) (*score.Score, error)) *score.Score {
	tried, left := map[string]bool{}, mostRead
	try := func(path string) *score.Score {
		if tried[path] || left == 0 || ctx.Err() != nil {
			return nil
		}
		if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
			return nil
		}
		tried[path] = true
		left--
		if s, err := read(path); err == nil && s.Content == p.Content {
			return s
		}
		return nil
	}
	for _, path := range p.Files {
		if s := try(path); s != nil {
			return s
		}
	}
	for _, folder := range folders {
		for _, path := range p.Files {
			if s := try(filepath.Join(folder, filepath.Base(path))); s != nil {
				return s
			}
		}
	}
	if s := below(ctx, p, try); s != nil {
		return s
	}
	for _, folder := range folders {
		files, _ := os.ReadDir(folder)
		for _, f := range files {
			if piece.IsNamed(f.Name()) {
				if s := try(filepath.Join(folder, f.Name())); s != nil {
					return s
				}
			}
		}
	}
	return nil
}

// below looks for files of a piece's names below the folders where people keep things.
func below(ctx context.Context, p *Piece, try func(string) *score.Score) (found *score.Score) {
	home, err := os.UserHomeDir()
	if err != nil {
		return nil
	}
	named := func(name string) bool {
		return slices.ContainsFunc(p.Files, func(f string) bool { return strings.EqualFold(filepath.Base(f), name) })
	}
	left := mostFolders
	for _, usual := range []string{"Documents", "Downloads", "Desktop", "Music"} {
		_ = filepath.WalkDir(filepath.Join(home, usual), func(path string, d fs.DirEntry, err error) error {
			switch {
			case ctx.Err() != nil || left == 0:
				return fs.SkipAll
			case err != nil:
				return fs.SkipDir // a folder that may not be read
			case d.IsDir():
				left--
				if strings.HasPrefix(d.Name(), ".") {
					return fs.SkipDir
				}
			case named(d.Name()):
				if found = try(path); found != nil {
					return fs.SkipAll
				}
			}
			return nil
		})
		if found != nil {
			break
		}
	}
	return found
}
