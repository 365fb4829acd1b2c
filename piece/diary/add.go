package diary

import (
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"endpin/piece"
	"endpin/piece/diary/packed"
	"endpin/piece/finding"
	"endpin/piece/player"
	"endpin/piece/words"
)

// Add puts a take into the diary, whole or not at all. A take is known by its
// content and its time: one that is there already is not added again. The same
// sound dated by its file alone counts as the same take whenever the file was
// last written, since copying a file may date it anew.
func (d *Diary) Add(t Take) (Added, error) {
	var a Added
	if _, err := player.Name(t.Player); err != nil {
		return a, d.named(err)
	}
	notes, size, err := packed.Pack(t.Hearing.Notes)
	if err != nil {
		return a, d.named(err)
	}
	var sounds *keeping
	if t.Sound != nil && !d.readOnly {
		if sounds, err = d.keep(t.Content, t.Sound); err != nil {
			return a, err
		}
		defer sounds.undo()
	}
	wentAway := false
	err = d.write(func(tx *sql.Tx) error {
		if wentAway = sounds.wentAway(); wentAway {
			return errSoundWent
		}
		name, err := spelled(tx, t.Player)
		if err != nil {
			return err
		}
		a.Player = name
		w := &writing{tx: tx, take: &t, notes: notes, size: size}
		return w.add(name, &a)
	})
	if wentAway {
		return d.Add(t)
	}
	if err != nil || a.Already {
		return a, err
	}
	if sounds != nil {
		if err := sounds.stands(); err != nil {
			return a, err
		}
		gone, err := d.makeRoom(t.Content)
		a.Warnings = append(a.Warnings, gone...)
		if err != nil {
			return a, err
		}
	}
	return a, nil
}

// writing is a take being written.
type writing struct {
	tx    *sql.Tx
	take  *Take
	notes []byte // packed
	size  int

	player, piece, copy int64
	at                  int64 // ms
}

func (w *writing) add(name string, a *Added) error {
	t := w.take
	ms, zone, day := zoned(t.At)
	w.at = ms
	line, _ := t.Piece.Line()
	content := piece.Content(line)
	if err := w.known(name, content, a); err != nil || a.Already {
		return err
	}
	var err error
	if w.player, err = w.id(`INSERT INTO players (name) VALUES (?1) ON CONFLICT (name) DO UPDATE SET name = ?1 RETURNING id`, name); err != nil {
		return err
	}
	title := t.Hearing.Piece
	if w.piece, err = w.id(`INSERT INTO pieces (content, title) VALUES (?1, ?2) ON CONFLICT (content) DO UPDATE SET title = ?2 RETURNING id`, content, title); err != nil {
		return err
	}
	if w.copy, err = w.copyID(); err != nil {
		return err
	}
	refingered, err := w.refingered()
	if err != nil {
		return err
	}
	if refingered != "" {
		a.Warnings = append(a.Warnings, refingered)
	}
	warning := doubt(t.At, t.Now)
	if warning != "" {
		a.Warnings = append(a.Warnings, warning)
	}
	ends, bytes := "", int64(0)
	if t.Sound != nil {
		ends, bytes = t.Sound.ends(), t.Sound.Size
	}
	a.At = t.At
	a.Take, err = w.id(`INSERT INTO takes (player, piece, copy, content, at_ms, zone_min, day, added_ms, duration_s, warning, sound, sound_bytes)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?) RETURNING id`, w.player, w.piece, w.copy, t.Content, ms, zone, day, t.Now.UnixMilli(),
		t.Hearing.Duration, warning, ends, bytes)
	if err != nil {
		return err
	}
	return w.hearing(a.Take)
}

// id does a statement that gives a row's id back.
func (w *writing) id(query string, args ...any) (id int64, err error) {
	err = w.tx.QueryRow(query, args...).Scan(&id)
	return id, err
}

// known looks whether the player's diary has the take already.
func (w *writing) known(name, content string, a *Added) error {
	return each(w.tx, `SELECT t.id, t.at_ms, t.zone_min FROM takes t JOIN players ON players.id = t.player JOIN pieces ON pieces.id = t.piece
		WHERE players.name = ? AND t.content = ? AND pieces.content = ? ORDER BY t.at_ms`, []any{name, w.take.Content, content}, func(scan func(...any) error) error {
		var id, ms int64
		var zone int
		if err := scan(&id, &ms, &zone); err != nil || a.Already {
			return err
		}
		at := moment(ms, zone)
		if a.Already = ms == w.at || !w.take.Dated; a.Already {
			a.Take, a.At, a.Warnings = id, at, nil
		} else {
			a.Warnings = []string{words.Say("diary.twice", "date", words.Day(at).WithHour())}
		}
		return nil
	})
}

// copyID files the piece's file, once for each content.
func (w *writing) copyID() (int64, error) {
	c := &w.take.Copy
	sum := sha256.Sum256(append([]byte(c.Part+"\x00"), c.Data...))
	key := fmt.Sprintf("%x", sum)
	id, err := w.id(`SELECT id FROM copies WHERE content = ? AND piece = ?`, key, w.piece)
	if err != sql.ErrNoRows {
		return id, err
	}
	file, err := packed.Deflate(c.Data)
	if err != nil {
		return 0, err
	}
	return w.id(`INSERT INTO copies (piece, content, name, part, file, size) VALUES (?,?,?,?,?,?) RETURNING id`,
		w.piece, key, c.Name, c.Part, file, len(c.Data))
}

