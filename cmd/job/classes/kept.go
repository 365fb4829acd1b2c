package classes

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"endpin/cmd/job"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// keptPlayed is what is kept of a file that was heard.
type keptPlayed struct {
	Hearing  *finding.Hearing
	Reason   string
	Doubt    string
	Moments  []Moment
	Silenced bool
	Of       int
	Told     map[string]told
}

// keep writes what was heard of a file down.
func (p *Played) keep(path string) error {
	return job.WriteFile(path, func(w io.Writer) error {
		return json.NewEncoder(w).Encode(keptPlayed{p.Hearing, p.Reason, p.Doubt, p.Moments, p.silenced, p.Of, p.told})
	})
}

// key tells a file's content, the piece, and how both were heard apart from all others.
func (r *classRun) key(file string) (string, error) {
	f, err := os.Open(filepath.Join(r.Folder, file))
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	o := r.Options
	instrument, err := json.Marshal(o.Instrument) // no chart, which reads otherwise in another language
	if err != nil {
		return "", err
	}
	o.Instrument = nil
	if err := json.NewEncoder(h).Encode([]any{finding.Listening, keptVersion, file, r.content(), o.Measures, o.QPM, o.A4, o.Level, o.Intonation.Name, o.Positions, string(instrument), r.NoSound}); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)[:16]), nil
}

// content tells the pieces from all others.
func (r *classRun) content() string {
	r.once.Do(func() {
		h := sha256.New()
		for _, p := range r.Pieces {
			_ = json.NewEncoder(h).Encode(p.Piece)
		}
		r.pieces = hex.EncodeToString(h.Sum(nil))
	})
	return r.pieces
}

// keptVersion goes up when what is kept of a file changes.
const keptVersion = 6

func fetch(path string, p *Played) bool {
	data, err := os.ReadFile(path)
	if err != nil {
		return false
	}
	var k keptPlayed
	if json.Unmarshal(data, &k) != nil || k.Hearing == nil && k.Reason == "" {
		return false
	}
	p.Hearing, p.Reason, p.Doubt, p.Moments, p.silenced, p.Of = k.Hearing, k.Reason, k.Doubt, k.Moments, k.Silenced, k.Of
	if p.told = k.Told; p.Hearing != nil {
		if here, ok := p.told[words.Here().Tag()]; ok {
			p.Hearing.Tell(here.Findings)
			p.Doubt = here.Doubt
		}
	}
	return true
}

// muted are the files of takes that count whose sound was taken away in an
// earlier run, when another take of the student's counted.
func (r *classRun) muted(sheets []*class.Sheet) (again []int) {
	r.eachTake(sheets, func(_ *class.Student, t *class.Take) {
		if t.Chosen && r.played[t.Recording].silenced && !r.NoSound {
			again = append(again, slices.Index(r.files, t.Recording))
		}
	})
	return again
}

func (r *classRun) eachTake(sheets []*class.Sheet, do func(*class.Student, *class.Take)) {
	for _, s := range sheets {
		for i := range s.Students {
			for k := range s.Students[i].Takes {
				do(&s.Students[i], &s.Students[i].Takes[k])
			}
		}
	}
}

// forgetUnshown takes the sound that no page shows away from what is kept: of takes that
// do not count, and of what a student is not given to work on.
func (r *classRun) forgetUnshown(sheets []*class.Sheet) {
	r.eachTake(sheets, func(st *class.Student, t *class.Take) {
		p, ok := r.played[t.Recording]
		shown := slices.DeleteFunc(slices.Clone(p.Moments), func(m Moment) bool { return !t.Chosen || !slices.Contains(st.WorthFixing, m.Finding) })
		if !ok || len(shown) == len(p.Moments) {
			return
		}
		p.Moments, p.silenced = shown, !t.Chosen
		r.played[t.Recording] = p
		if r.Keep == "" {
			return
		}
		if key, err := r.key(t.Recording); err == nil {
			path := filepath.Join(r.Keep, key+".json")
			if p.keep(path) != nil {
				_ = os.Remove(path) // no sound stays, whatever else fails
			}
		}
	})
}

// forgetOthers takes away what is kept of recordings that are no longer in the
// folder, or were heard in another way: no more of the children's sound is kept
// than the pages show. Files that are none of ours stay.
func (r *classRun) forgetOthers() {
	if r.Keep == "" {
		return
	}
	all, _ := os.ReadDir(r.Keep)
	for _, e := range all {
		if ours.MatchString(e.Name()) && !slices.Contains(r.keys, e.Name()) {
			_ = os.Remove(filepath.Join(r.Keep, e.Name()))
		}
	}
}

// ours names what this package writes, whole or broken off.
var ours = regexp.MustCompile(`^([0-9a-f]{32}\.json|\.endpin-\d+)$`)
