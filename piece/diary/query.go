package diary

import (
	"math"
	"time"
)

// Span is what part of a player's diary is asked for.
type Span struct {
	Player string
	Piece  string    // its title, or the beginning of its content; empty for all
	From   time.Time // zero for the beginning
	To     time.Time // excluded; zero for no end
}

// bounds are the span's, as the tables have them.
func (d *Diary) bounds(s Span) (name string, from, to int64, err error) {
	from, to = s.when()
	name, err = spelled(d.db, s.Player)
	return name, from, to, err
}

// when is from when to when the span goes, as the tables have it.
func (s Span) when() (from, to int64) {
	from, to = math.MinInt64, math.MaxInt64
	if !s.From.IsZero() {
		from = s.From.UnixMilli()
	}
	if !s.To.IsZero() {
		to = s.To.UnixMilli()
	}
	return from, to
}

// PlayerInfo is one player of the diary.
type PlayerInfo struct {
	Name  string
	Takes int
	First time.Time // of the takes whose date may be right, if any has; zero where there are none
	Last  time.Time
}

// Players lists the players by name.
func (d *Diary) Players() ([]PlayerInfo, error) {
	var all []PlayerInfo
	err := d.each(`SELECT name, count(t.id), coalesce(min(CASE t.warning WHEN '' THEN t.at_ms END), min(t.at_ms), 0),
			coalesce(max(CASE t.warning WHEN '' THEN t.at_ms END), max(t.at_ms), 0), coalesce(max(t.zone_min), 0)
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

// Spelled is a player's name as the diary spells it, however it is typed.
func (d *Diary) Spelled(player string) (string, error) {
	name, err := spelled(d.db, player)
	return name, d.named(err)
}

// spelledOrAll is Spelled, or "" for everyone.
func (d *Diary) spelledOrAll(player string) (string, error) {
	if player == "" {
		return "", nil
	}
	return d.Spelled(player)
}

// Has says whether the diary knows the player.
func (d *Diary) Has(player string) (bool, error) {
	return d.any(player, `SELECT count(*) FROM players WHERE name = ?`)
}

// HasPiece says whether the player has a take of a piece, by its title or its content.
func (d *Diary) HasPiece(player, piece string) (bool, error) {
	return d.any(player, `SELECT count(*) FROM (SELECT player, piece FROM takes UNION SELECT player, piece FROM mended) t
		JOIN players ON players.id = t.player JOIN pieces ON pieces.id = t.piece
		WHERE players.name = ?1 AND (pieces.title = ?2 OR pieces.content = ?2)`, piece)
}

// any reports whether a query, which counts, finds any of a player's.
func (d *Diary) any(player, query string, more ...any) (bool, error) {
	name, err := spelled(d.db, player)
	n := 0
	if err == nil {
		err = d.db.QueryRow(query, append([]any{name}, more...)...).Scan(&n)
	}
	return n > 0, d.named(err)
}

// each asks and hands over each row.
func (d *Diary) each(query string, args []any, take func(scan func(...any) error) error) error {
	return d.named(each(d.db, query, args, take))
}

func each(db asker, query string, args []any, take func(scan func(...any) error) error) error {
	rows, err := db.Query(query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := take(rows.Scan); err != nil {
			return err
		}
	}
	return rows.Err()
}
