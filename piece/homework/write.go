package homework

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
	"time"

	"endpin/piece/words"
)

// The entries of a file.
const (
	textName    = "homework.txt"
	askedName   = "homework.json"
	pieceName   = "piece"   // with the ending of its file
	exampleName = "example" // with the ending of the teacher's recording
	takeName    = "take.json"
	soundName   = "take.wav"
)

// pieceEnds are how the file of a piece may end; the first serves for all others.
var pieceEnds = []string{".musicxml", ".xml", ".mxl", ".abc", ".mid", ".midi"}

// Contents are what lies in a file beside what is asked.
type Contents struct {
	Piece      []byte
	Example    io.Reader // the teacher's recording; nil for none
	ExampleEnd string    // how its file's name ends: ".m4a"
	Take       *Take     // nil for none
	Sound      io.Reader // of the take, as WAV
}

// Write writes a file of homework, or with a take one that is handed in.
func Write(to io.Writer, h Homework, c Contents) error {
	h.Version, h.Example = version, ""
	if c.Example != nil {
		h.Example = exampleName + c.ExampleEnd
	}
	h, err := h.Check()
	if err != nil {
		return err
	}
	archive := zip.NewWriter(to)
	at := h.Made
	var take []byte
	if c.Take != nil {
		t, err := c.Take.check()
		if err != nil {
			return err
		}
		t.Version, at = version, t.Played
		if take, err = indented(t); err != nil {
			return err
		}
		c.Take = &t
	}
	asked, err := indented(h)
	if err != nil {
		return err
	}
	entry := func(name string, method uint16, from io.Reader) {
		if err != nil || from == nil {
			return
		}
		var w io.Writer
		if w, err = archive.CreateHeader(&zip.FileHeader{Name: name, Method: method, Modified: at.Truncate(time.Second)}); err == nil {
			_, err = io.Copy(w, from)
		}
	}
	text := func(name string, content []byte) { entry(name, zip.Deflate, bytes.NewReader(content)) }
	text(textName, []byte(h.text(c.Take)))
	text(askedName, asked)
	text(pieceName+endOf(h.File, c.Piece), c.Piece)
	entry(h.Example, zip.Store, c.Example) // recordings are mostly packed already
	if take != nil {
		text(takeName, take)
		entry(soundName, zip.Deflate, c.Sound)
	}
	if e := archive.Close(); err == nil {
		err = e
	}
	return err
}

// endOf is how the entry of a piece ends: as its file did, unless it was marked since in a
// copy as MusicXML.
func endOf(file string, score []byte) string {
	end := strings.ToLower(path.Ext(file))
	xml := bytes.HasPrefix(bytes.TrimLeft(score, "\ufeff \t\r\n"), []byte("<"))
	if !slices.Contains(pieceEnds, end) || xml && end != ".xml" {
		return pieceEnds[0]
	}
	return end
}

func indented(v any) ([]byte, error) {
	data, err := json.MarshalIndent(v, "", "  ")
	return append(data, '\n'), err
}

// text is what people read who open the file with another program.
func (h Homework) text(t *Take) string {
	var b strings.Builder
	for _, line := range h.Lines() {
		fmt.Fprintln(&b, line)
	}
	if h.Text != "" {
		fmt.Fprintf(&b, "\n%s\n", h.Text)
	}
	if t != nil {
		fmt.Fprintf(&b, "\n%s\n", words.Of("homework.says.handed-in", "player", t.Player, "when", words.Day(t.Played).WithHour()))
	}
	fmt.Fprintf(&b, "\n%s\n", words.Of("homework.says.open"))
	return b.String()
}

// HandIn writes the homework with a take of it, whose sound is a WAV.
func (f *File) HandIn(to io.Writer, t Take, sound io.Reader) error {
	return Write(to, f.Homework, Contents{Piece: f.Score, Take: &t, Sound: sound})
}
