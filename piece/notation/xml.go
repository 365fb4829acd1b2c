package notation

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"

	"endpin/piece/words"

	"golang.org/x/text/encoding/htmlindex"
)

// maxDepth is the deepest nesting of elements; MusicXML needs about ten.
const maxDepth = 64

// element is one XML element. Its methods may be called on nil, which stands
// for an element that is not there.
type element struct {
	name  string
	attrs []xml.Attr
	text  string
	kids  []*element
	at    span
}

// span is where an element stands in the text that it was read from, in bytes: from the
// first of its start tag to the one after its end tag, and what lies between the two.
type span struct{ from, inner, end, to int }

func (e *element) child(name string) *element {
	if e != nil {
		for _, k := range e.kids {
			if k.name == name {
				return k
			}
		}
	}
	return nil
}

func (e *element) all(name string) []*element {
	var found []*element
	if e != nil {
		for _, k := range e.kids {
			if k.name == name {
				found = append(found, k)
			}
		}
	}
	return found
}

func (e *element) has(name string) bool { return e.child(name) != nil }

// value is the element's own text, trimmed.
func (e *element) value() string {
	if e == nil {
		return ""
	}
	return strings.TrimSpace(e.text)
}

// of is the text of a child.
func (e *element) of(name string) string { return e.child(name).value() }

func (e *element) attr(name string) string {
	if e != nil {
		for _, a := range e.attrs {
			if a.Name.Local == name {
				return strings.TrimSpace(a.Value)
			}
		}
	}
	return ""
}

// number reads the text of a child as a whole number.
func (e *element) number(name string, otherwise int) int {
	n, err := strconv.Atoi(e.of(name))
	if err != nil {
		return otherwise
	}
	return n
}

// newDecoder reads XML in any encoding that its declaration names. Entities
// beyond XML's own five are not known to it, so none can be expanded.
func newDecoder(text []byte) *xml.Decoder {
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = func(label string, r io.Reader) (io.Reader, error) {
		if strings.HasPrefix(strings.ToLower(label), "utf-16") {
			return r, nil // decoded already, by its byte order mark
		}
		enc, err := htmlindex.Get(label)
		if err != nil {
			return nil, words.Fault("notation.xml.encoding", "name", words.Quoted(label))
		}
		return enc.NewDecoder().Reader(r), nil
	}
	return d
}

// maxElements is the most elements in one measure or one head of a score.
const maxElements = 200000

// readTree reads the rest of an element whose start has been read.
func readTree(d *xml.Decoder, start xml.StartElement) (*element, error) {
	left := maxElements
	return readElement(d, start, 0, 0, &left)
}

func readElement(d *xml.Decoder, start xml.StartElement, from int64, depth int, left *int) (*element, error) {
	if depth > maxDepth {
		return nil, words.Fault("notation.xml.too-deep")
	}
	if *left--; *left < 0 {
		return nil, words.Fault("notation.xml.too-many")
	}
	inner := int(d.InputOffset())
	e := &element{name: start.Name.Local, attrs: start.Attr, at: span{from: int(from), inner: inner}}
	var text []byte
	for {
		here := d.InputOffset()
		tok, err := d.Token()
		if err != nil {
			return nil, err
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			kid, err := readElement(d, tok, here, depth+1, left)
			if err != nil {
				return nil, err
			}
			e.kids = append(e.kids, kid)
		case xml.CharData:
			text = append(text, tok...)
		case xml.EndElement:
			if len(e.kids) == 0 { // text between elements is only layout
				e.text = string(text)
			}
			e.at.end, e.at.to = int(here), int(d.InputOffset())
			return e, nil
		}
	}
}

// maxTag is the longest tag read, in bytes.
const maxTag = 64 << 10

// longTag finds a tag so long that only an attack would write it; the decoder
// would take all of its attributes into memory at once.
func longTag(text []byte) bool {
	for rest := text; ; {
		from := bytes.IndexByte(rest, '<')
		if from < 0 {
			return false
		}
		rest = rest[from:]
		if len(rest) > 1 && (rest[1] == '!' || rest[1] == '?') { // comments may be long
			rest = rest[1:]
			continue
		}
		if end := bytes.IndexByte(rest, '>'); end > maxTag || end < 0 && len(rest) > maxTag {
			return true
		} else if end > 0 {
			rest = rest[end:]
		} else {
			return false
		}
	}
}

// deepest is how deep elements may lie in each other before the decoder, which
// remembers all that are open, is given them. Tags in comments are counted too.
const deepest = 10000

// tooDeep finds elements in each other as only an attack would write them.
func tooDeep(text []byte) bool {
	for depth, rest := 0, text; ; {
		from := bytes.IndexByte(rest, '<')
		if from < 0 || from+1 >= len(rest) {
			return false
		}
		if rest = rest[from+1:]; rest[0] == '!' || rest[0] == '?' {
			continue
		}
		end := bytes.IndexByte(rest, '>')
		if end < 1 {
			return false
		}
		switch {
		case rest[end-1] == '/':
		case rest[0] == '/':
			depth = max(0, depth-1)
		default:
			if depth++; depth > deepest {
				return true
			}
		}
		rest = rest[end:]
	}
}

// parseXML reads a whole small document.
func parseXML(text []byte) (*element, error) {
	d := newDecoder(text)
	root, err := rootOf(d)
	if err != nil {
		return nil, err
	}
	return readTree(d, root)
}

// rootOf reads up to the start of the document's outermost element.
func rootOf(d *xml.Decoder) (xml.StartElement, error) {
	for {
		tok, err := d.Token()
		if err != nil {
			return xml.StartElement{}, err
		}
		if start, ok := tok.(xml.StartElement); ok {
			return start, nil
		}
	}
}

// xmlError names the line at which XML breaks off or breaks a rule.
func xmlError(d *xml.Decoder, err error) error {
	var already *placed
	if errors.As(err, &already) {
		return err
	}
	line, _ := d.InputPos()
	var syntax *xml.SyntaxError
	switch {
	case errors.Is(err, io.EOF), errors.As(err, &syntax) && strings.Contains(syntax.Msg, "unexpected EOF"):
		return atLine(line, words.Fault("notation.xml.breaks-off"))
	case errors.As(err, &syntax):
		return atLine(syntax.Line, words.Fault("notation.xml.malformed", "said", syntax.Msg))
	}
	return atLine(line, words.Fault("notation.xml.failed", "err", err))
}

// Escape is text as it stands in a file of XML.
func Escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}

// SchoolField is the miscellaneous field of MusicXML in which a piece keeps its
// school of fingering.
const SchoolField = "endpin-school"
