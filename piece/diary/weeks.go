package diary

import (
	"slices"

	"endpin/piece/diary/packed"
	"endpin/piece/diary/weeks"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// takesOf reads the takes of a player from one moment to another, of one piece or, "", of
// all, each with its counted hearing and that one's digest.
const takesOf = `SELECT t.id, t.at_ms, t.zone_min, t.duration_s, t.sound <> '', t.warning, pieces.id, pieces.title, pieces.content,
		coalesce(h.tempo_heard_qpm, 0), coalesce(h.heard_a_hz, 0), coalesce(h.level, ''), coalesce(h.listening, 0), coalesce(h.note_count, 0),
		coalesce(h.frame_cents, 0), coalesce(g.landings, ''), coalesce(g.measures, ''), coalesce(g.open_strings, ''), g.hearing IS NOT NULL, ` + packed.ToldOf + `
	FROM players JOIN takes t ON t.player = players.id JOIN pieces ON pieces.id = t.piece LEFT JOIN hearings h ON h.take = t.id AND h.counted = 1
		LEFT JOIN digests g ON g.hearing = h.id
	WHERE players.name = ?1 AND t.at_ms >= ?2 AND t.at_ms < ?3 AND (?4 = '' OR pieces.title = ?4 OR pieces.content = ?4) ORDER BY t.at_ms, t.id`

// Weeks reads a span. Only the counted hearing of each take is read.
func (d *Diary) Weeks(s Span) (*weeks.Weeks, error) {
	name, from, to, err := d.bounds(s)
	if err != nil {
		return nil, d.named(err)
	}
	last := int64(0)
	w := &weeks.Weeks{Player: name, Spoiled: func(what error) error { return d.named(spoil(what)) }}
	pieces := map[int64]string{}
	err = d.each(takesOf, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		t, err := scanTake(scan)
		switch {
		case err != nil:
			return err
		case t.ID == last:
			return spoil(words.Fault("diary.spoiled.counted", "take", t.ID))
		case t.Warning != "":
			w.Misdated = append(w.Misdated, t)
		default:
			w.Takes, pieces[t.Of] = append(w.Takes, t), t.Piece
		}
		last = t.ID
		return nil
	})
	for piece, title := range pieces {
		if err == nil {
			err = d.each(`SELECT id, measure, beat, string, from_position, to_position, semitones FROM shifts WHERE piece = ? ORDER BY printed, beat, id`,
				[]any{piece}, func(scan func(...any) error) error {
					x := weeks.Shift{Of: piece}
					x.Piece = title
					err := scan(&x.ID, &x.Measure, &x.Beat, &x.String, &x.From, &x.To, &x.Semitones)
					w.Shifts = append(w.Shifts, x)
					return err
				})
		}
	}
	if err != nil {
		return nil, err
	}
	return w, nil
}

// scanTake takes in a row of takesOf.
func scanTake(scan func(...any) error) (t weeks.Take, err error) {
	var ms int64
	var zone int
	var counted bool
	if err := scan(&t.ID, &ms, &zone, &t.Duration, &t.Kept, &t.Warning, &t.Of, &t.Piece, &t.Content, &t.QPM, &t.HeardA, &t.Level, &t.Listening,
		&t.Notes, &t.Tolerance, &t.Landings, &t.Measures, &t.Strings, &counted, &t.Told); err != nil {
		return t, err
	}
	if !counted {
		return t, spoil(words.Fault("diary.spoiled.counted", "take", t.ID))
	}
	t.At = moment(ms, zone)
	packed.EachTold(t.Told, func(packed.Told) { t.Findings++ })
	return t, nil
}

// Takes lists the takes of a span, in order of time, those misdated among them, each with how
// many notes of the page were heard.
func (d *Diary) Takes(s Span) ([]weeks.Take, error) {
	w, err := d.Weeks(s)
	if err != nil {
		return nil, err
	}
	all := append(w.Takes, w.Misdated...)
	heard := map[int64]int{}
	err = d.each(`SELECT take, notes, notes_size FROM hearings h JOIN takes t ON t.id = h.take JOIN players ON players.id = t.player
		WHERE h.counted = 1 AND players.name = ?`, []any{w.Player}, func(scan func(...any) error) error {
		var take int64
		var notes []byte
		var size int
		if err := scan(&take, &notes, &size); err != nil {
			return err
		}
		h := finding.Hearing{}
		var err error
		if h.Notes, err = packed.Unpack(notes, size); err != nil {
			return spoil(words.Fault("diary.spoiled.notes", "take", take, "err", err))
		}
		heard[take] = h.NotesHeard()
		return nil
	})
	if err != nil {
		return nil, err
	}
	for i := range all {
		all[i].Notes = heard[all[i].ID]
	}
	slices.SortStableFunc(all, func(a, b weeks.Take) int { return a.At.Compare(b.At) })
	return all, nil
}
