package diary

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// TakeInfo is one take as the diary lists it.
type TakeInfo struct {
	ID        int64
	At        time.Time
	Piece     string
	Content   string  // what the piece is known by (piece.Content)
	Duration  float64 // s
	QPM       float64 // heard
	HeardA    float64 // Hz
	Level     string
	Listening int
	Notes     int
	Findings  int
	Late      int // findings of late entrances
	Short     int // findings of notes held short
	Kept      bool
	Warning   string
}

// Weeks are a span of a player's diary, read at once.
type Weeks struct {
	Player string     // as the diary spells the name
	Takes  []TakeInfo // in order of time
	// Misdated are the takes whose date cannot be right: one still to come would be
	// the last week. They are kept, and nothing is reckoned from them.
	Misdated []TakeInfo

	diary  *Diary
	taken  []taken // of each take
	shifts map[int64]shiftRow
	order  []int64 // of the shifts, by their pieces and measures
}

// taken is what else there is of a take.
type taken struct {
	piece     int64
	tolerance float64 // of the frame, cents
	landings  string  // as in digests, and so with the two below
	measures  string
	strings   string
	findings  string // of each: see toldOf
}

type shiftRow struct {
	trend.Shift
	piece     int64
	semitones int
}

// Separators of what stands together in one value.
const (
	nextRow  = "\x1e"
	nextCell = "\x1f"
)

// takesOf reads the takes of a player from one moment to another, of one piece or, "", of
// all, each with its counted hearing and that one's digest.
const takesOf = `SELECT t.id, t.at_ms, t.zone_min, t.duration_s, t.sound <> '', t.warning, pieces.id, pieces.title, pieces.content,
		coalesce(h.tempo_heard_qpm, 0), coalesce(h.heard_a_hz, 0), coalesce(h.level, ''), coalesce(h.listening, 0), coalesce(h.note_count, 0),
		coalesce(h.frame_cents, 0), coalesce(g.landings, ''), coalesce(g.measures, ''), coalesce(g.open_strings, ''), g.hearing IS NOT NULL, (SELECT coalesce(group_concat(f.kind || char(31) || f.measure || char(31) || f.to_measure || char(31) || f.trust || char(31) || f.value, char(30)), '') FROM findings f WHERE f.hearing = h.id)
	FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece LEFT JOIN hearings h ON h.take = t.id AND h.counted = 1
		LEFT JOIN digests g ON g.hearing = h.id
	WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND (?4 = '' OR pieces.title = ?4 OR pieces.content = ?4) ORDER BY t.at_ms, t.id`

// Weeks reads a span. Only the counted hearing of each take is read.
func (d *Diary) Weeks(s Span) (*Weeks, error) {
	name, from, to, err := d.bounds(s)
	if err != nil {
		return nil, d.named(err)
	}
	last := int64(0)
	w := &Weeks{Player: name, diary: d, shifts: map[int64]shiftRow{}}
	err = d.each(takesOf, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		t, k, err := scanTake(scan)
		switch {
		case err != nil:
			return err
		case t.ID == last:
			return spoil(words.Fault("diary.spoiled.counted", "take", t.ID))
		case t.Warning != "":
			w.Misdated = append(w.Misdated, t)
		default:
			w.Takes, w.taken = append(w.Takes, t), append(w.taken, k)
		}
		last = t.ID
		return nil
	})
	if err != nil {
		return nil, err
	}
	return w, w.readShifts()
}

// scanTake takes in a row of takesOf.
func scanTake(scan func(...any) error) (t TakeInfo, k taken, err error) {
	var ms int64
	var zone int
	var counted bool
	if err := scan(&t.ID, &ms, &zone, &t.Duration, &t.Kept, &t.Warning, &k.piece, &t.Piece, &t.Content, &t.QPM, &t.HeardA, &t.Level, &t.Listening,
		&t.Notes, &k.tolerance, &k.landings, &k.measures, &k.strings, &counted, &k.findings); err != nil {
		return t, k, err
	}
	if !counted {
		return t, k, spoil(words.Fault("diary.spoiled.counted", "take", t.ID))
	}
	t.At = moment(ms, zone)
	eachFinding(k.findings, func(f toldOf) {
		t.Findings++
		t.Late += bit(f.kind == finding.Late)
		t.Short += bit(f.kind == finding.HeldShort)
	})
	return t, k, nil
}