// refingered says where the fingering is another than in the player's last take
// of the piece: there the shifts are others, and begin a new line.
func (w *writing) refingered() (string, error) {
	var notes []byte
	var size int
	err := w.tx.QueryRow(`SELECT h.notes, h.notes_size FROM takes t JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE t.player = ? AND t.piece = ? ORDER BY t.at_ms DESC LIMIT 1`, w.player, w.piece).Scan(&notes, &size)
	if err == sql.ErrNoRows {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	before, err := packed.Unpack(notes, size)
	if err != nil {
		return "", spoil(words.Fault("diary.spoiled.before", "err", err))
	}
	type place struct {
		measure string
		pass    int
		beat    float64
	}
	type hand struct {
		position string
		str      int
	}
	was, shifts := map[place]hand{}, map[place]bool{}
	for i := range before {
		if n := &before[i]; n.State != finding.StateExtra {
			at := place{n.Measure, n.Pass, n.Beat}
			was[at], shifts[at] = hand{n.Position, n.String}, n.AfterShift
		}
	}
	var measures []string
	for i := range w.take.Hearing.Notes {
		n := &w.take.Hearing.Notes[i]
		at := place{n.Measure, n.Pass, n.Beat}
		old, there := was[at]
		now := hand{n.Position, n.String} // where a take of a few measures begins nobody shifts
		if n.State != finding.StateExtra && there && old != now && (shifts[at] || n.AfterShift) && !slices.Contains(measures, n.Measure) {
			measures = append(measures, n.Measure)
		}
	}
	if len(measures) == 0 {
		return "", nil
	}
	return words.Many("diary.refingered", len(measures), "measures", words.Row(measures...)).String(), nil
}

// hearing files one judgement of a take and makes it the one that is counted,
// unless a later listening has judged it already.
func (w *writing) hearing(take int64) error {
	t, h := w.take, w.take.Hearing
	asked, _ := json.Marshal(t.Asked)
	worth, _ := json.Marshal(h.WorthFixing)
	remarks, _ := json.Marshal(h.Remarks)
	var newest, before int
	if err := w.tx.QueryRow(`SELECT coalesce(max(listening), 0), count(*) FROM hearings WHERE take = ?`, take).Scan(&newest, &before); err != nil {
		return err
	}
	counted := before == 0 || h.Listening >= newest
	if counted && before > 0 {
		if _, err := w.tx.Exec(`UPDATE hearings SET counted = 0 WHERE take = ?`, take); err != nil {
			return err
		}
	}
	l := t.Level
	id, err := w.id(`INSERT INTO hearings (take, listening, counted, judged_ms, asked, level, intonation, frame_cents, note_cents, onset_ms, held,
		tempo_percent, tuning_cents, reference_a_hz, heard_a_hz, tempo_asked_qpm, tempo_heard_qpm, worth_fixing, remarks, notes, notes_size, note_count)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?) RETURNING id`, take, h.Listening, counted, t.Now.UnixMilli(), string(asked), h.Level,
		h.Intonation, l.Frame, l.Note, l.Onset, l.Held, l.Tempo, l.Tuning, h.ReferenceA, h.HeardA, h.TempoAsked, h.TempoHeard,
		string(worth), string(remarks), w.notes, w.size, len(h.Notes))
	if err != nil {
		return err
	}
	if h.Program != "" {
		if _, err := w.tx.Exec(`INSERT INTO programs (hearing, program) VALUES (?,?)`, id, h.Program); err != nil {
			return err
		}
	}
	if err := w.findings(id); err != nil {
		return err
	}
	return w.digest(id)
}

// rows puts many rows into a table by one prepared statement.
func (w *writing) rows(query string, count int, args func(i int) []any) error {
	if count == 0 {
		return nil
	}
	s, err := w.tx.Prepare(query)
	if err != nil {
		return err
	}
	defer s.Close()
	for i := range count {
		if _, err := s.Exec(args(i)...); err != nil {
			return err
		}
	}
	return nil
}

func (w *writing) findings(hearing int64) error {
	f := w.take.Hearing.Findings
	return w.rows(`INSERT INTO findings VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`, len(f), func(i int) []any {
		x := &f[i]
		return []any{hearing, i, x.Measure, x.ToMeasure, x.Pass, x.Beat, string(x.Kind), x.Value, string(x.Trust), x.Text, x.Short, x.Spread, x.Tolerance, x.Notes, x.At}
	})
}

// indexes gives the first printed measure with each number.
func indexes(p *piece.Piece) map[string]int {
	index := map[string]int{}
	for i := range p.Measures {
		if _, there := index[p.Measures[i].Number]; !there {
			index[p.Measures[i].Number] = i
		}
	}
	return index
}

// Rehear files a later listening's judgement of a take whose sound was kept,
// beside those before it.
func (d *Diary) Rehear(k Kept, h *finding.Hearing, level finding.Level, now time.Time) error {
	notes, size, err := packed.Pack(h.Notes)
	if err != nil {
		return d.named(err)
	}
	return d.write(func(tx *sql.Tx) error {
		t := Take{Piece: k.Piece, Now: now, Asked: k.Asked, Level: level, Hearing: h}
		w := &writing{tx: tx, take: &t, notes: notes, size: size}
		var there int
		err := tx.QueryRow(`SELECT player, piece, at_ms, (SELECT count(*) FROM hearings WHERE take = takes.id AND listening = ?2) FROM takes WHERE id = ?1`,
			k.Take, h.Listening).Scan(&w.player, &w.piece, &w.at, &there)
		if err == sql.ErrNoRows || there > 0 {
			return nil // forgotten, or judged, meanwhile
		}
		if err != nil {
			return err
		}
		return w.hearing(k.Take)
	})
}
