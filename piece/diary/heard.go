package diary

import (
	"encoding/json"
	"time"

	"endpin/piece/diary/packed"
	"endpin/piece/finding"
)

// Heard is a take with what was heard in it, as far as it is kept: notes, findings, tempos.
type Heard struct {
	Player    string
	Piece     string // its title
	Content   string // piece.Content
	Recording string // SoundContent
	At        time.Time
	Hearing   *finding.Hearing
}

// Heard reads the takes of a span, whole, in order of time; without a player those of all.
// Takes whose date cannot be right are left out.
func (d *Diary) Heard(s Span) ([]Heard, error) {
	from, to := s.when()
	name, err := d.spelledOrAll(s.Player)
	if err != nil {
		return nil, err
	}
	var all []Heard
	var hearings []int64
	err = d.each(`SELECT players.name, pieces.title, pieces.content, t.content, t.at_ms, t.zone_min, t.duration_s, h.id, h.listening, h.level, h.intonation,
			h.reference_a_hz, h.heard_a_hz, h.tempo_asked_qpm, h.tempo_heard_qpm, h.worth_fixing, h.notes, h.notes_size
		FROM takes t JOIN players ON players.id = t.player JOIN pieces ON pieces.id = t.piece JOIN hearings h ON h.take = t.id AND h.counted = 1
		WHERE (?1 = '' OR players.name = ?1) AND t.at_ms >= ?2 AND t.at_ms < ?3 AND t.warning = '' AND (?4 = '' OR pieces.title = ?4 OR pieces.content = ?4)
		ORDER BY t.at_ms, t.id`, []any{name, from, to, s.Piece}, func(scan func(...any) error) error {
		x := Heard{Hearing: &finding.Hearing{Version: 1}}
		h := x.Hearing
		var ms, id int64
		var zone, size int
		var worth string
		var notes []byte
		if err := scan(&x.Player, &x.Piece, &x.Content, &x.Recording, &ms, &zone, &h.Duration, &id, &h.Listening, &h.Level, &h.Intonation,
			&h.ReferenceA, &h.HeardA, &h.TempoAsked, &h.TempoHeard, &worth, &notes, &size); err != nil {
			return err
		}
		x.At, h.Piece = moment(ms, zone), x.Piece
		var err error
		if h.Notes, err = packed.Unpack(notes, size); err == nil {
			err = json.Unmarshal([]byte(worth), &h.WorthFixing)
		}
		all, hearings = append(all, x), append(hearings, id)
		return err
	})
	for i := range all {
		if err == nil {
			all[i].Hearing.Findings, err = d.findings(hearings[i])
		}
	}
	return all, err
}

// findings are those of a hearing.
func (d *Diary) findings(hearing int64) (all []finding.Finding, err error) {
	err = d.each(`SELECT measure, to_measure, pass, beat, kind, value, trust, text, short, spread, tolerance, notes, at_s FROM findings WHERE hearing = ? ORDER BY n`,
		[]any{hearing}, func(scan func(...any) error) error {
			f := finding.Finding{First: -1, Last: -1}
			err := scan(&f.Measure, &f.ToMeasure, &f.Pass, &f.Beat, &f.Kind, &f.Value, &f.Trust, &f.Text, &f.Short, &f.Spread, &f.Tolerance, &f.Notes, &f.At)
			all = append(all, f)
			return err
		})
	return all, err
}
