package diary

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"endpin/piece/finding"
	"endpin/piece/trend"
)

func id36(id int64) string { return strconv.FormatInt(id, 36) }

// MeasurePasses is one printed measure and how each take of a span went through it.
type MeasurePasses struct {
	Piece, Measure string
	Passes         []trend.Pass
}

// Measures gives the measures of a span in order of the pieces. A measure is
// clean where all its notes were heard as written and nothing was told of it; one
// that the listening is not sure of does not count either way.
func (d *Diary) Measures(s Span) ([]MeasurePasses, error) {
	name, from, to, err := s.bounds()
	if err != nil {
		return nil, d.named(err)
	}
	// A row a hearing: handing over a row costs more than what stands in it.
	type place struct {
		piece   int64
		printed int
		measure string
	}
	found := map[place]*MeasurePasses{}
	var order []place
	err = d.each(`SELECT pieces.id, pieces.title, t.at_ms, t.zone_min, h.tempo_heard_qpm,
			(SELECT coalesce(group_concat(m.printed || char(31) || m.measure || char(31) || (m.told = 0 AND m.heard = m.notes), char(30)), '')
				FROM measures m WHERE m.hearing = h.id AND m.unsure * 2 <= m.notes)
		FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND `+ofPiece+` ORDER BY t.at_ms`, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		var at place
		var title, measures string
		var p trend.Pass
		var ms int64
		var zone int
		if err := scan(&at.piece, &title, &ms, &zone, &p.QPM, &measures); err != nil {
			return err
		}
		p.When = moment(ms, zone)
		for m := range strings.SplitSeq(measures, "\x1e") {
			f := strings.Split(m, "\x1f")
			if len(f) != 3 {
				continue // no measure at all
			}
			at.printed, _ = strconv.Atoi(f[0])
			at.measure, p.Clean = f[1], f[2] == "1"
			x := found[at]
			if x == nil {
				x = &MeasurePasses{Piece: title, Measure: at.measure}
				found[at] = x
				order = append(order, at)
			}
			x.Passes = append(x.Passes, p)
		}
		return nil
	})
	slices.SortStableFunc(order, func(a, b place) int {
		return cmp.Or(strings.Compare(found[a].Piece, found[b].Piece), cmp.Compare(a.piece, b.piece), cmp.Compare(a.printed, b.printed))
	})
	all := make([]MeasurePasses, len(order))
	for i, at := range order {
		all[i] = *found[at]
	}
	return all, err
}

// Slips gives how often entrances came late and notes were held short, take by
// take, of how many notes.
func (d *Diary) Slips(s Span) (late, short []trend.Count, err error) {
	takes, err := d.Takes(s)
	for _, t := range takes {
		if t.Notes > 0 {
			late = append(late, trend.Count{When: t.At, Told: t.Late, Chance: t.Notes})
			short = append(short, trend.Count{When: t.At, Told: t.Short, Chance: t.Notes})
		}
	}
	return late, short, err
}

// Tunings are the readings of how the instrument was tuned.
type Tunings struct {
	A       []trend.Reading         // the player's own reference A, Hz
	Strings map[int][]trend.Reading // open strings against that, cents; 1 is the highest
}

// Tunings gives how the reference and the open strings lay, take by take.
func (d *Diary) Tunings(s Span) (Tunings, error) {
	out := Tunings{Strings: map[int][]trend.Reading{}}
	takes, err := d.Takes(s)
	if err != nil {
		return out, err
	}
	for _, t := range takes {
		out.A = append(out.A, trend.Reading{When: t.At, Value: t.HeardA})
	}
	name, from, to, err := s.bounds()
	if err != nil {
		return out, d.named(err)
	}
	err = d.each(`SELECT t.at_ms, t.zone_min, o.string, o.cents
		FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece JOIN hearings h ON h.take = t.id AND h.counted = 1
			JOIN open_strings o ON o.hearing = h.id
		WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND `+ofPiece+` ORDER BY t.at_ms`, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		var ms int64
		var zone, str int
		var r trend.Reading
		err := scan(&ms, &zone, &str, &r.Value)
		r.When = moment(ms, zone)
		out.Strings[str] = append(out.Strings[str], r)
		return err
	})
	return out, err
}

// Return is a finding that had gone and came back after days without practice.
type Return struct {
	Piece, Measure string
	Kind           finding.Kind
	DaysOff        int       // days without a take
	Back           time.Time // the first take afterwards
}

// What counts as gone and as come back: in a piece's last takes before the days
// off it was not told, though it had been in at least two before these; and in
// at least two of the first takes after them it was.
const (
	takesGone = 3
	takesBack = 3
	toldTwice = 2
)

// CameBack lists what came back after at least so many days without a take of
// the player's.
func (d *Diary) CameBack(s Span, off int) ([]Return, error) {
	takes, err := d.Takes(s)
	if err != nil {
		return nil, err
	}
	type place struct {
		measure string
		kind    finding.Kind
	}
	told := map[int64]map[place]bool{}
	name, from, to, err := s.bounds()
	if err != nil {
		return nil, d.named(err)
	}
	err = d.each(`SELECT t.id, f.measure, f.kind
		FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece JOIN hearings h ON h.take = t.id AND h.counted = 1
			JOIN findings f ON f.hearing = h.id
		WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND `+ofPiece+` AND f.trust <> 'not sure' AND f.kind NOT IN ('tempo', 'tuning', 'not_sure')`,
		[]any{name, from, to, s.Piece}, func(scan func(...any) error) error {
			var id int64
			var p place
			err := scan(&id, &p.measure, &p.kind)
			if told[id] == nil {
				told[id] = map[place]bool{}
			}
			told[id][p] = true
			return err
		})
	if err != nil {
		return nil, err
	}
	count := func(some []TakeInfo, p place) (n int) {
		for _, t := range some {
			if told[t.ID][p] {
				n++
			}
		}
		return n
	}
	var out []Return
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
			before, after := ofTitle(takes[:i], t.Piece), ofTitle(takes[i:], t.Piece)
			if len(before) <= takesGone || len(after) < toldTwice {
				continue
			}
			gone := before[len(before)-takesGone:]
			after = after[:min(takesBack, len(after))]
			var back []place
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
				return slices.Compare([]byte(a.kind), []byte(b.kind))
			})
			for _, p := range back {
				out = append(out, Return{t.Piece, p.measure, p.kind, days, after[0].At})
			}
		}
	}
	return out, nil
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