// readShifts reads the shifts of the pieces that were played.
func (w *Weeks) readShifts() error {
	pieces := map[int64]string{}
	for i, t := range w.Takes {
		pieces[w.taken[i].piece] = t.Piece
	}
	for piece, title := range pieces {
		err := w.diary.each(`SELECT id, measure, beat, string, from_position, to_position, semitones FROM shifts WHERE piece = ? ORDER BY printed, beat, id`,
			[]any{piece}, func(scan func(...any) error) error {
				var id int64
				r := shiftRow{Shift: trend.Shift{Piece: title}, piece: piece}
				err := scan(&id, &r.Measure, &r.Beat, &r.String, &r.From, &r.To, &r.semitones)
				w.shifts[id] = r
				w.order = append(w.order, id)
				return err
			})
		if err != nil {
			return err
		}
	}
	slices.SortStableFunc(w.order, func(a, b int64) int {
		x, y := w.shifts[a], w.shifts[b]
		return cmp.Or(strings.Compare(x.Piece, y.Piece), cmp.Compare(x.piece, y.piece))
	})
	return nil
}

// toldOf is what weeks are told from of a finding.
type toldOf struct {
	kind        finding.Kind
	measure, to string
	trust       dsp.Trust
	value       float64
}

func eachFinding(packed string, tell func(toldOf)) {
	for f := range strings.SplitSeq(packed, nextRow) {
		if c := strings.Split(f, nextCell); len(c) == 5 {
			value, _ := strconv.ParseFloat(c[4], 64)
			tell(toldOf{finding.Kind(c[0]), c[1], c[2], dsp.Trust(c[3]), value})
		}
	}
}

// Takes lists the takes of a span, in order of time, those misdated among them.
func (d *Diary) Takes(s Span) ([]TakeInfo, error) {
	w, err := d.Weeks(s)
	if err != nil {
		return nil, err
	}
	all := append(w.Takes, w.Misdated...)
	slices.SortStableFunc(all, func(a, b TakeInfo) int { return a.At.Compare(b.At) })
	return all, nil
}

// Landings gives the landings by shift, in order of the pieces and their
// measures: of those takes that the newest version of the listening among them
// has judged, since what two versions heard is not compared. older is how many
// takes that leaves out.
func (w *Weeks) Landings() (groups []trend.Group, older int, err error) {
	newest, ofPiece := 0, map[int64]int{}
	for i := range w.Takes {
		newest = max(newest, w.Takes[i].Listening)
		ofPiece[w.taken[i].piece]++
	}
	byShift := make(map[int64]*[]trend.Landing, len(w.shifts))
	var c landingColumns
	for i := range w.Takes {
		t := &w.Takes[i]
		if t.Listening < newest {
			older++
			continue
		}
		if err := c.read(w.taken[i].landings); err != nil {
			return nil, 0, w.diary.named(spoil(words.Fault("diary.spoiled.landings", "take", t.ID)))
		}
		if slices.ContainsFunc(c.Shift, func(id int64) bool { return w.shifts[id].piece != w.taken[i].piece }) {
			return nil, 0, w.diary.named(spoil(words.Fault("diary.spoiled.shift", "take", t.ID)))
		}
		take := strconv.FormatInt(t.ID, 36)
		for k, shift := range c.Shift {
			group := byShift[shift]
			if group == nil {
				ls := make([]trend.Landing, 0, ofPiece[w.taken[i].piece])
				group = &ls
				byShift[shift] = group
			}
			l := trend.Landing{When: t.At, Take: take, Cents: c.Cents[k], Tolerance: w.taken[i].tolerance, SettleMS: math.NaN(), QPM: c.QPM[k],
				Semitones: w.shifts[shift].semitones, CarriedBy: fingerboard.Carrier(c.CarriedBy[k]), Plucked: c.Plucked[k] == 1, Trust: c.Trust[k]}
			if s := c.SettleMS[k]; s != nil {
				l.SettleMS = *s
			}
			*group = append(*group, l)
		}
	}
	for _, id := range w.order {
		if ls := byShift[id]; ls != nil {
			groups = append(groups, trend.Group{Shift: w.shifts[id].Shift, Landings: *ls})
		}
	}
	return groups, older, nil
}

