package job

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"endpin/piece/diary"
	"endpin/piece/wholefile"
	"endpin/piece/words"
)

// Outputs is what a run writes, by one policy for every command. Never written over is
// what is read, a diary or what lies beside it, and what the same run writes elsewhere.
// A file that Endpin did not write, or that was changed since, stays, and the new one
// gets another name. What Endpin wrote is known by its content, the SHA-256 at its end, and
// in a class's folder by a list.
type Outputs struct {
	Replace bool // write over what Endpin did not write, too

	reads []string
	where map[string]string // what is written, by the option that asks for it
	known map[string]string // SHA-256 of what lies in a class's folder, by its name
	wrote []string
	stays []words.Sentence
}

// Reads says that files are read, and recordings of a folder; "" is none.
func (o *Outputs) Reads(paths ...string) { o.reads = append(o.reads, paths...) }

// Ask looks whether a file may be written that an option asks for, before anything is
// done. "" and - are no files. What is no plain file, such as a pipe, may.
func (o *Outputs) Ask(option, path string) error {
	if path == "" || path == "-" {
		return nil
	}
	if runtime.GOOS == "windows" && Device(path) {
		return words.Fault("job.output.device", "option", option, "file", path)
	}
	for _, in := range o.reads {
		if in != "" && (same(path, in) || isFolder(in) && exists(path) && same(filepath.Dir(path), in)) {
			return words.Fault("job.output.read", "option", option, "file", path)
		}
	}
	if diary.Is(path) {
		return words.Fault("job.output.diary", "option", option, "file", path)
	}
	for other, there := range o.where {
		if other != option && same(path, there) {
			return words.Fault("job.output.two", "option", option, "other", other, "file", path)
		}
	}
	if o.where == nil {
		o.where = map[string]string{}
	}
	o.where[option] = path
	return nil
}

// Write writes a file whole or not at all and tells where.
func (o *Outputs) Write(path string, write func(io.Writer) error) (written string, err error) {
	written = o.Free(path)
	return written, WriteFile(written, write)
}

// Sign is Write for a page or a score, at whose end stands by what it is known again.
func (o *Outputs) Sign(path string, write func(io.Writer) error) (written string, err error) {
	return o.Write(path, Signed(write))
}

// JSON is Write for an object as other programs read it.
func (o *Outputs) JSON(path string, v any) (written string, err error) {
	return o.Write(path, func(w io.Writer) error { return SealedJSON(w, v) })
}

// SealedJSON writes an object as WriteJSON does, with a last field sha256 by which a
// file is known again.
func SealedJSON(w io.Writer, v any) error {
	var text bytes.Buffer
	if err := WriteJSON(&text, v); err != nil {
		return err
	}
	body, isObject := bytes.CutSuffix(text.Bytes(), []byte(objectEnd))
	if isObject {
		body = append(bytes.Clone(body), seal(text.Bytes())...)
	}
	_, err := w.Write(body)
	return err
}

// Knows takes a list of what an earlier run wrote into a folder: by a file's name what it held.
func (o *Outputs) Knows(list map[string]string) { o.known = list }

// Wrote reports whether a file of that list holds what it held.
func (o *Outputs) Wrote(path string, data []byte) bool {
	return strings.Contains(o.known[filepath.Base(path)], Digest(data))
}

// Leave notes a file that stays as it was, and that nothing new was written for.
func (o *Outputs) Leave(path string) {
	o.stays = append(o.stays, words.Of("job.output.left", "file", path))
}

// Stays says of each file that was left as it was where the new one lies.
func (o *Outputs) Stays() []words.Sentence { return o.stays }

// Free is the name under which a file is written: its own, or the first that is free
// or Endpin's, and that this run has not written.
func (o *Outputs) Free(path string) string {
	name := wholefile.Named(path, func(p string) bool { return !slices.Contains(o.wrote, p) && (o.Replace || o.Ours(p)) })
	if name != path {
		o.stays = append(o.stays, words.Of("job.output.stays", "file", path, "new", name))
	}
	if info, err := os.Stat(name); err != nil || info.Mode().IsRegular() {
		o.wrote = append(o.wrote, name)
	}
	return name
}

// Ours reports whether a file may be written over: where there is none, where it is no
// plain file (a folder refuses by itself), and where it is as Endpin wrote it.
func (o *Outputs) Ours(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return true
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return false
	}
	if o.Wrote(path, data) {
		return true
	}
	at := bytes.LastIndex(data, []byte(signature))
	if at >= 0 && string(data[at:]) == sign(data[:at]) {
		return true
	}
	at = bytes.LastIndex(data, []byte(sealed))
	return at >= 0 && string(data[at:]) == seal(append(data[:at:at], objectEnd...))
}

// sealed begins the last field of JSON in a file, and objectEnd is what it ends without.
const (
	sealed    = ",\n \"sha256\": \""
	objectEnd = "\n}\n"
)

func seal(text []byte) string { return sealed + Digest(text) + "\"" + objectEnd }

// signature begins the last line of a page or a score (an HTML and XML comment).
const signature = "\n<!-- as Endpin wrote it: "

func sign(text []byte) string { return signature + Digest(text) + " -->\n" }

// Digest is by what a text is known again: its SHA-256.
func Digest(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) }

// Signed writes a page or a score with what wrote it and its signature.
func Signed(write func(io.Writer) error) func(io.Writer) error {
	return func(w io.Writer) error {
		var text bytes.Buffer
		if err := write(&text); err != nil {
			return err
		}
		fmt.Fprintf(&text, "\n<!-- %s -->", Version("endpin"))
		text.WriteString(sign(text.Bytes()))
		_, err := w.Write(text.Bytes())
		return err
	}
}

// same reports whether two names are of one file, which need not be there.
func same(a, b string) bool {
	x, errX := filepath.Abs(a)
	y, errY := filepath.Abs(b)
	return errX == nil && errY == nil && x == y || SameFile(a, b)
}

// SameFile reports whether two names are of one file that is there.
func SameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}
