package finding

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/fingerboard"
)

// Options say what to judge by. The zero value judges the whole piece at the
// intermediate level, in equal temperament at A4 = 440, at the piece's own tempo.
type Options struct {
	Measures   string  // a range of printed measures, "21-24"; empty for all
	QPM        float64 // the tempo asked for, quarter notes a minute; 0 for the piece's own
	A4         float64 // reference, Hz; 0 for 440
	Level      Level
	Intonation Intonation
	Instrument *fingerboard.Instrument // nil for the double bass
	Positions  []string                // position tokens allowed; nil for all
	Given      Reference               // what is known of the reference before the take, by what else the player did
}

// The references that may be asked for, Hz: from French Baroque pitch to a
// high nineteenth-century one.
const (
	LowestA4  = 392
	HighestA4 = 466
)

// Reference is the reference that was heard in another take of the same bass, or is
// supposed of it.
type Reference struct {
	A4       float64 `json:"a4_hz"`              // 0 for none
	SD       float64 `json:"sd_cents"`           // standard deviation of it
	From     string  `json:"from"`               // what it was heard in, as a reader knows it
	Supposed bool    `json:"supposed,omitempty"` // nobody heard it: a take's open strings bear it out, or it is not sure
}

// take is one recording being judged.
type take struct {
	*evidence
	ledger

	// What one pass finds and later ones go by: see passes.
	tuned  tuned
	attack attack
	hands  []*hand // all hand frames as heard
	beat   beat
	pace   paces

	hearing *Hearing // what comes of it
}

// passes are all that a take is listened for, in order. What a pass tells is in the
// ledger for those after it; what else it hands on is written in its row.
var passes = []struct {
	name string
	do   func(t *take)
	why  string // it stands where it stands
}{
	{"doubt", (*take).doubt,
		"first: it lowers the trust of all that is told after it"},
	{"tuning", func(t *take) { t.tuned = t.tuning() },
		"before all that is said of pitch, which is against the player's own reference and not blamed on a string out of tune"},
	{"restarts", (*take).restarts,
		"what was played comes before how"},
	{"wrong notes", (*take).wrongNotes,
		"after tuning, which must not make a semitone; before hands and lengths, which another note tells nothing of"},
	{"left out", (*take).leavesOut,
		"before missing: of measures that the player went past no note is told by itself"},
	{"missing", (*take).missing,
		"by the beat as all notes tell it, before rhythms leave some out"},
	{"extras", (*take).extras,
		"after wrong notes and missing: where there are so many that the room is in it, only what follows is told with less trust"},
	{"span", func(t *take) { t.attack, t.hands = t.attacks(), t.span() },
		"before hands and strays: where the hand is too narrow or too wide, the fingers are judged by that hand"},
	{"hands", (*take).displacements,
		"before strays: no finger is blamed for where the hand lies"},
	{"uneven", (*take).uneven,
		"after hands, which explain what goes together, and before strays: where all is scattered no note is told by itself"},
	{"strays", (*take).strays,
		"after hands: what is left is a finger's own"},
	{"beat", func(t *take) { t.beat = t.beatKept() },
		"before rhythms, beats and onsets, which are measured from it"},
	{"passages", func(t *take) { t.pace = t.paces(); t.otherPaces() },
		"before tempo, which is that of the rest"},
	{"after shifts", (*take).offBeatAfterShifts,
		"before rhythms and onsets: what shifts do to the notes after them is told of the shifts"},
	{"rhythms", (*take).otherRhythms,
		"before beats and onsets: a measure in another rhythm is no row of late notes"},
	{"beats", (*take).beatsPutOff,
		"before onsets: what comes after a beat lost is on time"},
	{"onsets", (*take).offBeats,
		"after all that explains why a note is off the beat"},
	{"lengths", (*take).lengths,
		"after onsets: a note that began late, or was cut off by one too early, is not told short"},
	{"tempo", (*take).tempo,
		"last: it is of the whole"},
}

// Judge hears a take of a piece. The error is align.ErrNothing where nothing of
// it was heard, or says which option cannot be.
func Judge(p *piece.Piece, heard *dsp.Heard, o Options) (*Hearing, error) {
	ev, err := gather(p, heard, o)
	if err != nil {
		return nil, err
	}
	t := &take{evidence: ev, ledger: newLedger()}
	for _, pass := range passes {
		pass.do(t)
	}
	t.hearing = &Hearing{
		Version: 1, Piece: p.Title, Duration: round(heard.Duration, 3), ReferenceA: t.askedA4, HeardA: round(t.askedA4*dsp.Cents(t.retuned+t.tuned.A), 2),
		HeardATrust: t.tuned.Trust, HeardASD: round(t.tuned.SD, 1), AFrom: t.tuned.from,
		TempoAsked: round(t.asked, 2), TempoHeard: round(t.supposed/t.pace.own, 2),
		Level: t.level.Name, Intonation: t.opts.Intonation.Name, Instrument: t.board.OtherThanBass(),
		Notes: t.notes(), Earlier: t.earlier(), Landings: t.landings(),
		Findings: t.findings, Remarks: t.remarks(), Listening: Listening,
		Away: t.semitonesAway(), Plucked: t.plucked, OnlyPitch: t.onlyPitch(),
	}
	t.order()
	t.hearing.Rank()
	return t.hearing, nil
}

// order puts findings in the order of the music; those of the whole take first.
func (t *take) order() {
	from := func(f *Finding) int {
		if f.Kind.Row().About == WholeTake {
			return -1
		}
		return f.First
	}
	slices.SortStableFunc(t.hearing.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(from(&a), from(&b)), cmp.Compare(a.First, b.First), cmp.Compare(a.At, b.At))
	})
}

func round(x float64, digits int) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

func number(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

// either is the kind of what lies above nought, or of what lies below.
func either(x float64, above, below Kind) Kind {
	if x < 0 {
		return below
	}
	return above
}

// sureUnless is the trust in what there is reason to doubt, or none.
func sureUnless(doubt bool) dsp.Trust {
	if doubt {
		return dsp.Fair
	}
	return dsp.Sure
}

// least gives the less sure of two trusts.
func least(a, b dsp.Trust) dsp.Trust {
	rank := map[dsp.Trust]int{dsp.Sure: 2, dsp.Fair: 1, dsp.NotSure: 0}
	if rank[a] < rank[b] {
		return a
	}
	return b
}