// read reads landings into c, whose lists it uses again.
func (c *landingColumns) read(text string) error {
	*c = landingColumns{Shift: c.Shift[:0], Pass: c.Pass[:0], Cents: c.Cents[:0], SettleMS: c.SettleMS[:0], QPM: c.QPM[:0], CarriedBy: c.CarriedBy[:0],
		Plucked: c.Plucked[:0], Marked: c.Marked[:0], Other: c.Other[:0], Trust: c.Trust[:0], At: c.At[:0]}
	if err := json.Unmarshal([]byte(text), c); err != nil {
		return err
	}
	return alike(len(c.Shift), len(c.Pass), len(c.Cents), len(c.SettleMS), len(c.QPM), len(c.CarriedBy), len(c.Plucked), len(c.Marked), len(c.Other), len(c.Trust), len(c.At))
}

func (c *measureColumns) read(text string) error {
	*c = measureColumns{Printed: c.Printed[:0], Measure: c.Measure[:0], Notes: c.Notes[:0], Heard: c.Heard[:0], Told: c.Told[:0], Unsure: c.Unsure[:0]}
	if err := json.Unmarshal([]byte(text), c); err != nil {
		return err
	}
	return alike(len(c.Printed), len(c.Measure), len(c.Notes), len(c.Heard), len(c.Told), len(c.Unsure))
}

func (c *stringColumns) read(text string) error {
	*c = stringColumns{}
	if err := json.Unmarshal([]byte(text), c); err != nil {
		return err
	}
	return alike(len(c.String), len(c.Cents), len(c.Notes))
}

// alike says that lists that belong together are of one length.
func alike(length int, others ...int) error {
	for _, n := range others {
		if n != length {
			return words.Fault("diary.spoiled.field")
		}
	}
	return nil
}

// MeasurePasses is one printed measure and how each take of a span went through it.
type MeasurePasses struct {
	Piece, Content, Measure string
	Passes                  []trend.Pass
}

// Measures gives the measures in order of the pieces. A measure is clean where
// all its notes were heard as written and nothing was told of it; one that the
// listening is not sure of does not count either way.
func (w *Weeks) Measures() ([]MeasurePasses, error) {
	type printed struct {
		piece   int64
		number  int
		measure string
	}
	found := map[printed]*MeasurePasses{}
	var order []printed
	var c measureColumns
	for i := range w.Takes {
		t := &w.Takes[i]
		if err := c.read(w.taken[i].measures); err != nil {
			return nil, w.diary.named(spoil(words.Fault("diary.spoiled.measures", "take", t.ID)))
		}
		for k, number := range c.Printed {
			m := finding.MeasureHeard{Notes: c.Notes[k], Heard: c.Heard[k], Told: c.Told[k], Unsure: c.Unsure[k]}
			if !m.Judged() {
				continue
			}
			at := printed{w.taken[i].piece, number, c.Measure[k]}
			x := found[at]
			if x == nil {
				x = &MeasurePasses{Piece: t.Piece, Content: t.Content, Measure: at.measure}
				found[at] = x
				order = append(order, at)
			}
			x.Passes = append(x.Passes, trend.Pass{When: t.At, QPM: t.QPM, Clean: m.Clean()})
		}
	}
	slices.SortStableFunc(order, func(a, b printed) int {
		return cmp.Or(strings.Compare(found[a].Piece, found[b].Piece), cmp.Compare(a.piece, b.piece), cmp.Compare(a.number, b.number))
	})
	all := make([]MeasurePasses, len(order))
	for i, at := range order {
		all[i] = *found[at]
	}
	return all, nil
}

// Slips gives how often entrances came late and notes were held short, take by
// take, of how many notes.
func (w *Weeks) Slips() (late, short []trend.Count) {
	for _, t := range w.Takes {
		if t.Notes > 0 {
			late = append(late, trend.Count{When: t.At, Told: t.Late, Chance: t.Notes})
			short = append(short, trend.Count{When: t.At, Told: t.Short, Chance: t.Notes})
		}
	}
	return late, short
}

// Tunings are the readings of how the instrument was tuned.
type Tunings struct {
	A       []trend.Reading         // the player's own reference A, Hz
	Strings map[int][]trend.Reading // open strings against that, cents; 1 is the highest
}

