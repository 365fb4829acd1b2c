package shelf

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/said"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// Take is one recorded playing, as the list of takes tells of it. Beside the
// sound there is a small JSON file that holds this.
type Take struct {
	Made       time.Time `json:"made"`
	Piece      string    `json:"piece"`           // the piece's file
	Content    string    `json:"notes,omitempty"` // what the piece is known by, see piece.Content; "" in takes of before
	Title      string    `json:"title"`
	Name       string    `json:"name,omitempty"`      // as its player named it
	Recording  string    `json:"recording,omitempty"` // the path of a recording made elsewhere; empty for a take of this desk
	Way        work.Way  `json:"way"`
	Measures   string    `json:"measures"`              // as printed; empty for all
	QPM        float64   `json:"tempo_qpm"`             // asked for
	Heard      float64   `json:"tempo_heard,omitempty"` // as it was played
	Seconds    float64   `json:"seconds"`
	Complete   bool      `json:"complete"`       // false while it is played, and where the program was cut off
	Found      string    `json:"found"`          // one line; empty where it was not judged
	Said       string    `json:"said,omitempty"` // what it came to, as it was told then
	Dismissed  []Dismiss `json:"dismissed,omitempty"`
	Clean      []string  `json:"clean,omitempty"` // measures in which all was heard as written and nothing told, as printed
	Told       []string  `json:"told,omitempty"`  // the others of which it was heard how they went
	A4         float64   `json:"a4_hz"`
	Intonation string    `json:"intonation"`
	Level      string    `json:"level"`

	Player  string            `json:"player,omitempty"`       // whose it is; "" for nobody known
	Instead bool              `json:"instead,omitempty"`      // something played in the microphone's place
	Given   finding.Reference `json:"reference,omitzero"`     // what a few measures are judged by
	Sounds  work.Sound        `json:"sounds,omitempty"`       // what sounded beside the player
	Delay   string            `json:"delay,omitempty"`        // DelayMeasured or DelayDevices, where a click led
	Click   *float64          `json:"click_s,omitempty"`      // when the first measure's first click was heard, s of the take
	Lost    float64           `json:"lost_s,omitempty"`       // of the take's sound, silent in it
	Reports int64             `json:"lost_reports,omitempty"` // times that the sound card told of a loss besides

	Sound string     `json:"-"` // the path of the WAV, or of a recording made elsewhere
	Held  *tape.Held `json:"-"` // what of it could not be written; nil for nothing
	kept  bool       // its notes stand beside it in the folder of takes
	notes string     // where they stand where the sound lies elsewhere
}

// What a take remembers of where its delay came from.
const (
	DelayMeasured = "measured"
	DelayDevices  = "devices" // their own figures: fair at most
)

// Dismiss is a finding that the player does not agree with, and why.
type Dismiss struct {
	Measure string       `json:"measure"`
	Pass    int          `json:"pass"`
	Beat    float64      `json:"beat"`
	Kind    finding.Kind `json:"kind"`
	Reason  string       `json:"reason"`
}

// Reasons are offered for putting a finding aside; any other may be typed.
func Reasons() []string {
	return []string{words.Say("desk.reason.meant"), words.Say("desk.reason.chair"), words.Say("desk.reason.talked"), words.Say("desk.reason.otherwise")}
}

func (d Dismiss) of(f *finding.Finding) bool {
	return d.Measure == f.Measure && d.Pass == f.Pass && d.Beat == f.Beat && d.Kind == f.Kind
}

// Reason gives the reason for which a finding was put aside.
func (t *Take) Reason(f *finding.Finding) (reason string, aside bool) {
	for _, d := range t.Dismissed {
		if d.of(f) {
			return d.Reason, true
		}
	}
	return "", false
}

// Own reports whether the sound lies in the folder of takes.
func (t *Take) Own() bool { return t.kept }

// Elsewhere reports whether a take is a recording made elsewhere.
func (t *Take) Elsewhere() bool { return t.Recording != "" }

// Place gives a take made now a path in a folder, that nothing has yet.
func (t *Take) Place(folder string) {
	t.Sound, t.kept = wholefile.Free(filepath.Join(folder, t.Made.Format(stamp)+".wav")), true
}

// Opened makes it a recording made elsewhere, as old as its file.
func (t *Take) Opened(path string) *Take {
	t.Sound, t.Recording, t.Complete = path, path, true
	if info, err := os.Stat(path); err == nil {
		t.Made = info.ModTime()
	}
	return t
}

// Tempo is the one asked for where the desk kept the beat and it was kept to, else the one
// heard; 0 for not known.
func (t *Take) Tempo() float64 {
	if t.Heard > 0 && (t.Elsewhere() || !t.Way.Leads() || math.Abs(t.Heard-t.QPM) > t.QPM*t.tempoLet()/100) {
		return t.Heard
	}
	return t.QPM
}

// tempoLet is how far a tempo may lie from the one asked for, as its level has it, per cent.
func (t *Take) tempoLet() float64 {
	level, err := finding.LevelByName(t.Level)
	if err != nil {
		level = finding.Intermediate
	}
	return level.Tempo
}

// Trouble is what an error in hearing a take comes to. Where a take of the desk's
// own lies is nothing that its player chose: it goes without the path.
func (t *Take) Trouble(err error) string {
	if why, its := words.Reason(err, t.Sound); its && t.kept {
		return said.Typed(why)
	}
	return said.Sentence(err)
}

// beside is the path of the JSON that belongs to the take; empty for none.
func (t *Take) beside() string {
	if t.kept {
		return strings.TrimSuffix(t.Sound, filepath.Ext(t.Sound)) + ".json"
	}
	return t.notes
}

// Save writes the JSON.
func (t *Take) Save() error {
	path := t.beside()
	if path == "" {
		return nil
	}
	data, err := json.MarshalIndent(t, "", "  ")
	if err != nil {
		return err
	}
	return wholefile.Write(path, append(data, '\n'))
}

// files are those that go where the take is removed. Of a recording made elsewhere
// only the notes do.
func (t *Take) files() (paths []string) {
	if t.kept {
		paths = append(paths, t.Sound)
	}
	if notes := t.beside(); notes != "" {
		paths = append(paths, notes)
	}
	return paths
}

// Discard removes a take in which nothing was heard.
func (t *Take) Discard() {
	for _, path := range t.files() {
		os.Remove(path)
	}
}

// went says of each measure that was heard how it went.
func (t *Take) went(p *piece.Piece, h *finding.Hearing) {
	t.Clean, t.Told = nil, nil
	for _, m := range h.ByMeasure(p) {
		switch {
		case !m.Judged():
		case m.Clean():
			t.Clean = append(t.Clean, m.Number)
		default:
			t.Told = append(t.Told, m.Number)
		}
	}
}

// found tells a hearing in a few words, for the list of takes.
func found(p *piece.Piece, h *finding.Hearing, dismissed []Dismiss) string {
	n := 0
	for i := range h.Findings {
		skip := false
		for _, d := range dismissed {
			skip = skip || d.of(&h.Findings[i])
		}
		if !skip && h.Findings[i].Kind != finding.NotSure {
			n++
		}
	}
	switch {
	case n == 0 && !h.Judged(p):
		return words.Say("desk.found.not-sure")
	case n == 0:
		return words.Say("desk.found.nothing")
	}
	return words.Many("desk.found", n).String()
}
