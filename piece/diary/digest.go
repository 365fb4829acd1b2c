package diary

import (
	"database/sql"
	"encoding/json"

	"endpin/piece/diary/packed"
)

// digest files what weeks are told from of a hearing.
func (w *writing) digest(hearing int64) error {
	landings, err := w.landings()
	if err != nil {
		return err
	}
	args := []any{hearing}
	for _, v := range []any{landings, packed.MeasuresOf(w.take.Hearing, w.take.Piece), packed.StringsOf(w.take.Hearing)} {
		text, err := json.Marshal(v)
		if err != nil {
			return err
		}
		args = append(args, string(text))
	}
	_, err = w.tx.Exec(`INSERT INTO digests (hearing, landings, measures, open_strings) VALUES (?,?,?,?)`, args...)
	return err
}

func (w *writing) landings() (c packed.Landings, err error) {
	if len(w.take.Hearing.Landings) == 0 {
		return c, nil
	}
	find, err := w.tx.Prepare(`SELECT id FROM shifts WHERE piece = ? AND printed = ? AND measure = ? AND beat = ? AND string = ? AND from_position = ?
		AND to_position = ? AND semitones = ?`)
	if err != nil {
		return c, err
	}
	defer find.Close()
	index := indexes(w.take.Piece)
	for i := range w.take.Hearing.Landings {
		x := &w.take.Hearing.Landings[i]
		var id int64
		key := []any{w.piece, index[x.Measure], x.Measure, x.Beat, x.String, x.From, x.To, x.Semitones}
		err := find.QueryRow(key...).Scan(&id)
		if err == sql.ErrNoRows {
			id, err = w.id(`INSERT INTO shifts (piece, printed, measure, beat, string, from_position, to_position, semitones)
				VALUES (?,?,?,?,?,?,?,?) RETURNING id`, key...)
		}
		if err != nil {
			return c, err
		}
		c.Add(id, x)
	}
	return c, nil
}
