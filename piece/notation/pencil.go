package notation

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// Go's XML package writes no file back as it was. So a mark is spliced into the bytes of
// the file, at the places that the reader came by, and all else in it stays to the byte.
//
// A mark is written without any layout, and never into an element that holds nothing: taken
// away again, with what then holds nothing, it leaves the bytes that were there before.

// Signs are what a teacher pencils over a measure.
type Signs struct {
	Rehearsal   string // the name of the section that begins here; empty for none
	RepeatStart bool   // a repeat sign begins the measure
	RepeatEnd   bool   // and one ends it
	Text        string // a line of words where it begins, to be read; empty for none
}

// SignsOf are those of a measure.
func SignsOf(m *piece.Measure) Signs {
	s := Signs{Rehearsal: m.Rehearsal, RepeatStart: m.RepeatStart, RepeatEnd: m.RepeatTimes > 0}
	for _, t := range m.Texts {
		if t.At == 0 {
			s.Text = t.Says // the last one
		}
	}
	return s
}

// Obeyed reports whether a line of words is more than to be read: Endpin takes it for an
// instruction, such as pizz., cresc. or D.C.
func Obeyed(text string) bool {
	i := wordsOf(text)
	return i.jump != piece.NoJump || i.fine || i.toCoda || i.coda || i.pizz || i.arco || i.loud != "" || i.mark != nil
}

// ErrNoSplice is that a file is not MusicXML in UTF-8, whose bytes are those of its text:
// no mark goes into it, but into a copy as MusicXML.
var ErrNoSplice = words.Fault("notation.pencil.copy")

// Spliceable reports whether marks can go into a file as it is.
func Spliceable(data []byte) bool {
	text := bytes.TrimPrefix(data, utf8Mark)
	if trimmed := bytes.TrimSpace(text); len(trimmed) == 0 || trimmed[0] != '<' {
		return false
	}
	plain := bytes.IndexFunc(text, func(r rune) bool { return r >= 0x80 }) < 0
	if declares.Match(text[:min(len(text), 256)]) {
		head, _, _ := bytes.Cut(text, []byte("?>"))
		return plain || bytes.Contains(bytes.ToLower(head), []byte("utf-8"))
	}
	return bytes.Equal(asUTF8(text), text)
}

var utf8Mark = []byte("\xEF\xBB\xBF")

// Unpacked is the score in a compressed file of MusicXML, where marks can go into it.
func Unpacked(data []byte) (score []byte, ok bool) {
	if !bytes.HasPrefix(data, zipMark) {
		return nil, false
	}
	score, err := unpack(data)
	return score, err == nil && Spliceable(score)
}

// PencilNote gives the file with finger, string, position and bow of a note as they are in m;
// what is empty in m is taken away. Whatever else stands in the file stays byte for byte.
func PencilNote(name string, data []byte, at piece.At, m piece.Marks, opts ...Option) ([]byte, error) {
	return splice(name, data, opts, func(d *draft) ([]edit, error) {
		if at.Measure < 0 || at.Measure >= len(d.measures) || at.Note < 0 || at.Note >= len(d.measures[at.Measure].notes) {
			return nil, words.Fault("notation.pencil.no-note")
		}
		n := &d.measures[at.Measure].notes[at.Note]
		if n.Rest {
			return nil, words.Fault("notation.pencil.rest")
		}
		return marked(d.measures[at.Measure].from, n, m), nil
	})
}

// PencilMeasure gives the file with the signs of a measure, an index into the piece's, as
// they are in s.
func PencilMeasure(name string, data []byte, measure int, s Signs, opts ...Option) ([]byte, error) {
	s.Rehearsal, s.Text = short(s.Rehearsal), lineOf(s.Text)
	return splice(name, data, opts, func(d *draft) ([]edit, error) {
		if measure < 0 || measure >= len(d.measures) {
			return nil, words.Fault("notation.pencil.no-note")
		}
		m := d.measures[measure]
		return signed(m, s), nil
	})
}

// edit puts text in the place of the bytes from one to another.
type edit struct {
	from, to int
	text     string
}

// splice has edits worked out on a file as it is read, and carries them out.
func splice(name string, data []byte, opts []Option, edits func(*draft) ([]edit, error)) ([]byte, error) {
	of := func(err error) error {
		var at *placed
		if errors.As(err, &at) {
			return words.Fault(at.where+".of-file", "file", name, "at", at.at, "err", at.err)
		}
		return words.Fault("notation.file", "file", name, "err", err)
	}
	if !Spliceable(data) || len(data) > maxFile {
		return nil, of(ErrNoSplice)
	}
	text := bytes.TrimPrefix(data, utf8Mark)
	o := given(opts...)
	o.traced = true
	d, err := readMusicXML(text, o)
	if err != nil {
		return nil, of(err)
	}
	if _, err := d.finish(o.supposing); err != nil {
		return nil, of(err)
	}
	all, err := edits(d)
	if err != nil {
		return nil, of(err)
	}
	slices.SortStableFunc(all, func(a, b edit) int { return cmp.Compare(a.from, b.from) })
	out := bytes.Clone(data[:len(data)-len(text)])
	here := 0
	for _, e := range all {
		out = append(append(out, text[here:e.from]...), e.text...)
		here = e.to
	}
	return append(out, text[here:]...), nil
}

