package rig

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"time"

	"endpin/dsp"
)

// Render plays a plan on a sampled instrument. The same plan gives the same
// samples. It fails where fluidsynth or a soundfont is missing and where the
// plan asks for what the instrument cannot play.
//
// How sure the truth is (measured over MIDI 28..57): Bowed within 0.5 cent at
// the median and 3.5 at 95 %, Plucked 0.2 and 0.9; onsets to about 3 ms.
func Render(p Plan) (*Take, error) {
	score, truth, err := perform(p)
	if err != nil {
		return nil, err
	}
	samples, err := synthesize(score.bytes(truth.LengthS), truth.LengthS)
	if err != nil {
		return nil, err
	}
	scaleToPeak(samples, p.peak())
	take := &Take{Samples: samples, Truth: truth}
	if p.NoiseDB != nil {
		take.WhiteNoise(*p.NoiseDB, p.Seed)
	}
	return take, nil
}

// perform turns a plan into MIDI and the truth about it.
func perform(p Plan) (*midiFile, Truth, error) {
	truth := Truth{Take: p.Take, Program: p.Program, TempoQPM: p.TempoQPM, TuningA4: p.tuning()}
	if p.TempoQPM <= 0 {
		return nil, truth, fmt.Errorf("a plan needs a tempo, not %v", p.TempoQPM)
	}
	own, err := loadOffsets(p.Program)
	if err != nil {
		return nil, truth, err
	}
	notes := append([]Note(nil), p.Notes...)
	sort.SliceStable(notes, func(i, j int) bool { return notes[i].OnsetBeat < notes[j].OnsetBeat })

	score := &midiFile{}
	score.setUp(p.Program)
	tuning := dsp.Interval(dsp.ReferenceA, p.tuning())
	end, singles, slurs := 0.0, 0, 0
	for i := 0; i < len(notes); {
		last := i // the last note on the same bow
		for last+1 < len(notes) && notes[last+1].Slurred {
			last++
		}
		for _, n := range notes[i : last+1] {
			if own.silent[n.MIDI] {
				return nil, truth, fmt.Errorf("program %d has no sample for MIDI note %d", p.Program, n.MIDI)
			}
		}
		bow := bow{plan: p, notes: notes[i : last+1], tuning: tuning, own: own}
		if bow.plain() {
			bow.channel = singles % singleChannels
			singles++
		} else {
			bow.channel = singleChannels + slurs%slurChannels
			slurs++
		}
		told, err := bow.play(score)
		if err != nil {
			return nil, truth, err
		}
		truth.Notes = append(truth.Notes, told...)
		end = max(end, told[len(told)-1].OffsetS)
		i = last + 1
	}
	truth.LengthS = end + p.gap()
	return score, truth, nil
}

// bow is the notes played on one bow: one key held, its pitch bent from note to
// note.
type bow struct {
	plan    Plan
	notes   []Note
	tuning  float64 // cents from A4 = 440
	own     offsets
	channel int
}

// plain says that one note is played and its pitch stands still.
func (b bow) plain() bool {
	n := b.notes[0]
	return len(b.notes) == 1 && n.VibratoHz == 0 && n.SettleMS == 0
}

const bendStep = 0.004 // s between two bends of a moving pitch

func (b bow) play(score *midiFile) ([]TrueNote, error) {
	first := b.notes[0]
	key := first.MIDI
	correction := b.own.cents[key]
	if b.plan.AsSampled {
		correction = 0
	}
	goal := func(n Note) float64 { // cents of bend on key
		return math.Round(float64(n.MIDI-key)*100 + n.Cents + b.tuning - correction)
	}
	start, _ := b.plan.times(first)
	var told []TrueNote
	for i, n := range b.notes {
		bend := goal(n)
		if limit := 100.0 * slurBendRange; math.Abs(bend) > limit || b.plain() && math.Abs(bend) > 100*singleBendRange {
			return nil, fmt.Errorf("measure %s: a bend of %.0f cents is more than there is", n.Measure, bend)
		}
		on, off := b.plan.times(n)
		if i+1 < len(b.notes) {
			off, _ = b.plan.times(b.notes[i+1])
		}
		sounds := bend + b.own.cents[key] - float64(n.MIDI-key)*100
		t := TrueNote{Note: n, OnsetS: on, OffsetS: off, HeardS: on,
			Cents: sounds - b.tuning, Cents440: sounds,
			FreqHz: 440 * math.Exp2((float64(n.MIDI-69)+sounds/100)/12)}
		if i == 0 {
			t.HeardS += b.own.lagMS[key] / 1000
		}
		told = append(told, t)
	}
	end := told[len(told)-1].OffsetS
	velocity := first.Velocity
	if velocity == 0 {
		velocity = 90
	}
	score.note(start, end, b.channel, key, velocity)
	if b.plain() {
		score.bend(start-0.002, b.channel, goal(first)) // ahead of its note
		return told, nil
	}
	last := math.NaN()
	for at := start - 0.002; at < end+0.1; at += bendStep { // the release keeps its pitch
		if cents := math.Round(bendAt(told, at, func(n *TrueNote) float64 { return goal(n.Note) })); cents != last {
			score.bend(at, b.channel, cents)
			last = cents
		}
	}
	return told, nil
}

