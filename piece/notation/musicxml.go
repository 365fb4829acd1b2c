package notation

import (
	"encoding/xml"
	"regexp"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/outside"
	"endpin/piece/words"
)

// readMusicXML reads a partwise or timewise score in one pass, or in two where
// the score has several parts and which of them has notes must be seen first.
func readMusicXML(text []byte, o options) (*draft, error) {
	sc := score{text: asDeclared(text)}
	if longTag(sc.text) {
		return nil, words.Fault("notation.xml.endless-tag")
	}
	if tooDeep(sc.text) {
		return nil, words.Fault("notation.xml.deep")
	}
	if err := sc.scan(nil, nil); err != nil {
		return nil, err
	}
	c, err := choose(sc.parts, o.part, o.supposing.family)
	if err != nil {
		return nil, err
	}
	taken := &sc.parts[c.index]
	r := newMeasureReader(*taken)
	r.traced = o.traced
	r.title, r.composer, r.school = sc.title, sc.composer, sc.school
	if err := sc.scan(&taken.id, r.read); err != nil {
		return nil, err
	}
	d := r.done()
	d.taken, d.parts = c.taken(sc.parts, o.supposing.instrument), c.listed(sc.parts, o.supposing.family)
	return d, nil
}

// declares finds an encoding named in the XML declaration.
var declares = regexp.MustCompile(`^\s*<\?xml[^>]*\sencoding\s*=`)

// asDeclared leaves XML to its declaration; XML that declares no encoding must
// be UTF-8 and is read as Latin-1 where it is not.
func asDeclared(text []byte) []byte {
	if declares.Match(text[:min(len(text), 256)]) {
		return text
	}
	return asUTF8(text)
}

// score walks over a MusicXML document.
type score struct {
	text            []byte
	parts           []part
	title, composer string
	school          string // of fingering, as Write keeps it
}

// scan goes through the document. With no part wanted it gathers the head of
// the score and what its parts are; else it hands every measure of
// that part to read.
func (s *score) scan(wanted *string, read func(measure *element) error) error {
	d := newDecoder(s.text)
	root, err := rootOf(d)
	if err != nil {
		return xmlError(d, err)
	}
	outer, inner := "part", "measure"
	switch root.Name.Local {
	case "score-partwise":
	case "score-timewise":
		outer, inner = "measure", "part"
	default:
		return words.Fault("notation.xml.root", "element", short(root.Name.Local))
	}
	for {
		tok, err := d.Token()
		if err != nil {
			return xmlError(d, err)
		}
		switch tok := tok.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if tok.Name.Local == outer {
				err = s.outer(d, tok, inner, wanted, read)
			} else if wanted != nil {
				err = d.Skip()
			} else {
				err = s.head(d, tok)
			}
			if err != nil {
				return xmlError(d, err)
			}
		}
	}
}

// outer reads one <part> of a partwise score, or one <measure> of a timewise.
func (s *score) outer(d *xml.Decoder, start xml.StartElement, inner string, wanted *string, read func(*element) error) error {
	for {
		tok, err := d.Token()
		if err != nil {
			return err
		}
		switch tok := tok.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if tok.Name.Local != inner {
				if err := d.Skip(); err != nil {
					return err
				}
				continue
			}
			partStart, measureStart := start, tok
			if inner == "part" {
				partStart, measureStart = tok, start
			}
			id := attrOf(partStart, "id")
			switch {
			case wanted == nil:
				err = s.survey(d, id)
			case *wanted != id:
				err = d.Skip()
			default:
				var tree *element
				if tree, err = readTree(d, tok); err == nil {
					tree.attrs = measureStart.Attr
					err = read(tree)
				}
			}
			if err != nil {
				return err
			}
		}
	}
}

func attrOf(e xml.StartElement, name string) string {
	return (&element{attrs: e.Attr}).attr(name)
}

// survey looks at one measure of a part: how it is written, where its notes lie and
// whether they are sung.
func (s *score) survey(d *xml.Decoder, id string) error {
	p := s.partByID(id)
	for depth := 0; ; {
		tok, err := d.Token()
		if err != nil {
			return err
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			switch tok.Name.Local {
			case "pitch", "lyric", "clef", "transpose", "staves":
				e, err := readTree(d, tok)
				if err != nil {
					return err
				}
				p.survey(e)
			default:
				depth++
			}
		case xml.EndElement:
			if depth == 0 {
				return nil
			}
			depth--
		}
	}
}

// survey takes in one of the elements that tell what a part is.
func (p *part) survey(e *element) {
	switch e.name {
	case "pitch":
		p.note(piece.Spelling{Step: e.of("step"), Octave: e.number("octave", 4)}.Pitch() + p.shift)
	case "lyric":
		p.sung++
	case "staves":
		p.staves, _ = strconv.Atoi(e.value())
	case "clef":
		if n := e.attr("number"); n != "" && n != "1" {
			return // another staff's
		}
		if sign := e.of("sign"); sign == "F" || sign == "G" || sign == "C" {
			p.clef = sign
		}
		if by := e.number("clef-octave-change", 0); by != 0 && p.notes == 0 && !p.written.stated {
			p.written = transposition{stated: true, semitones: piece.Octave * by}
		}
	case "transpose":
		p.shift = semitonesOf(e)
		p.written = transposition{stated: true, semitones: p.shift}
	}
}

// maxParts bounds how many parts a score may have.
const maxParts = 1000

// partByID finds a part, or adds one that the part list forgot.
func (s *score) partByID(id string) *part {
	for i := range s.parts {
		if s.parts[i].id == id {
			return &s.parts[i]
		}
	}
	if len(s.parts) < maxParts {
		s.parts = append(s.parts, part{id: id})
	}
	return &s.parts[len(s.parts)-1]
}

// head reads one element before the music: titles and the part list.
func (s *score) head(d *xml.Decoder, start xml.StartElement) error {
	switch start.Name.Local {
	case "work", "movement-title", "identification", "part-list":
	default:
		return d.Skip()
	}
	e, err := readTree(d, start)
	if err != nil {
		return err
	}
	switch e.name {
	case "work":
		if title := e.of("work-title"); title != "" && s.title == "" {
			s.title = title
		}
	case "movement-title":
		if title := e.value(); title != "" && s.title == "" {
			s.title = title
		}
	case "identification":
		for _, c := range e.all("creator") {
			if c.attr("type") == "composer" || s.composer == "" && c.attr("type") == "" {
				s.composer = c.value()
			}
		}
		for _, m := range e.all("miscellaneous") {
			for _, f := range m.all("miscellaneous-field") {
				if f.attr("name") == SchoolField {
					s.school = f.value()
				}
			}
		}
	case "part-list":
		for _, sp := range e.all("score-part") {
			if len(s.parts) < maxParts {
				s.parts = append(s.parts, partOf(sp))
			}
		}
	}
	return nil
}

// partOf reads a <score-part>.
func partOf(sp *element) part {
	p := part{id: sp.attr("id"), name: strings.Join(strings.Fields(sp.of("part-name")), " ")}
	for _, i := range sp.all("score-instrument") {
		p.about = append(p.about, i.of("instrument-name"))
		p.sounds = append(p.sounds, i.of("instrument-sound"))
	}
	p.about = append(p.about, sp.of("part-abbreviation"))
	for _, m := range sp.all("midi-instrument") {
		if p.program == 0 {
			p.program, _ = strconv.Atoi(m.of("midi-program"))
		}
	}
	return p
}

// short keeps a word from the file short enough for one line.
func short(s string) string { return outside.Short(s, 40) }

// maxPrinted is the most measures that a piece may print.
const maxPrinted = piece.MaxPlayed
