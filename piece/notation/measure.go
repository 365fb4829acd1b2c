package notation

import (
	"math"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// measureReader turns the <measure>s of one part into a draft, one after
// another, and keeps what holds from one measure to the next.
type measureReader struct {
	builder
	divisions float64 // of a quarter note
	notes     int     // read so far
	last      float64 // where the last note that is no chord note begins
	clefKnown bool
	stated    bool // a <transpose> has been read
	shift     int  // semitones of the <transpose> in force
	traced    bool // where notes and measures stand is kept
	octaves   int  // of the clef in force: counted in the file's pitch, not on the page
}

func newMeasureReader(p part) *measureReader {
	return &measureReader{builder: newBuilder(p), divisions: 1}
}

// read reads one <measure>.
func (r *measureReader) read(e *element) error {
	number := e.attr("number")
	implicit := e.attr("implicit") == "yes"
	if text := e.attr("text"); text != "" && !implicit {
		number = text
	}
	if number == "" {
		number = strconv.Itoa(len(r.measures) + 1)
	}
	number = short(number)
	if len(r.measures) >= maxPrinted {
		return atMeasure(number, words.Fault("notation.too-many-measures", "most", maxPrinted))
	}
	r.begin(number)
	r.last = 0
	r.m.Implicit = implicit
	if r.traced {
		r.m.from = e
	}
	for _, k := range e.kids {
		if err := r.item(k); err != nil {
			return err
		}
	}
	return r.close()
}

// item reads one thing in a measure.
func (r *measureReader) item(k *element) error {
	switch k.name {
	case "attributes":
		return r.attributes(k)
	case "note":
		return r.note(k)
	case "backup", "forward":
		d, err := r.duration(k)
		if err != nil {
			return err
		}
		if k.name == "backup" {
			d = -d
		}
		r.move(d)
	case "direction":
		r.direction(k)
	case "sound":
		r.sound(k, r.pos)
	case "barline":
		return r.barline(k)
	case "print":
		if k.attr("new-system") == "yes" || k.attr("new-page") == "yes" {
			r.m.SystemBreak = true
		}
	}
	return nil
}

// duration reads <duration> and gives it in ticks.
func (r *measureReader) duration(k *element) (float64, error) {
	text := k.of("duration")
	d, err := strconv.ParseFloat(text, 64)
	if err != nil || d < 0 || math.IsNaN(d) || math.IsInf(d, 0) {
		return 0, atMeasure(r.m.Number, words.Fault("notation.xml.duration", "typed", typed(text)))
	}
	d *= float64(piece.Quarter) / r.divisions
	if d > maxTicks || r.pos+d > maxTicks {
		return 0, atMeasure(r.m.Number, words.Fault("notation.xml.long"))
	}
	return d, nil
}

// attributes reads divisions, key, time, clef and transposition.
func (r *measureReader) attributes(k *element) error {
	for _, a := range k.kids {
		if n := a.attr("number"); n != "" && n != "1" {
			continue // another staff's
		}
		switch a.name {
		case "divisions":
			d, err := strconv.ParseFloat(a.value(), 64)
			if err != nil || !(d > 0) || d > 1e9 {
				return atMeasure(r.m.Number, words.Fault("notation.xml.divisions", "typed", typed(a.value())))
			}
			r.divisions = d
		case "key":
			r.key = piece.Key{Fifths: min(max(a.number("fifths", 0), -14), 14), Minor: a.of("mode") == "minor"}
		case "time":
			t, err := timeOf(a)
			if err != nil {
				return atMeasure(r.m.Number, err)
			}
			r.time = t
		case "clef":
			r.setClef(a)
		case "transpose":
			r.transpose(a)
		}
	}
	if len(r.m.notes) == 0 && r.pos == 0 {
		r.m.Time, r.m.Key, r.m.Clef = r.time, r.key, r.clef
	}
	return nil
}

func (r *measureReader) setClef(a *element) {
	sign := a.of("sign")
	if sign != "F" && sign != "G" && sign != "C" {
		return // tablature, percussion, none: no place for bass notes
	}
	line := map[string]int{"F": 4, "G": 2, "C": 3}[sign]
	r.clef = piece.Clef{Sign: sign, Line: a.number("line", line), Octave: min(max(a.number("clef-octave-change", 0), -2), 2)}
	r.octaves = r.clef.Octave
	if !r.clefKnown && !r.stated {
		r.clefKnown = true
		if r.octaves != 0 {
			r.written = transposition{true, piece.Octave * r.octaves, clefSentence(r.octaves)}
		}
	}
}

func clefSentence(octaves int) string {
	if octaves == -1 {
		return words.Say("notation.clef.ottava-bassa")
	}
	return words.Say("notation.clef.octave", "sounding", sounding(piece.Octave*octaves))
}

// transpose reads <transpose>: chromatic steps and octaves are added (MusicXML
// 4.0, "transpose"); <double/> without more is how a part shared by cellos and
// basses says that the basses sound an octave below it.
func (r *measureReader) transpose(a *element) {
	r.shift = semitonesOf(a)
	if !r.stated {
		r.stated = true
		r.written = transposition{true, r.shift, words.Say("notation.transposed", "sounding", sounding(r.shift))}
	}
}

// semitonesOf is how far a <transpose> moves, from what the file writes to the sound.
func semitonesOf(a *element) int {
	semitones := a.number("chromatic", 0) + piece.Octave*a.number("octave-change", 0)
	if d := a.child("double"); d != nil && d.attr("above") != "yes" && semitones == 0 {
		semitones = -piece.Octave
	}
	return min(max(semitones, -48), 48)
}

// timeOf reads a time signature; several in a row are added up.
func timeOf(a *element) (piece.Time, error) {
	if a.has("senza-misura") {
		return piece.Time{}, nil
	}
	beats, units := a.all("beats"), a.all("beat-type")
	var t piece.Time
	for i := range min(len(beats), len(units)) {
		n, err := sum(beats[i].value())
		if err != nil {
			return t, err
		}
		u, err := strconv.Atoi(units[i].value())
		if err != nil || u < 1 || u > 128 || u&(u-1) != 0 {
			return t, words.Fault("notation.xml.unit", "typed", typed(units[i].value()))
		}
		if t.Unit == 0 {
			t = piece.Time{Beats: n, Unit: u}
			continue
		}
		both := max(t.Unit, u)
		t = piece.Time{Beats: t.Beats*(both/t.Unit) + n*(both/u), Unit: both}
	}
	if t.Beats > 1024 {
		return t, words.Fault("notation.xml.beats", "typed", typed(strconv.Itoa(t.Beats)))
	}
	return t, nil
}

// sum adds up "3+2".
func sum(text string) (int, error) {
	total := 0
	for _, s := range strings.Split(text, "+") {
		n, err := strconv.Atoi(strings.TrimSpace(s))
		if err != nil || n < 1 || n > 1024 {
			return 0, words.Fault("notation.xml.beat", "typed", typed(text))
		}
		total += n
	}
	return total, nil
}

// done settles what only the whole part can tell.
func (r *measureReader) done() *draft {
	r.settleCodas()
	return &r.draft
}