// bendAt is the bend wanted at a moment of notes on one bow, cents: the note's own pitch
// (goal), the glide between two slurred notes (a raised cosine), a landing's correction,
// vibrato.
func bendAt(notes []TrueNote, at float64, goal func(*TrueNote) float64) float64 {
	i := 0
	for i+1 < len(notes) && at >= notes[i+1].OnsetS {
		i++
	}
	steady := func(i int) float64 {
		n := &notes[i]
		cents, into := goal(n), at-n.OnsetS
		if n.SettleMS > 0 {
			cents += n.SettleCents * fall(into/(n.SettleMS/1000))
		}
		if n.VibratoHz > 0 && into > 0.15 {
			cents += n.VibratoCents * math.Sin(2*math.Pi*n.VibratoHz*(into-0.15))
		}
		return cents
	}
	half := func(i int) float64 { return or(notes[i].GlideMS, 40) / 2000 }
	if i > 0 {
		if into := at - notes[i].OnsetS; into < half(i) {
			mix := fall((into + half(i)) / (2 * half(i)))
			return mix*steady(i-1) + (1-mix)*steady(i)
		}
	}
	if i+1 < len(notes) {
		if left := notes[i+1].OnsetS - at; left < half(i+1) {
			mix := fall((half(i+1) - left) / (2 * half(i+1)))
			return mix*steady(i) + (1-mix)*steady(i+1)
		}
	}
	return steady(i)
}

// fall goes smoothly from 1 at 0 to 0 at 1.
func fall(x float64) float64 {
	x = min(max(x, 0), 1)
	return (1 + math.Cos(math.Pi*x)) / 2
}

// synthesize plays a MIDI file through FluidSynth, without its reverberation
// and chorus.
func synthesize(score []byte, seconds float64) ([]float32, error) {
	soundfont, err := findSoundfont()
	if err != nil {
		return nil, err
	}
	folder, err := os.MkdirTemp("", "rig")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	midi, raw := filepath.Join(folder, "take.mid"), filepath.Join(folder, "take.raw")
	if err := os.WriteFile(midi, score, 0o600); err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, "fluidsynth", "-ni", "-q", "-R", "0", "-C", "0", "-g", "0.4",
		"-r", fmt.Sprint(Rate), "-O", "float", "-T", "raw", "-F", raw, soundfont, midi).CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("fluidsynth (Debian: apt install fluidsynth fluid-soundfont-gm): %w %s", err, out)
	}
	stereo, err := os.ReadFile(raw)
	if err != nil {
		return nil, err
	}
	samples := make([]float32, int(math.Round(seconds*Rate)))
	for i := range samples {
		if 8*i+8 > len(stereo) {
			break // fluidsynth stops when the last note has died away
		}
		left := math.Float32frombits(binary.LittleEndian.Uint32(stereo[8*i:]))
		right := math.Float32frombits(binary.LittleEndian.Uint32(stereo[8*i+4:]))
		samples[i] = (left + right) / 2
	}
	return samples, nil
}

// findSoundfont looks where Debian's packages put the General MIDI soundfont.
func findSoundfont() (string, error) {
	folders := filepath.SplitList(os.Getenv("XDG_DATA_DIRS"))
	if len(folders) == 0 {
		folders = []string{"/usr/local/share", "/usr/share"}
	}
	for _, folder := range folders {
		path := filepath.Join(folder, "sounds", "sf2", "FluidR3_GM.sf2")
		if _, err := os.Stat(path); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("no FluidR3_GM.sf2 found (Debian: apt install fluid-soundfont-gm)")
}

func scaleToPeak(samples []float32, db float64) {
	var peak float32
	for _, s := range samples {
		peak = max(peak, s, -s)
	}
	if peak == 0 {
		return
	}
	gain := float32(math.Pow(10, db/20)) / peak
	for i := range samples {
		samples[i] *= gain
	}
}
