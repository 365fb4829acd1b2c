package job

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endpin/piece/class"
	"endpin/piece/words"
)

// InFolderFile is a recording in a folder.
type InFolderFile struct {
	Name string
	Size int64 // bytes
}

// InFolder parts a folder's recordings from what is none. Folders in it are not
// entered; pieces and others are files that may lie there and are no recordings.
func InFolder(folder string, pieces, others []string) (files []InFolderFile, leftOut []class.LeftOut, err error) {
	switch info, err := os.Stat(folder); {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, words.Fault("job.folder.absent", "folder", folder)
	case err == nil && !info.IsDir():
		return nil, nil, words.Fault("job.folder.file", "folder", folder)
	}
	all, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, OfFile(folder, Cause(err))
	}
	for _, e := range all {
		name := e.Name()
		info, err := os.Stat(filepath.Join(folder, name))
		same := func(path string) bool {
			other, err := os.Stat(path)
			return err == nil && info != nil && os.SameFile(info, other)
		}
		without := func(reason string) { leftOut = append(leftOut, class.LeftOut{File: name, Reason: reason}) }
		switch {
		case slices.ContainsFunc(pieces, same):
			without(words.Say("job.left-out.piece"))
		case slices.ContainsFunc(others, same):
			without(words.Say("job.left-out.roster"))
		case strings.HasPrefix(name, "."):
			without(words.Say("job.left-out.hidden"))
		case err != nil:
			without(words.Told(Cause(err)))
		case info.IsDir():
			without(words.Say("job.left-out.folder"))
		case !info.Mode().IsRegular():
			without(words.Say("job.left-out.not-plain"))
		case homeworkAlone(filepath.Join(folder, name)):
			without(words.Say("job.left-out.homework"))
		case class.IsMedia(name) || soundsLike(filepath.Join(folder, name)):
			files = append(files, InFolderFile{name, info.Size()})
		default:
			without(words.Say("job.left-out.no-recording"))
		}
	}
	return files, leftOut, nil
}

// homeworkAlone reports whether a file is homework that nobody has played yet.
func homeworkAlone(path string) bool {
	h, err := OpenHomework(path)
	if err == nil {
		defer h.Close()
	}
	return err == nil && h.Take == nil
}

// soundsLike looks into a file whose name does not tell that it is a recording.
func soundsLike(path string) bool {
	r, err := OpenTake(path)
	if err != nil {
		return false
	}
	defer r.Close()
	buf := make([]float32, 4096)
	_, err = r.Read(buf)
	return err == nil
}
