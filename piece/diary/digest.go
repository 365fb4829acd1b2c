package diary

import (
	"database/sql"
	"encoding/json"
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/finding"
)

// A digest is what weeks are told from: the landings, measures and open strings
// of one hearing, each as JSON with one list for each field. A month of landings
// is then some hundreds of rows and not tens of thousands, since handing over a
// row costs more than what stands in it; the views in schema.go show the lists as
// tables.

// landingColumns are the landings of a hearing.
type landingColumns struct {
	Shift     []int64     `json:"shift"` // its row in shifts
	Pass      []int       `json:"pass"`
	Cents     []float64   `json:"cents"`
	SettleMS  []*float64  `json:"settle_ms"`
	QPM       []float64   `json:"qpm"`
	CarriedBy []string    `json:"carried_by"`
	Plucked   []int       `json:"plucked"` // 0 or 1, as the two below
	Marked    []int       `json:"marked"`
	Other     []int       `json:"alternative"`
	Trust     []dsp.Trust `json:"trust"`
	At        []float64   `json:"at_s"`
}

// measureColumns say how each printed measure of a hearing went.
type measureColumns struct {
	Printed []int    `json:"printed"` // index of the printed measure, for the order
	Measure []string `json:"measure"`
	Notes   []int    `json:"notes"`  // expected
	Heard   []int    `json:"heard"`  // of these, as written
	Told    []int    `json:"told"`   // findings that cover it, those of the whole take left out
	Unsure  []int    `json:"unsure"` // notes heard without trust
}

// stringColumns are the open strings of a hearing: the median against the
// player's own reference, and of how many notes.
type stringColumns struct {
	String []int     `json:"string"`
	Cents  []float64 `json:"cents"`
	Notes  []int     `json:"notes"`
}

func bit(is bool) int {
	if is {
		return 1
	}
	return 0
}

// digest files the digest of a hearing.
func (w *writing) digest(hearing int64) error {
	landings, err := w.landings()
	if err != nil {
		return err
	}
	args := []any{hearing}
	for _, v := range []any{landings, w.measures(), w.openStrings()} {
		text, err := json.Marshal(v)
		if err != nil {
			return err
		}
		args = append(args, string(text))
	}
	_, err = w.tx.Exec(`INSERT INTO digests (hearing, landings, measures, open_strings) VALUES (?,?,?,?)`, args...)
	return err
}

func (w *writing) landings() (c landingColumns, err error) {
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
		c.Shift, c.Pass, c.Cents, c.SettleMS = append(c.Shift, id), append(c.Pass, x.Pass), append(c.Cents, x.Cents), append(c.SettleMS, x.SettleMS)
		c.QPM, c.CarriedBy = append(c.QPM, x.QPM), append(c.CarriedBy, string(x.CarriedBy))
		c.Plucked, c.Marked, c.Other = append(c.Plucked, bit(x.Plucked)), append(c.Marked, bit(x.Marked)), append(c.Other, bit(x.Other))
		c.Trust, c.At = append(c.Trust, x.Trust), append(c.At, x.At)
	}
	return c, nil
}

func (w *writing) measures() (c measureColumns) {
	for _, m := range w.take.Hearing.ByMeasure(w.take.Piece) {
		c.Printed, c.Measure, c.Notes = append(c.Printed, m.Printed), append(c.Measure, m.Number), append(c.Notes, m.Notes)
		c.Heard, c.Told, c.Unsure = append(c.Heard, m.Heard), append(c.Told, m.Told), append(c.Unsure, m.Unsure)
	}
	return c
}

func (w *writing) openStrings() (c stringColumns) {
	heard := map[int][]float64{}
	for i := range w.take.Hearing.Notes {
		n := &w.take.Hearing.Notes[i]
		if n.Position == "0" && n.State == finding.StatePlayed && n.Cents != nil && n.Trust != dsp.NotSure && math.Abs(*n.Cents) < 80 {
			heard[n.String] = append(heard[n.String], *n.Cents)
		}
	}
	for s := range heard {
		c.String = append(c.String, s)
	}
	slices.Sort(c.String)
	for _, s := range c.String {
		v := heard[s]
		c.Cents, c.Notes = append(c.Cents, robust.MedianOf(v)), append(c.Notes, len(v))
	}
	return c
}
