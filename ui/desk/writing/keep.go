package writing

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"endpin/piece/manuscript"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// Keep writes the page as MusicXML into the folder of what was written here, under its
// title, and gives the file. What another put there, or changed since, stays.
func (w *Writing) Keep() (path string, ok bool) {
	data, err := w.written()
	if err == nil && w.means.Folder == "" {
		err = words.Fault("desk.writing.no-folder")
	}
	if err == nil {
		path, err = w.write(data)
	}
	if err != nil {
		w.host.Fault(said.Sentence(err))
		w.host.Changed()
		return "", false
	}
	w.file, w.kept, w.clean = path, data, true
	says := words.Say("desk.writing.kept", "file", path)
	if w.sound != "" {
		says = words.Say("desk.writing.kept-sound", "file", path)
	}
	err = w.beside(path)
	w.note()
	if w.host.Say(says); err != nil {
		w.host.Fault(said.Sentence(err))
	}
	w.host.Changed()
	return path, true
}

func (w *Writing) write(data []byte) (string, error) {
	if w.file != "" {
		if now, err := os.ReadFile(w.file); err == nil && (bytes.Equal(now, w.kept) || bytes.Equal(now, data)) && named(w.file, w.title()) {
			return w.file, wholefile.Write(w.file, data)
		}
	}
	return wholefile.WriteBeside(filepath.Join(w.means.Folder, w.title()+ends), data)
}

const ends = ".musicxml"

// named tells whether a file is called by a title.
func named(path, title string) bool {
	name := strings.TrimSuffix(filepath.Base(path), ends)
	return name == title || strings.HasPrefix(name, title+" ")
}

// mostTitle is how many letters of a title stand in the name of a file.
const mostTitle = 60

// title is the page's as a file can be called.
func (w *Writing) title() string {
	kept := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" -_,'’()", r) {
			return r
		}
		return ' '
	}, w.Page.Head.Title)
	kept = strings.Join(strings.Fields(kept), " ")
	if r := []rune(kept); len(r) > mostTitle {
		kept = strings.TrimSpace(string(r[:mostTitle]))
	}
	if kept == "" {
		return words.Say("desk.writing.untitled")
	}
	return kept
}

// ours tells whether a file is one that was written here.
func (w *Writing) ours(path string) bool {
	return w.means.Folder != "" && filepath.Dir(path) == filepath.Clean(w.means.Folder) && strings.HasSuffix(path, ends)
}

// Kept reports whether the page lies in its file as it stands.
func (w *Writing) Kept() bool { return w.clean }

// lay is what the journal keeps of the desk.
type lay struct {
	Page    json.RawMessage `json:"page"`
	File    string          `json:"file,omitempty"`
	Clean   bool            `json:"kept"`
	Picture string          `json:"picture,omitempty"`
	Sound   string          `json:"sound,omitempty"`
	Spare   string          `json:"spare,omitempty"`
}

// note writes down what lies here, beside the desk's goroutine.
func (w *Writing) note() {
	if w.means.Journal == "" {
		return
	}
	page, err := w.Page.Keep()
	var data []byte
	if err == nil {
		data, err = json.Marshal(lay{page, w.file, w.clean, w.Picture, w.sound, w.spare})
	}
	if err != nil {
		w.host.Fault(said.Sentence(err))
		return
	}
	if w.journal == nil {
		w.journal = newJournal(w.means.Journal, func(err error) {
			w.host.Post(func() {
				w.host.Fault(words.Say("desk.writing.not-noted", "err", err))
				w.host.Changed()
			})
		})
	}
	w.journal.put(data)
}

// mostJournal is the largest journal that is read, bytes.
const mostJournal = 64 << 20

// restore lays out the page that the journal keeps.
func (w *Writing) restore() {
	if w.means.Journal == "" {
		return
	}
	info, err := os.Stat(w.means.Journal)
	if errors.Is(err, fs.ErrNotExist) {
		return
	}
	var data []byte
	if err == nil && info.Size() <= mostJournal {
		data, err = os.ReadFile(w.means.Journal)
	}
	var l lay
	var page *manuscript.Manuscript
	ok := err == nil && json.Unmarshal(data, &l) == nil
	if ok {
		page, ok = manuscript.Restore(l.Page)
	}
	if !ok {
		aside := w.means.Journal + ".unreadable"
		if os.Rename(w.means.Journal, aside) == nil {
			w.host.Fault(words.Say("desk.writing.unreadable", "file", aside))
		}
		return
	}
	w.Page, w.file, w.clean, w.sound, w.spare = page, l.File, l.Clean, l.Sound, l.Spare
	if _, err := os.Stat(w.spare); err == nil {
		w.host.Say(words.Say("desk.writing.spare", "file", w.spare))
	}
	if l.Picture != "" {
		if scan, err := readPicture(l.Picture); err == nil {
			w.Picture, w.Scan = l.Picture, scan
		}
	}
	if w.file != "" {
		w.kept, _ = os.ReadFile(w.file)
		if w.clean { // what it was when it was kept, unless another changed it since
			if now, err := w.written(); err != nil || !bytes.Equal(now, w.kept) {
				w.clean, w.kept = false, nil
			}
		}
	}
}

// journal writes a file whole, again and again: always what was put last.
type journal struct {
	latest chan []byte
	done   chan struct{}
}

func newJournal(path string, failed func(error)) *journal {
	j := &journal{latest: make(chan []byte, 1), done: make(chan struct{})}
	go func() {
		defer close(j.done)
		said := false
		for data := range j.latest {
			if err := wholefile.Write(path, data); err != nil && !said {
				said = true
				failed(err)
			}
		}
	}()
	return j
}

// put has it written; what was not yet written before need not be.
func (j *journal) put(data []byte) {
	select {
	case <-j.latest:
	default:
	}
	j.latest <- data
}

// close waits until all is written.
func (j *journal) close() {
	if j != nil {
		close(j.latest)
		<-j.done
	}
}
