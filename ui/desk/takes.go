package desk

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// Take is one recorded playing, as the list of takes tells of it. Beside the
// sound there is a small JSON file that holds this.
type Take struct {
	Made       time.Time `json:"made"`
	Piece      string    `json:"piece"` // the piece's file
	Title      string    `json:"title"`
	Recording  string    `json:"recording,omitempty"` // the path of a recording made elsewhere; empty for a take of this desk
	Way        work.Way  `json:"way"`
	Measures   string    `json:"measures"`              // as printed; empty for all
	QPM        float64   `json:"tempo_qpm"`             // asked for
	Heard      float64   `json:"tempo_heard,omitempty"` // as it was played
	Seconds    float64   `json:"seconds"`
	Complete   bool      `json:"complete"` // false while it is played, and where the program was cut off
	Found      string    `json:"found"`    // one line; empty where it was not judged
	Dismissed  []Dismiss `json:"dismissed,omitempty"`
	A4         float64   `json:"a4_hz"`
	Intonation string    `json:"intonation"`
	Level      string    `json:"level"`

	Player  string     `json:"player,omitempty"`       // whose it is; "" for nobody known
	Instead bool       `json:"instead,omitempty"`      // something played in the microphone's place
	Sounds  work.Sound `json:"sounds,omitempty"`       // what sounded beside the player
	Delay   string     `json:"delay,omitempty"`        // DelayMeasured or DelayDevices, where a click led
	Click   *float64   `json:"click_s,omitempty"`      // when the first measure's first click was heard, s of the take
	Lost    float64    `json:"lost_s,omitempty"`       // of the take's sound, silent in it
	Reports int64      `json:"lost_reports,omitempty"` // times that the sound card told of a loss besides

	Sound string     `json:"-"` // the path of the WAV, or of a recording made elsewhere
	began float64    // when its first sample was heard, s of its attempt; -1 before that
	kept  bool       // its notes stand beside it in the folder of takes
	notes string     // where they stand where the sound lies elsewhere
	held  *tape.Held // what of it could not be written; nil for nothing
}

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

// dismissed gives the reason for which a finding was dismissed.
func (t *Take) dismissed(f *finding.Finding) (reason string, ok bool) {
	for _, d := range t.Dismissed {
		if d.of(f) {
			return d.Reason, true
		}
	}
	return "", false
}

// beside is the path of the JSON that belongs to the take; empty for none.
func (t *Take) beside() string {
	if t.kept {
		return strings.TrimSuffix(t.Sound, filepath.Ext(t.Sound)) + ".json"
	}
	return t.notes
}

// clicked remembers where the click lay.
func (t *Take) clicked(r *run) {
	if r.mic != nil && r.speaker.out != nil && t.began >= 0 {
		at := r.attempt.began + r.attempt.table.Turn - t.began
		t.Click = &at
	}
}

// save writes the JSON.
func (t *Take) save() error {
	path := t.beside()
	if path == "" {
		return nil
	}
	data, err := json.MarshalIndent(t, "", "  ")
	if err != nil {
		return err
	}
	return replaceFile(path, append(data, '\n'))
}

// newSound is a path for a take made now, that nothing has yet.
func newSound(folder string, now time.Time) string {
	base := filepath.Join(folder, now.Format("2006-01-02 15-04-05"))
	path := base + ".wav"
	for n := 2; ; n++ {
		if _, err := os.Lstat(path); err != nil {
			return path
		}
		path = fmt.Sprintf("%s (%d).wav", base, n)
	}
}

// Takes reads the takes in a folder, the newest first. A WAV whose JSON is
// missing or damaged is a take all the same, and one that was cut off is
// repaired, so that it can be offered whole.
func Takes(folder string) []*Take {
	sounds, _ := filepath.Glob(filepath.Join(escape(folder), "*.wav"))
	var all []*Take
	for _, sound := range sounds {
		t := &Take{Sound: sound, kept: true}
		if data, err := os.ReadFile(t.beside()); err == nil {
			if json.Unmarshal(data, t) != nil {
				*t = Take{Sound: sound, kept: true}
			}
		}
		if t.Made.IsZero() {
			if info, err := os.Stat(sound); err == nil {
				t.Made = info.ModTime()
			}
		}
		if !t.Complete {
			seconds, err := tape.Repair(sound)
			if err != nil || seconds < 0.5 { // nothing was played
				continue
			}
			t.Seconds = seconds
		}
		all = append(all, t)
	}
	all = append(all, opened(folder)...)
	sort.SliceStable(all, func(a, b int) bool { return all[a].Made.After(all[b].Made) })
	return all
}

// escape keeps Glob from reading a folder's own name as a pattern.
func escape(path string) string {
	return strings.NewReplacer("*", "\\*", "?", "\\?", "[", "\\[", "\\", "\\\\").Replace(path)
}

// found tells a hearing in a few words, for the list of takes.
func found(h *finding.Hearing, dismissed []Dismiss) string {
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
	if n == 0 {
		return words.Say("desk.found.nothing")
	}
	return words.Many("desk.found", n).String()
}