// Tunings gives how the reference and the open strings lay, take by take.
func (w *Weeks) Tunings() (Tunings, error) {
	out := Tunings{Strings: map[int][]trend.Reading{}}
	for i := range w.Takes {
		t := &w.Takes[i]
		out.A = append(out.A, trend.Reading{When: t.At, Value: t.HeardA})
		var c stringColumns
		if err := c.read(w.taken[i].strings); err != nil {
			return out, w.diary.named(spoil(words.Fault("diary.spoiled.strings", "take", t.ID)))
		}
		for k, s := range c.String {
			out.Strings[s] = append(out.Strings[s], trend.Reading{When: t.At, Value: c.Cents[k]})
		}
	}
	return out, nil
}

// Return is a finding that had gone and came back after days without practice.
type Return struct {
	Piece, Measure string
	Kind           finding.Kind
	DaysOff        int       // days without a take
	Back           time.Time // the first take afterwards
	Perhaps        bool      // it was told for certain in no take after them
}

// What counts as gone and as come back: in a piece's last takes before the days
// off it was not told, though it had been in at least two before these; and in
// at least two of the first takes after them it was.
const (
	takesGone = 3
	takesBack = 3
	toldTwice = 2
)

// place is what can come back: a kind of finding in a measure.
type place struct {
	measure string
	kind    finding.Kind
}

// CameBack lists what came back after at least so many days without a take of
// the player's.
func (w *Weeks) CameBack(off int) (out []Return) {
	takes, told := w.Takes, w.told()
	for i := 1; i < len(takes); i++ {
		days := daysBetween(takes[i-1].At, takes[i].At)
		if days < off {
			continue
		}
		pieces := map[string]bool{}
		for _, t := range takes[i:] {
			if pieces[t.Piece] {
				continue
			}
			pieces[t.Piece] = true
			after := ofTitle(takes[i:], t.Piece)
			for _, p := range cameBack(ofTitle(takes[:i], t.Piece), after, told) {
				out = append(out, Return{t.Piece, p.measure, p.kind, days, after[0].At, !surely(after, p, told)})
			}
		}
	}
	return out
}

// told is what was told surely enough in each take, and whether for certain.
func (w *Weeks) told() map[int64]map[place]bool {
	told := make(map[int64]map[place]bool, len(w.Takes))
	for i := range w.Takes {
		here := map[place]bool{}
		eachFinding(w.taken[i].findings, func(f toldOf) {
			if row := f.kind.Row(); f.trust != dsp.NotSure && row.About != finding.WholeTake && row.Weight > 0 {
				p := place{f.measure, f.kind}
				here[p] = here[p] || f.trust == dsp.Sure
			}
		})
		told[w.Takes[i].ID] = here
	}
	return told
}

// surely reports whether something was told for certain in any of some takes.
func surely(some []TakeInfo, p place, told map[int64]map[place]bool) bool {
	return slices.ContainsFunc(some, func(t TakeInfo) bool { return told[t.ID][p] })
}

// cameBack is what had gone in a piece's takes before days off and was told again in
// those after them, in order of its measures.
func cameBack(before, after []TakeInfo, told map[int64]map[place]bool) (back []place) {
	if len(before) <= takesGone || len(after) < toldTwice {
		return nil
	}
	count := func(some []TakeInfo, p place) (n int) {
		for _, t := range some {
			_, is := told[t.ID][p]
			n += bit(is)
		}
		return n
	}
	gone := before[len(before)-takesGone:]
	after = after[:min(takesBack, len(after))]
	for _, a := range after {
		for p := range told[a.ID] {
			if !slices.Contains(back, p) && count(after, p) >= toldTwice && count(gone, p) == 0 && count(before, p) >= toldTwice {
				back = append(back, p)
			}
		}
	}
	slices.SortFunc(back, func(a, b place) int {
		if a.measure != b.measure {
			x, _ := strconv.Atoi(a.measure)
			y, _ := strconv.Atoi(b.measure)
			return x - y
		}
		return strings.Compare(string(a.kind), string(b.kind))
	})
	return back
}

func ofTitle(takes []TakeInfo, title string) (some []TakeInfo) {
	for _, t := range takes {
		if t.Piece == title {
			some = append(some, t)
		}
	}
	return some
}

// daysBetween counts the days of the calendar without a take between two takes.
func daysBetween(a, b time.Time) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return max(0, int(day(b).Sub(day(a)).Hours()/24)-1)
}
