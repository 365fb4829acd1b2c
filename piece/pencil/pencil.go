package pencil

import (
	"bytes"

	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/notation"
	"endpin/piece/words"
)

// Pencil is a file of music that is being marked. It belongs to one goroutine.
type Pencil struct {
	Piece *piece.Piece // as it is read now

	name    string
	options []notation.Option
	file    []byte
	copied  bool
	undone  [][]byte // files after this one, the next last
	before  [][]byte // files before it, the last last
}

// Open takes up a file; name is for errors. What is no MusicXML in UTF-8 is marked as a
// copy in it.
func Open(name string, data []byte, options ...notation.Option) (*Pencil, error) {
	if notation.Spliceable(data) {
		p := &Pencil{name: name, options: options}
		return p, p.lay(data)
	}
	music, err := notation.Read(name, data, options...)
	if err != nil {
		return nil, err
	}
	if score, ok := notation.Unpacked(data); ok {
		p := &Pencil{name: name, options: options, copied: true} // it may hold other parts, too
		return p, p.lay(score)
	}
	return Of(name, music)
}

// Of takes up a piece that lies in no file of MusicXML, as a copy in it.
func Of(name string, music *piece.Piece) (*Pencil, error) {
	var b bytes.Buffer
	if err := export.MusicXML(&b, music, export.Options{}); err != nil {
		return nil, err
	}
	p := &Pencil{name: name, copied: true}
	return p, p.lay(b.Bytes())
}

// Apart is another pencil on the same file as it is now, with nothing to undo.
func (p *Pencil) Apart() *Pencil {
	x := *p
	x.before, x.undone = nil, nil
	return &x
}

// lay reads a file as it is now.
func (p *Pencil) lay(file []byte) error {
	read, err := notation.Read(p.name, file, p.options...)
	if err == nil {
		p.file, p.Piece = file, read
	}
	return err
}

// Bytes is the file with its marks.
func (p *Pencil) Bytes() []byte { return p.file }

// Copied reports whether the marks cannot go into the file itself, which is no MusicXML in
// UTF-8, but into a copy alone.
func (p *Pencil) Copied() bool { return p.copied }

// Kept says that the copy lies in a file of its own now, into which marks can go.
func (p *Pencil) Kept() { p.copied = false }

// Note sets finger, string, position and bow of a note as they are in m; empty ones are
// taken away.
func (p *Pencil) Note(at piece.At, m piece.Marks) error {
	file, err := notation.PencilNote(p.name, p.file, at, m, p.options...)
	if err != nil {
		return err
	}
	return p.put(file, func() error {
		if is := p.Piece.Measures[at.Measure].Notes[at.Note].Marks; notation.Pencilled(is) != notation.Pencilled(m) {
			return words.Fault("pencil.printed", "file", p.name, "measure", p.Piece.Measures[at.Measure].Number)
		}
		return nil
	})
}

// Measure sets the signs of a measure, an index into the piece's, as they are in s.
func (p *Pencil) Measure(i int, s notation.Signs) error {
	file, err := notation.PencilMeasure(p.name, p.file, i, s, p.options...)
	if err != nil {
		return err
	}
	return p.put(file, func() error {
		is := notation.SignsOf(&p.Piece.Measures[i])
		if notation.Obeyed(s.Text) {
			is.Text, is.RepeatEnd = s.Text, s.RepeatEnd // it stands elsewhere in the piece
		}
		if is != s {
			return words.Fault("pencil.printed", "file", p.name, "measure", p.Piece.Measures[i].Number)
		}
		return nil
	})
}

// put goes on with a file, unless it is not read as was meant.
func (p *Pencil) put(file []byte, meant func() error) error {
	was := p.file
	if string(file) == string(was) {
		return meant()
	}
	err := p.lay(file)
	if err == nil {
		err = meant()
	}
	if err != nil {
		_ = p.lay(was) // which was read before
		return err
	}
	p.before, p.undone = append(p.before, was), nil
	return nil
}

// Steps reports whether there is a change to take back, and one to make again.
func (p *Pencil) Steps() (back, on bool) { return len(p.before) > 0, len(p.undone) > 0 }

// Undo takes the last change back; it reports whether there was one.
func (p *Pencil) Undo() bool { return p.step(&p.before, &p.undone) }

// Redo makes a change again that was taken back.
func (p *Pencil) Redo() bool { return p.step(&p.undone, &p.before) }

func (p *Pencil) step(from, to *[][]byte) bool {
	n := len(*from)
	if n == 0 {
		return false
	}
	was := p.file
	if p.lay((*from)[n-1]) != nil {
		return false
	}
	*from, *to = (*from)[:n-1], append(*to, was)
	return true
}
