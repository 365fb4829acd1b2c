package main

import (
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"strings"

	"endpin/dsp/rig"
	"endpin/dsp/robust"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

// trial is one take of one tune with what must be heard in it.
type trial struct {
	name  string
	tune  *pupil.Tune
	out   *pupil.Performance
	level pupil.Level
	voice voice
	room  room
	sheet printed // the file of the piece; composed tunes are written out
	wav   string
	take  *rig.Take
	heard *answer
}

// room is what a take goes through on its way to the phone.
type room struct {
	name   string
	change func(*rig.Take, int64) error
}

var rooms = []room{
	{"quiet", func(*rig.Take, int64) error { return nil }},
	{"reverberant", func(t *rig.Take, s int64) error { t.Reverb(0.7, -10, s); return nil }},
	{"phone", func(t *rig.Take, s int64) error {
		t.WeakBass(150)
		t.BandLimit(8000)
		t.RoomNoise(-50, s)
		return nil
	}},
	{"hum", func(t *rig.Take, s int64) error { t.Hum(50+10*float64(s%2), -45); return nil }},
	{"noise at -30 dB", func(t *rig.Take, s int64) error { t.RoomNoise(-30, s); return nil }},
	{"metronome", func(t *rig.Take, _ int64) error { t.Metronome(-20, 1); return nil }},
	{"talk before", func(t *rig.Take, s int64) error {
		words, err := rig.Speak(speeches[s%int64(len(speeches))], -10)
		if err != nil {
			return err
		}
		t.Before(words, 0.4)
		return nil
	}},
	{"clipped", func(t *rig.Take, _ int64) error { t.Clip(0.3); return nil }},
}

var speeches = []string{
	"Hello, this is my take of the second study. I hope it is all right. Two, three, four.",
	"Wait, I have to tune. No, it is fine. Ready? One, two, ready, go.",
	"Are you recording? Good. Measure one, from the beginning, not too fast.",
}

// of is the piece that the trial counts to, where pieces are drawn: a printed one may
// be played in several trials, a composed one is only its own.
func (t *trial) of() string {
	if t.sheet.file != "" {
		return filepath.Base(t.sheet.file)
	}
	return t.name
}

// render plays the trial and writes the piece and the take into a folder.
func (t *trial) render(folder string) error {
	take, err := t.voice.play(t.out.Plan)
	if err != nil {
		return fmt.Errorf("%s: %w", t.name, err)
	}
	take.Truth.Take = t.name
	if err := t.room.change(take, t.out.Plan.Seed); err != nil {
		return err
	}
	t.take = take
	t.expectWhatIsHeard()
	if t.wav, err = write(folder, fileName(t.name), take); err != nil {
		return err
	}
	if t.sheet.data == nil {
		t.sheet.data = t.tune.MusicXML()
	}
	return os.WriteFile(t.piece(), t.sheet.data, 0o644)
}

// expectWhatIsHeard turns a planted lateness into the one that can be heard: each
// note's own attack against the take's usual one comes on top (0 to 60 ms on the
// recorded bass, 4 to 24 on the sampled one).
func (t *trial) expectWhatIsHeard() {
	var attacks []float64
	for _, n := range t.take.Truth.Notes {
		attacks = append(attacks, 1000*(n.HeardS-n.OnsetS))
	}
	usual := robust.Median(attacks)
	for i := range t.out.Expected {
		f := &t.out.Expected[i]
		if f.Kind != "late" && f.Kind != "early" {
			continue
		}
		for j, n := range t.take.Truth.Notes {
			if n.LateMS == f.Value && n.Measure == f.Measure {
				f.Value += attacks[j] - usual
				break
			}
		}
	}
}

// piece is the file that the trial's piece is written to.
func (t *trial) piece() string {
	ending := ".musicxml"
	if t.sheet.file != "" {
		ending = filepath.Ext(t.sheet.file)
	}
	return strings.TrimSuffix(t.wav, ".wav") + ending
}

// hear renders the trial and lets it be heard; the sound is let go afterwards.
func (t *trial) hear(listen listener, folder string, keep bool) error {
	if err := t.render(folder); err != nil {
		return err
	}
	heard, err := listen(t)
	if err != nil {
		return fmt.Errorf("%s: %w", t.name, err)
	}
	t.heard, t.take.Samples = heard, nil
	if !keep {
		for _, file := range []string{t.wav, t.piece(), strings.TrimSuffix(t.wav, ".wav") + ".truth.json"} {
			os.Remove(file)
		}
	}
	return nil
}

func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', ',', '/', '=', '+', ':':
			return '-'
		}
		return r
	}, name)
}

// style draws what the tune of a trial holds.
func style(rng *rand.Rand, v voice) pupil.Style {
	return pupil.Style{Marked: rng.Intn(3) > 0, Pickup: rng.Intn(4) == 0, Triplets: rng.Intn(3) == 0, Short: v.real != ""}
}

// tuneOf composes a tune; where the hand is not marked it goes where Endpin's
// own fingering puts it, since nobody could know better.
func tuneOf(s pupil.Style, seed int64) (*pupil.Tune, error) {
	tune := pupil.Compose(s, seed)
	if s.Marked {
		return tune, nil
	}
	return tune, tune.Refinger()
}

// printed is a piece of testdata/pieces with the file it was read from.
type printed struct {
	file string
	data []byte
}

// printedPieces lists the project's own pieces.
func printedPieces() ([]printed, error) {
	testdata, err := rig.Testdata()
	if err != nil {
		return nil, err
	}
	var all []printed
	for _, pattern := range []string{"*.musicxml", "*.abc"} {
		files, err := filepath.Glob(filepath.Join(testdata, "pieces", pattern))
		if err != nil {
			return nil, err
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				return nil, err
			}
			all = append(all, printed{file, data})
		}
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("no pieces in %s", filepath.Join(testdata, "pieces"))
	}
	return all, nil
}

func (p printed) tune() (*pupil.Tune, error) {
	read, err := notation.Read(p.file, p.data)
	if err != nil {
		return nil, err
	}
	return pupil.FromPiece(read)
}

// log writes down what became of each planted fault, and what was told besides.
func (t *trial) log(to *strings.Builder, v verdict) {
	fmt.Fprintf(to, "%s: %s, %s, %s, %s, marked %v\n", t.name, t.tune.Piece.Title, t.voice.name, t.room.name, t.level.Name, t.tune.Line[0].Marks.Finger != "")
	for i, want := range t.out.Expected {
		word := "MISSED"
		switch {
		case v.found[i]:
			word = "found"
		case v.place[i]:
			word = "VALUE OFF"
		}
		fmt.Fprintf(to, "  %-9s %-18s measure %s-%s beat %g value %.2f frame %d (%s)\n", word, want.Kind, want.Measure, want.ToMeasure, want.Beat, want.Value, want.FrameSize, want.Fault)
	}
	for _, f := range v.mistaken {
		fmt.Fprintf(to, "  FALSE     %-18s measure %s-%s beat %g value %.2f at %.2f s, %s: %s\n", f.Kind, f.Measure, f.ToMeasure, f.Beat, f.Value, f.At, f.Trust, f.Text)
	}
	for _, f := range t.heard.Findings {
		if f.Kind == "not_sure" {
			fmt.Fprintf(to, "  not sure: %s\n", f.Text)
		}
	}
}
