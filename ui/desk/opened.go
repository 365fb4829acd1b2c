package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"time"

	"endpin/piece/words"
	"endpin/ui/desk/work"
)

// Open hears a recording made elsewhere. It goes on in the background; Cancel
// ends it. What was heard of it before, and put aside in it, is still known.
func (d *Desk) Open(path string) {
	if d.busy("open") {
		return
	}
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	measures := ""
	if !d.Score.Whole(d.Work.First, d.Work.Last) {
		measures = d.Range()
	}
	t := d.recordingAt(path)
	if t.Elsewhere() {
		t.Measures = measures
	}
	d.CutOff = nil
	d.say("")
	d.judge(t)
}

// recordingAt is the take that is known of a recording, with what was put aside in
// it, or else a new one.
func (d *Desk) recordingAt(path string) *Take {
	for _, t := range d.Takes {
		if t.Sound == path {
			return t
		}
	}
	t := &Take{Made: d.means.Now(), Piece: d.Score.File, Title: d.Score.Title(), Way: work.PlayAlone, Sound: path, Recording: path, Complete: true,
		A4: d.Settings.A4, Intonation: d.Settings.Intonation, Level: d.Settings.Level}
	if info, err := os.Stat(path); err == nil {
		t.Made = info.ModTime()
	}
	return t
}

// busy says so where something else goes on before what is to be done.
func (d *Desk) busy(deed string) bool {
	switch {
	case d.Running:
		d.Say(words.Say("desk.busy.playing." + deed))
	case d.Judging:
		d.Say(words.Say("desk.busy.hearing." + deed))
	}
	return d.Running || d.Judging
}

// Elsewhere reports whether a take is a recording made elsewhere.
func (t *Take) Elsewhere() bool { return t.Recording != "" }

// Tempo is the one asked for where the desk kept the beat, else the one heard;
// 0 for not known.
func (t *Take) Tempo() float64 {
	if (t.Elsewhere() || !t.Way.Leads()) && t.Heard > 0 {
		return t.Heard
	}
	return t.QPM
}

// HearingOf names what is being heard.
func (d *Desk) HearingOf() string {
	if t := d.judging; t != nil && t.Elsewhere() {
		return filepath.Base(t.Sound)
	}
	return words.Say("desk.hearing.take")
}

// list puts a take that was opened among the takes.
func (d *Desk) list(t *Take) {
	for _, x := range d.Takes {
		if x == t {
			return
		}
	}
	if t.Elsewhere() && d.means.Folder != "" && t.notes == "" {
		t.notes = newNotes(d.means.Folder, d.means.Now())
	}
	at := sort.Search(len(d.Takes), func(i int) bool { return d.Takes[i].Made.Before(t.Made) })
	d.Takes = append(d.Takes[:at:at], append([]*Take{t}, d.Takes[at:]...)...)
}

// newNotes is a path for the notes of a recording opened now, that nothing has yet.
func newNotes(folder string, now time.Time) string {
	base := filepath.Join(folder, now.Format("2006-01-02 15-04-05")+" opened")
	path := base + ".json"
	for n := 2; ; n++ {
		if _, err := os.Lstat(path); err != nil {
			return path
		}
		path = fmt.Sprintf("%s (%d).json", base, n)
	}
}

// opened reads the notes of recordings that lie elsewhere.
func opened(folder string) (all []*Take) {
	notes, _ := filepath.Glob(filepath.Join(escape(folder), "* opened*.json"))
	for _, path := range notes {
		var t Take
		data, err := os.ReadFile(path)
		if err != nil || json.Unmarshal(data, &t) != nil || t.Recording == "" {
			continue
		}
		t.Sound, t.notes, t.Complete = t.Recording, path, true
		all = append(all, &t)
	}
	return all
}

// own leaves out the takes of other pieces.
func ownTakes(s *Score, all []*Take) (own []*Take) {
	for _, t := range all {
		if t.Piece == "" || same(t.Piece, s.File) || t.Title == s.Title() {
			own = append(own, t)
		}
	}
	return own
}

// Remove takes a take away for good: its sound and what was found in it. Of a
// recording made elsewhere only the notes go.
func (d *Desk) Remove(t *Take) {
	if d.busy("remove") {
		return
	}
	paths := []string{t.beside()}
	if t.kept {
		paths = []string{t.Sound, t.beside()}
	}
	for _, path := range paths {
		if path == "" {
			continue
		}
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			d.Say(words.Say("desk.take.not-removed", "path", path, "err", bare(err)))
			return
		}
	}
	for i, x := range d.Takes {
		if x == t {
			d.Takes = append(d.Takes[:i:i], d.Takes[i+1:]...)
			break
		}
	}
	if d.CutOff == t {
		d.CutOff = nil
	}
	if d.Shown != nil && d.Shown.Take == t {
		d.LookAway()
		d.Shown = nil
	}
	d.tell()
}

// bare is what the system says, without the path that it repeats.
func bare(err error) error {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}