// pencilled are the marks at a note that may be set: what of a <technical> is such a mark,
// what it is in the marks, and how it is written.
var pencilled = []struct {
	is   func(t *element) bool
	of   func(m piece.Marks) string
	text func(value string) string
	bow  bool
	over func(n *draftNote) *element // the words that say it; nil for no such
}{
	{func(t *element) bool {
		return t.name == "fingering" && fingerOf(t.value()) != "" && t.attr("substitution") != "yes" && t.attr("alternate") != "yes"
	},
		func(m piece.Marks) string { return m.Finger },
		func(v string) string { return "<fingering>" + v + "</fingering>" }, false, nil},
	{func(t *element) bool { return t.name == "string" },
		func(m piece.Marks) string {
			if m.String == 0 {
				return ""
			}
			return strconv.Itoa(m.String)
		},
		func(v string) string { return "<string>" + v + "</string>" }, false, func(n *draftNote) *element { return n.string }},
	{func(t *element) bool { return t.name == "other-technical" && piece.PositionOf(t.value()) != "" },
		func(m piece.Marks) string { return piece.PositionText(m.Position) },
		func(v string) string { return "<other-technical>" + Escape(v) + "</other-technical>" }, false, func(n *draftNote) *element { return n.position }},
	{func(t *element) bool { return t.name == "up-bow" || t.name == "down-bow" },
		func(m piece.Marks) string { return string(m.Bow) },
		func(v string) string { return "<" + v + "-bow/>" }, true, nil},
}

// marked are the edits that bring a note of a measure to other marks. What stands in words
// over the staff for it is changed there.
func marked(measure *element, n *draftNote, want piece.Marks) (edits []edit) {
	note, is := n.from, n.Marks
	var gone []*element
	added := ""
	for _, p := range pencilled {
		value := p.of(want)
		if value == p.of(is) {
			continue
		}
		var there []*element
		for _, all := range note.all("notations") {
			for _, technical := range all.all("technical") {
				for _, t := range technical.kids {
					if p.is(t) {
						there = append(there, t)
					}
				}
			}
		}
		if p.over != nil && p.over(n) != nil {
			there = append(there, p.over(n))
			if value != "" { // at the note itself it holds, whatever moves
				gone, there = append(gone, there...), nil
			}
		}
		if value != "" && len(there) > 0 { // the last one counts
			last := there[len(there)-1]
			there = there[:len(there)-1]
			if p.bow {
				edits = append(edits, edit{last.at.from, last.at.to, p.text(value)})
			} else { // its placement stays, and how it is printed
				edits = append(edits, edit{last.at.inner, last.at.end, Escape(value)})
			}
		} else if value != "" {
			added += p.text(value)
		}
		gone = append(gone, there...)
	}
	edits = append(edits, without(measure, gone)...)
	if added != "" {
		edits = append(edits, into(note, gone, []string{"notations", "technical"}, added, "lyric", "play", "listen"))
	}
	return edits
}

