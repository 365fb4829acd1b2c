package outline

import (
	"io"

	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/fingerboard"
)

// WriteMusicXML writes the piece with what a teacher would pencil in: fingers,
// strings and positions, a bracket over each hand frame, a rehearsal mark at
// each section. Marks that stand in the piece stay. p is the piece outlined.
//
// Read again without options, or with those of the outline, the file is
// fingered as here, but where a written repeat was fingered in two ways: print
// has room for one.
func (out *Outline) WriteMusicXML(w io.Writer, p *piece.Piece, how fingerboard.Penciled) error {
	tempo := p.TempoAt(0, 0)
	if tempo == 0 {
		tempo = piece.Unhurried
	}
	marked := out.in.Marked(p, out.Line, out.Plan, fingerboard.Options{QPM: tempo}, how)
	line, _ := marked.Line()
	marked = out.in.Marked(marked, line, out.Plan, out.asked, how)
	if out.in.Chosen || p.School != "" {
		marked.School = out.in.System.School
	}
	o := export.Options{Sections: out.rehearsals(p)}
	for _, s := range out.frames(p) {
		o.Brackets = append(o.Brackets, export.Bracket{From: s[0], To: s[1]})
	}
	return export.MusicXML(w, marked, o)
}

// frames gives the first and the last printed note of each hand frame, as it is
// played the first time round; none begins before another ends.
func (out *Outline) frames(p *piece.Piece) [][2]piece.At {
	var all [][2]piece.At
	frame := -1
	for i, f := range out.Plan.Notes {
		n := &out.Line[i]
		if !f.Stopped() || n.Pass > 1 {
			continue
		}
		end := tiedEnd(p, piece.At{Measure: n.Measure, Note: n.Note})
		if f.Frame != frame {
			frame = f.Frame
			all = append(all, [2]piece.At{{Measure: n.Measure, Note: n.Note}})
		}
		all[len(all)-1][1] = end
	}
	return all
}

// tiedEnd is the last of the notes that a printed note is tied to in the notes
// that follow it on the page.
func tiedEnd(p *piece.Piece, at piece.At) piece.At {
	for {
		n := &p.Measures[at.Measure].Notes[at.Note]
		next := piece.At{Measure: at.Measure, Note: at.Note + 1}
		for next.Measure < len(p.Measures) && next.Note >= len(p.Measures[next.Measure].Notes) {
			next = piece.At{Measure: next.Measure + 1}
		}
		if !n.TieToNext || next.Measure == len(p.Measures) {
			return at
		}
		after := &p.Measures[next.Measure].Notes[next.Note]
		if after.Rest || after.Grace || after.MIDI != n.MIDI {
			return at
		}
		at = next
	}
}

// rehearsals letters the sections, but where the piece has marks of its own.
func (out *Outline) rehearsals(p *piece.Piece) []export.Section {
	if len(out.Parts) < 2 {
		return nil
	}
	for i := range p.Measures {
		if p.Measures[i].Rehearsal != "" {
			return nil
		}
	}
	var all []export.Section
	for i, r := range out.Parts {
		all = append(all, export.Section{Measure: r.First, Name: letter(i)})
	}
	return all
}

// letter counts A to Z, AA, AB, as rehearsal marks do.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}
