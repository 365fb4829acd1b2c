package diary

import (
	"database/sql"
	"time"

	"endpin/piece/finding"
)

// Mended is one thing that was heard, worked on, and held in the end: at its place, joined
// with the measures beside it, and in its section.
type Mended struct {
	Player  string
	Piece   string // its title
	Content string // piece.Content
	At      time.Time
	Kind    finding.Kind
	Measure string // as printed
	Was     float64
	Now     *float64 // at the end; nil where that could not be measured
	Let     float64  // what was let pass; as the two above in the kind's unit
	Level   string   // by which that is
	Rounds  int      // that it took
}

// AddMended puts it into the player's diary; once, however often it is told.
func (d *Diary) AddMended(m Mended) error {
	return d.write(func(tx *sql.Tx) error {
		name, err := spelled(tx, m.Player)
		if err != nil {
			return err
		}
		ms, zone, day := zoned(m.At)
		for _, known := range []struct {
			insert string
			what   []any
		}{
			{`INSERT OR IGNORE INTO players (name) VALUES (?)`, []any{name}},
			{`INSERT OR IGNORE INTO pieces (content, title) VALUES (?, ?)`, []any{m.Content, m.Piece}},
			{`INSERT OR IGNORE INTO mended (player, piece, at_ms, zone_min, day, kind, measure, was, now, let_pass, level, rounds)
				SELECT players.id, pieces.id, ?, ?, ?, ?, ?, ?, ?, ?, ?, ? FROM players, pieces WHERE name = ? AND content = ?`,
				[]any{ms, zone, day, string(m.Kind), m.Measure, m.Was, m.Now, m.Let, m.Level, m.Rounds, name, m.Content}},
		} {
			if _, err := tx.Exec(known.insert, known.what...); err != nil {
				return err
			}
		}
		return nil
	})
}

// Mended gives what was mended in a span, in order of time.
func (d *Diary) Mended(s Span) (all []Mended, err error) {
	name, from, to, err := d.bounds(s)
	if err != nil {
		return nil, d.named(err)
	}
	err = d.each(`SELECT pieces.title, pieces.content, m.at_ms, m.zone_min, m.kind, m.measure, m.was, m.now, m.let_pass, m.level, m.rounds
		FROM mended m JOIN players ON players.id = m.player JOIN pieces ON pieces.id = m.piece
		WHERE players.name = ?1 AND m.at_ms >= ?2 AND m.at_ms < ?3 AND (?4 = '' OR pieces.title = ?4 OR pieces.content = ?4) ORDER BY m.at_ms, m.id`,
		[]any{name, from, to, s.Piece}, func(scan func(...any) error) error {
			m := Mended{Player: name}
			var ms int64
			var zone int
			err := scan(&m.Piece, &m.Content, &ms, &zone, &m.Kind, &m.Measure, &m.Was, &m.Now, &m.Let, &m.Level, &m.Rounds)
			m.At = moment(ms, zone)
			all = append(all, m)
			return err
		})
	return all, err
}