// signed are the edits that bring a measure to other signs.
func signed(of *draftMeasure, want Signs) (edits []edit) {
	m, is := of.from, SignsOf(&of.Measure)
	var gone []*element
	over := func(name, text string) {
		at := firstOf(m, "note", "direction", "forward", "backup")
		edits = append(edits, edit{at, at, `<direction placement="above"><direction-type><` + name + `>` + Escape(text) + `</` + name + `></direction-type></direction>`})
	}
	if is.Rehearsal != want.Rehearsal {
		var there []*element
		for _, d := range m.all("direction") {
			for _, t := range d.all("direction-type") {
				there = append(there, t.all("rehearsal")...)
			}
		}
		switch {
		case want.Rehearsal == "":
			gone = append(gone, there...)
		case len(there) > 0:
			last := there[len(there)-1]
			edits = append(edits, edit{last.at.inner, last.at.end, Escape(want.Rehearsal)})
		default:
			over("rehearsal", want.Rehearsal)
		}
	}
	if is.Text != want.Text {
		var there []*element
		for _, t := range of.texts {
			if t.At == 0 {
				there = t.from // the last one
			}
		}
		switch n := len(there); {
		case want.Text == "":
			gone = append(gone, there...)
		case n > 0:
			edits = append(edits, edit{there[n-1].at.inner, there[n-1].at.end, Escape(want.Text)})
			gone = append(gone, there[:n-1]...)
		default:
			over("words", want.Text)
		}
	}
	for _, side := range []struct {
		is, want            bool
		location, direction string
	}{{is.RepeatStart, want.RepeatStart, "left", "forward"}, {is.RepeatEnd, want.RepeatEnd, "right", "backward"}} {
		if side.is == side.want {
			continue
		}
		bar, repeats := barlines(m, side.location, side.direction)
		repeat := fmt.Sprintf(`<repeat direction="%s"/>`, side.direction)
		switch {
		case !side.want:
			gone = append(gone, repeats...)
		case bar != nil:
			at := bar.kids[len(bar.kids)-1].at.to
			edits = append(edits, edit{at, at, repeat})
		default:
			at := m.at.end
			if side.location == "left" {
				at = firstOf(m, "note", "direction", "forward", "backup", "attributes")
			} else if len(m.kids) > 0 {
				at = m.kids[len(m.kids)-1].at.to
			}
			edits = append(edits, edit{at, at, fmt.Sprintf(`<barline location="%s">%s</barline>`, side.location, repeat)})
		}
	}
	return append(edits, without(m, gone)...)
}

// barlines finds the barline at one side of a measure that holds something, nil for none,
// and the repeat signs in all of them.
func barlines(m *element, location, direction string) (bar *element, repeats []*element) {
	for _, b := range m.all("barline") {
		where := b.attr("location")
		if where == "" {
			where = "right"
		}
		for _, r := range b.all("repeat") {
			if r.attr("direction") == direction {
				repeats = append(repeats, r)
			}
		}
		if where == location && len(b.kids) > 0 && !b.has("repeat") {
			bar = b
		}
	}
	return bar, repeats
}

// firstOf is where the first child of some names begins; where there is none, where the
// last child ends.
func firstOf(e *element, names ...string) int {
	for _, k := range e.kids {
		if slices.Contains(names, k.name) {
			return k.at.from
		}
	}
	if n := len(e.kids); n > 0 {
		return e.kids[n-1].at.to
	}
	return e.at.end
}

// into puts text into an element by way of others in each other, before its children of
// some names: into what is there of them and keeps something, else anew.
func into(e *element, gone []*element, way []string, text string, before ...string) edit {
	if len(way) == 0 {
		at := e.kids[len(e.kids)-1].at.to
		return edit{at, at, text}
	}
	for _, k := range e.all(way[0]) {
		if keeps(k, gone) && (len(way) > 1 || len(k.kids) > 0) {
			return into(k, gone, way[1:], text)
		}
	}
	for i := len(way) - 1; i >= 0; i-- {
		text = "<" + way[i] + ">" + text + "</" + way[i] + ">"
	}
	at := firstOf(e, before...)
	return edit{at, at, text}
}

// keeps reports whether an element holds something when others have gone.
func keeps(e *element, gone []*element) bool {
	for _, k := range e.kids {
		if !slices.Contains(gone, k) && (len(k.kids) == 0 || keeps(k, gone)) {
			return true
		}
	}
	return false
}

// without are the edits that take elements away below another, and whatever then holds
// nothing.
func without(e *element, gone []*element) (edits []edit) {
	for _, k := range e.kids {
		held := len(k.kids) > 0 && !keeps(k, gone)
		switch {
		case slices.Contains(gone, k), held && below(k, gone):
			edits = append(edits, edit{from: k.at.from, to: k.at.to})
		case k.name == "direction" && below(k, gone) && !slices.ContainsFunc(k.all("direction-type"), func(t *element) bool { return keeps(t, gone) }):
			edits = append(edits, bare(k)...)
		default:
			edits = append(edits, without(k, gone)...)
		}
	}
	return edits
}

// bare are the edits that leave of a direction nothing but what it has sound, if anything.
func bare(direction *element) []edit {
	all := edit{from: direction.at.from, to: direction.at.to}
	sound := direction.child("sound")
	if sound == nil {
		return []edit{all}
	}
	return []edit{{from: all.from, to: sound.at.from}, {from: sound.at.to, to: all.to}}
}

// below reports whether one of some elements lies in another.
func below(e *element, some []*element) bool {
	return slices.ContainsFunc(e.kids, func(k *element) bool { return slices.Contains(some, k) || below(k, some) })
}

// Pencilled are marks with only what PencilNote sets.
func Pencilled(m piece.Marks) piece.Marks {
	return piece.Marks{Finger: strings.TrimSpace(m.Finger), String: m.String, Position: m.Position, Bow: m.Bow}
}
