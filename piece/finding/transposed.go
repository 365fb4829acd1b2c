package finding

import (
	"cmp"
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/align"
	"endpin/piece/fingerboard"
	"endpin/piece/words"
)

// A page read in another key than it sounds in leaves nothing of a take in its place,
// and yet all of it: whole semitones added to every note put it right. It happens with a
// bass in solo tuning whose file tells none, and with a reference A a semitone off. One
// number is asked of a whole take, and nearly all of its notes must agree on it, so that
// another piece is not taken for this one in another key.
const (
	farthestKey   = 24   // semitones either way that are tried …
	triedKeys     = 3    // … and of them those whose pitches occur as often as the page's
	transposedMin = 12   // notes heard that tell it; fewer fit some key of nearly any piece
	nearlyAll     = 0.85 // of them, and of the notes written, that must agree
	agreesWithin  = 50.0 // cents from where most lie
	anOctaveOff   = 600  // cents beside the page, from which most notes are taken for their octaves
	poorly        = 0.5  // of the notes agree where the page is read as it is: less, and another key is tried; and of all that was heard in that one
)

// elsewhere is where a whole take lies that is not where its page is read.
type elsewhere struct {
	by      int     // semitones that the page sounds from where it is read: another key
	retuned float64 // cents of the reference A from the one asked for
}

// findPlace aligns the take to the line: as the page is read, or, where that puts little
// in its place, by the semitones that put nearly all of it there. Then the reference
// that all pitches are told against (opts.A4) has moved by as much.
func (ev *evidence) findPlace() (err error) {
	ev.align, err = align.Align(ev.line, ev.clock, ev.heard, ev.opts.A4)
	if err == nil {
		if share, _, beside := ev.agree(ev.align); share >= poorly && math.Abs(beside) < anOctaveOff {
			return nil
		}
	}
	for _, by := range ev.likelyKeys() {
		at := elsewhere{by: by}
		a, wrong := ev.alignAt(by, 0)
		if wrong != nil || a.Octave != 0 {
			continue
		}
		share, agreed, beside := ev.agree(a)
		if share < nearlyAll || float64(agreed) < poorly*float64(len(ev.heard.Notes)) {
			continue // what lies there is a few measures that another piece may have
		}
		_, read := fingerboard.Reading(ev.piece.Transposed+by, "")
		if a4 := math.Round(ev.opts.A4 * dsp.Cents(100*float64(by)+beside)); !read && a4 >= LowestA4 && a4 <= HighestA4 {
			at = elsewhere{retuned: 100*float64(by) + beside} // not the key is another but the reference, which may lie anywhere
			if a, wrong = ev.alignAt(by, beside); wrong != nil {
				continue
			}
		}
		ev.align, ev.elsewhere = a, at
		ev.opts.A4 *= dsp.Cents(100*float64(at.by) + at.retuned)
		return nil
	}
	return err
}

// alignAt aligns the take as if it were played by so many semitones and cents away.
func (ev *evidence) alignAt(by int, cents float64) (*align.Alignment, error) {
	return align.Align(ev.line, ev.clock, ev.heard, ev.opts.A4*dsp.Cents(100*float64(by)+cents))
}

// agree is the share of the notes, written and heard, that lie beside the page as most
// of them do, how many they are, and how far that is, cents.
func (ev *evidence) agree(a *align.Alignment) (share float64, agreed int, beside float64) {
	var off []float64
	first, last := math.MaxInt, 0
	for i := a.First; i <= a.Last; i++ {
		if m := &a.Matches[i]; m.Heard >= 0 && !m.Guessed {
			off = append(off, 100*(m.Note.Pitch-float64(ev.line[i].MIDI+12*a.Octave)))
			first, last = min(first, m.Heard), max(last, m.Heard)
		}
	}
	if len(off) < transposedMin {
		return 1, len(off), 0 // too few to say that they do not
	}
	beside = robust.MedianOf(slices.Clone(off))
	for _, c := range off {
		if math.Abs(c-beside) < agreesWithin {
			agreed++
		}
	}
	return float64(agreed) / float64(max(a.Last-a.First+1, last-first+1)), agreed, beside
}

// likelyKeys are the semitones that bring the pitches of the page most nearly where
// those of the take are, however they follow each other; the likeliest first.
func (ev *evidence) likelyKeys() (keys []int) {
	if len(ev.heard.Notes) < transposedMin {
		return nil
	}
	page, heard := map[int]float64{}, map[int]float64{}
	for i := range ev.line {
		page[ev.line[i].MIDI] += 1 / float64(len(ev.line))
	}
	for _, n := range ev.heard.Notes {
		heard[int(math.Round(n.Pitch-ev.referredBy()))] += 1 / float64(len(ev.heard.Notes))
	}
	shared := func(by int) (sum float64) {
		for midi, share := range page {
			sum += math.Min(share, heard[midi+by])
		}
		return sum
	}
	for by := -farthestKey; by <= farthestKey; by++ {
		if by != 0 && by != 12 && by != -12 { // an octave is found where the page is read as it is
			keys = append(keys, by)
		}
	}
	slices.SortStableFunc(keys, func(a, b int) int { return cmp.Compare(shared(b), shared(a)) })
	return keys[:triedKeys]
}

// elsewhereText says where the take lies if not where the page is read, and how to ask
// for it where the file leaves that open; "" where it does.
func (t *take) elsewhereText() string {
	by := t.semitonesAway()
	switch {
	case t.retuned != 0:
		return words.Say("finding.elsewhere.retuned", "instrument", t.board.Called(),
			"asked", words.Fixed(t.askedA4, 0), "hz", words.Fixed(t.askedA4*dsp.Cents(t.retuned+t.tuned.A), 0))
	case by == 0:
		return ""
	}
	key := "finding.elsewhere." + upDown(float64(by), "higher", "lower")
	if !t.piece.Supposed {
		key += ".stated"
	}
	other, ok := fingerboard.Reading(t.piece.Transposed+by, t.piece.WrittenFor())
	if ok {
		key += ".instrument"
	}
	far := words.Many("finding.elsewhere.far", max(by, -by))
	switch by {
	case 12, -12:
		far = words.Of("finding.elsewhere.octave")
	case 24, -24:
		far = words.Of("finding.elsewhere.octaves")
	}
	return words.Say(key, "far", far, "instrument", t.board.Name, "word", other.Word, "other", other.Name)
}

// semitonesAway is how far the whole take lies from where its page is read.
func (ev *evidence) semitonesAway() int { return ev.by + 12*ev.align.Octave }
