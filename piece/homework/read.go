package homework

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"endpin/piece/words"
)

// What may lie in a file, in bytes unpacked.
const (
	mostAsked = 64 << 10
	mostPiece = 32 << 20  // what package notation reads
	mostSound = 512 << 20 // an hour at 48 kHz, 16 bits, and half as much again
)

// mostEntries is how many entries a file may have, and mostListed how many bytes of it are
// read before they are known: the zip reader would take a list of any length into memory.
const (
	mostEntries = 64
	mostListed  = 1 << 20
)

// ErrOther is that a file is no homework.
var ErrOther = errors.New("no homework")

// File is homework that was read. Sounds are read from it as long as it is open.
type File struct {
	Homework
	Score []byte // the piece
	Take  *Take  // that was handed in; nil for none

	name    string
	entries map[string]*zip.File
}

// Read reads the file of a name from its content. The error is ErrOther where it is
// something else, even another zip.
func Read(name string, content io.ReaderAt, size int64) (*File, error) {
	head := make([]byte, 4)
	if _, err := content.ReadAt(head, 0); err != nil || string(head) != "PK\x03\x04" {
		return nil, ErrOther
	}
	f := &File{name: name, entries: map[string]*zip.File{}}
	if err := f.read(content, size); errors.Is(err, ErrOther) {
		return nil, ErrOther
	} else if err != nil {
		return nil, words.Fault("homework.file", "file", name, "reason", err)
	}
	return f, nil
}

func (f *File) read(content io.ReaderAt, size int64) error {
	list := &thrifty{ReaderAt: content, left: mostListed}
	archive, err := zip.NewReader(list, size)
	switch {
	case err != nil && !begins(content):
		return ErrOther
	case list.left < 0:
		return words.Fault("homework.entries", "most", mostEntries)
	case err != nil:
		return words.Fault("homework.damaged")
	}
	list.left = 1 << 62 // from here on each entry has its own bound
	twice := ""
	for _, e := range archive.File {
		if f.entries[e.Name] != nil {
			twice = e.Name
		}
		f.entries[e.Name] = e
	}
	if f.entries[askedName] == nil {
		return ErrOther
	}
	if len(archive.File) > mostEntries {
		return words.Fault("homework.entries", "most", mostEntries)
	}
	if twice != "" {
		return words.Fault("homework.twice", "entry", words.QuotedHead(twice, longestName))
	}
	for _, e := range archive.File {
		if name := strings.ReplaceAll(e.Name, `\`, "/"); path.IsAbs(name) || strings.HasPrefix(path.Clean(name), "..") {
			return words.Fault("homework.outside", "entry", words.QuotedHead(e.Name, longestName))
		}
	}
	if err := f.object(askedName, &f.Homework, func() (err error) { f.Homework, err = f.Check(); return err }); err != nil {
		return err
	}
	if f.Score, err = f.whole(f.pieceEntry(), mostPiece); err != nil {
		return err
	}
	if f.Example != "" && f.entries[f.Example] == nil {
		return words.Fault("homework.absent", "entry", words.Quoted(f.Example))
	}
	if f.entries[takeName] == nil {
		return nil
	}
	if f.entries[soundName] == nil {
		return words.Fault("homework.absent", "entry", words.Quoted(soundName))
	}
	f.Take = &Take{}
	return f.object(takeName, f.Take, func() (err error) { *f.Take, err = f.Take.check(); return err })
}

// pieceEntry names the entry with the piece.
func (f *File) pieceEntry() string {
	for _, end := range pieceEnds {
		if f.entries[pieceName+end] != nil {
			return pieceName + end
		}
	}
	return pieceName + pieceEnds[0]
}

// begins reports whether a damaged zip begins as those written here do.
func begins(content io.ReaderAt) bool {
	head := make([]byte, 30+len(textName)) // the local header with its name (APPNOTE 4.3.7)
	_, err := content.ReadAt(head, 0)
	return err == nil && string(head[30:]) == textName
}

// object reads an entry of JSON, whose version must be one that is known, and checks it.
func (f *File) object(entry string, into any, check func() error) error {
	data, err := f.whole(entry, mostAsked)
	if err != nil {
		return err
	}
	of := func(err error) error { return words.Fault("homework.entry", "entry", entry, "reason", err) }
	var made struct {
		Version int `json:"version"`
	}
	if err := json.Unmarshal(data, &made); err == nil && made.Version > version {
		return of(words.Fault("homework.version", "version", made.Version))
	}
	if err := json.Unmarshal(data, into); err != nil {
		return of(ofJSON(err))
	}
	if made.Version < 1 {
		return of(words.Fault("homework.version.none"))
	}
	if err := check(); err != nil {
		return of(err)
	}
	return nil
}

// whole reads an entry, and no more of it than so many bytes.
func (f *File) whole(entry string, most int64) ([]byte, error) {
	r, err := f.open(entry, most)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil && !errors.Is(err, errLarge) {
		return nil, words.Fault("homework.damaged-inside", "entry", words.Quoted(entry))
	}
	if err != nil {
		return nil, words.Fault("homework.large", "entry", words.Quoted(entry), "mb", fmt.Sprintf("%.2g", float64(most)/(1<<20)))
	}
	return bytes.Clone(data), nil
}

func (f *File) open(entry string, most int64) (io.ReadCloser, error) {
	e := f.entries[entry]
	if e == nil {
		return nil, words.Fault("homework.absent", "entry", words.Quoted(entry))
	}
	r, err := e.Open()
	if err != nil {
		return nil, words.Fault("homework.damaged-inside", "entry", words.Quoted(entry))
	}
	return &bounded{r, most}, nil
}

// Sound opens the sound of the take that was handed in, a WAV.
func (f *File) Sound() (io.ReadCloser, error) { return f.sound(soundName) }

// Shown opens the teacher's recording.
func (f *File) Shown() (io.ReadCloser, error) { return f.sound(f.Example) }

func (f *File) sound(entry string) (io.ReadCloser, error) {
	r, err := f.open(entry, mostSound)
	if err != nil {
		return nil, words.Fault("homework.file", "file", f.name, "reason", err)
	}
	return r, nil
}

// thrifty reads so many bytes and then nothing.
type thrifty struct {
	io.ReaderAt
	left int64
}

func (t *thrifty) ReadAt(b []byte, at int64) (int, error) {
	if t.left -= int64(len(b)); t.left < 0 {
		return 0, errLarge
	}
	return t.ReaderAt.ReadAt(b, at)
}

var errLarge = errors.New("larger than it may be")

// bounded ends with errLarge where an entry is larger than it may be.
type bounded struct {
	io.ReadCloser
	left int64
}

func (b *bounded) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	if b.left -= int64(n); b.left < 0 {
		return 0, errLarge
	}
	return n, err
}
