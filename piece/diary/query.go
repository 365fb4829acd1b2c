package diary

import (
	"math"
	"time"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/trend"
)

// Span is what part of a player's diary is asked for.
type Span struct {
	Player string
	Piece  string    // its title, or the beginning of its content; empty for all
	From   time.Time // zero for the beginning
	To     time.Time // excluded; zero for no end
}

// bounds are the span's, as the tables have them.
func (s Span) bounds() (name string, from, to int64, err error) {
	if name, err = Name(s.Player); err != nil {
		return "", 0, 0, err
	}
	from, to = math.MinInt64, math.MaxInt64
	if !s.From.IsZero() {
		from = s.From.UnixMilli()
	}
	if !s.To.IsZero() {
		to = s.To.UnixMilli()
	}
	return name, from, to, nil
}

// PlayerInfo is one player of the diary.
type PlayerInfo struct {
	Name  string
	Takes int
	First time.Time // of the takes; zero where there are none
	Last  time.Time
}

// Players lists the players by name.
func (d *Diary) Players() ([]PlayerInfo, error) {
	var all []PlayerInfo
	err := d.each(`SELECT name, count(t.id), coalesce(min(t.at_ms), 0), coalesce(max(t.at_ms), 0), coalesce(max(t.zone_min), 0)
		FROM players LEFT JOIN takes t ON t.player = players.id GROUP BY players.id ORDER BY name`, nil, func(scan func(...any) error) error {
		var p PlayerInfo
		var first, last int64
		var zone int
		if err := scan(&p.Name, &p.Takes, &first, &last, &zone); err != nil {
			return err
		}
		if p.Takes > 0 {
			p.First, p.Last = moment(first, zone), moment(last, zone)
		}
		all = append(all, p)
		return nil
	})
	return all, err
}

// Has says whether the diary knows the player.
func (d *Diary) Has(player string) (bool, error) {
	name, err := Name(player)
	if err != nil {
		return false, d.named(err)
	}
	var n int
	err = d.db.QueryRow(`SELECT count(*) FROM players WHERE name = ?`, name).Scan(&n)
	return n > 0, d.named(err)
}

// each asks and hands over each row.
func (d *Diary) each(query string, args []any, take func(scan func(...any) error) error) error {
	rows, err := d.db.Query(query, args...)
	if err != nil {
		return d.named(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := take(rows.Scan); err != nil {
			return d.named(err)
		}
	}
	return d.named(rows.Err())
}

// ofPiece keeps a span to one piece; its argument is ?4.
const ofPiece = `(?4 = '' OR pieces.title = ?4 OR pieces.content = ?4)`

// TakeInfo is one take as the diary lists it.
type TakeInfo struct {
	ID        int64
	At        time.Time
	Piece     string
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

// Takes lists the takes of a span, in order of time.
func (d *Diary) Takes(s Span) ([]TakeInfo, error) {
	name, from, to, err := s.bounds()
	if err != nil {
		return nil, d.named(err)
	}
	var all []TakeInfo
	err = d.each(`SELECT t.id, t.at_ms, t.zone_min, pieces.title, t.duration_s, h.tempo_heard_qpm, h.heard_a_hz, h.level, h.listening, h.note_count,
			(SELECT count(*) FROM findings f WHERE f.hearing = h.id),
			(SELECT count(*) FROM findings f WHERE f.hearing = h.id AND f.kind = ?5),
			(SELECT count(*) FROM findings f WHERE f.hearing = h.id AND f.kind = ?6), t.sound <> '', t.warning
		FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND `+ofPiece+` ORDER BY t.at_ms, t.id`,
		[]any{name, from, to, s.Piece, string(finding.Late), string(finding.HeldShort)}, func(scan func(...any) error) error {
			var t TakeInfo
			var ms int64
			var zone int
			err := scan(&t.ID, &ms, &zone, &t.Piece, &t.Duration, &t.QPM, &t.HeardA, &t.Level, &t.Listening, &t.Notes, &t.Findings, &t.Late, &t.Short, &t.Kept, &t.Warning)
			t.At = moment(ms, zone)
			all = append(all, t)
			return err
		})
	return all, err
}

// Landings gives the landings of a span by shift, in order of the pieces and
// their measures. Only the counted hearing of each take is taken, and of those
// the ones by the newest version of the listening: what two versions heard is
// not compared. older is how many takes that leaves out.
func (d *Diary) Landings(s Span) (groups []trend.Group, older int, err error) {
	name, from, to, err := s.bounds()
	if err != nil {
		return nil, 0, d.named(err)
	}
	type judged struct {
		at        time.Time
		tolerance float64
		take      string
	}
	hearings := map[int64]*judged{}
	newest := 0
	err = d.each(`SELECT h.id, h.listening, h.frame_cents, t.id, t.at_ms, t.zone_min
		FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND `+ofPiece, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		var id, ms, take int64
		var listening, zone int
		var j judged
		if err := scan(&id, &listening, &j.tolerance, &take, &ms, &zone); err != nil {
			return err
		}
		if listening > newest {
			older += len(hearings)
			newest = listening
			clear(hearings)
		}
		if listening < newest {
			older++
			return nil
		}
		j.at, j.take = moment(ms, zone), id36(take)
		hearings[id] = &j
		return nil
	})
	if err != nil {
		return nil, 0, err
	}
	var order []int64
	byShift := map[int64]*trend.Group{}
	err = d.each(`SELECT s.id, pieces.title, s.measure, s.beat, s.string, s.from_position, s.to_position
		FROM shifts s JOIN pieces ON pieces.id = s.piece
		WHERE s.piece IN (SELECT t.piece FROM takes t JOIN players ON players.id = t.player WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3)
			AND `+ofPiece+` ORDER BY pieces.title, pieces.id, s.printed, s.beat, s.id`, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		var id int64
		var g trend.Group
		err := scan(&id, &g.Shift.Piece, &g.Shift.Measure, &g.Shift.Beat, &g.Shift.String, &g.Shift.From, &g.Shift.To)
		byShift[id] = &g
		order = append(order, id)
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	// Semitones come with the shift: they are asked for here to spare a join a row.
	semitones := map[int64]int{}
	err = d.each(`SELECT id, semitones FROM shifts`, nil, func(scan func(...any) error) error {
		var id int64
		var n int
		err := scan(&id, &n)
		semitones[id] = n
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	err = d.each(`SELECT hearing, shift, cents, coalesce(settle_ms, -1), qpm, carried_by, plucked, trust FROM landings
		WHERE player = (SELECT id FROM players WHERE name = ?1) AND at_ms >= ?2 AND at_ms < ?3 AND counted = 1`,
		[]any{name, from, to}, func(scan func(...any) error) error {
			var hearing, shift int64
			var l trend.Landing
			var carried, trust string
			if err := scan(&hearing, &shift, &l.Cents, &l.SettleMS, &l.QPM, &carried, &l.Plucked, &trust); err != nil {
				return err
			}
			h, g := hearings[hearing], byShift[shift]
			if h == nil || g == nil {
				return nil
			}
			if l.SettleMS < 0 {
				l.SettleMS = math.NaN()
			}
			l.When, l.Take, l.Tolerance, l.Semitones = h.at, h.take, h.tolerance, semitones[shift]
			l.CarriedBy, l.Trust = fingerboard.Carrier(carried), dsp.Trust(trust)
			g.Landings = append(g.Landings, l)
			return nil
		})
	for _, id := range order {
		if g := byShift[id]; len(g.Landings) > 0 {
			groups = append(groups, *g)
		}
	}
	return groups, older, err
}
