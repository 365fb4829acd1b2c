package rig

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/mewkiz/flac"

	"endpin/dsp"
)

// The two ways the real bass was recorded.
const (
	Arco = "arco" // bowed: pitch truth about 1 cent
	Pizz = "pizz" // plucked: pitch truth about 10 cents
)

// RealBass is the recorded notes of a real double bass (testdata/realbass).
type RealBass struct {
	bank []recordedNote
}

type recordedNote struct {
	File     string     `json:"file"`
	MIDI     int        `json:"midi"`
	FitCents float64    `json:"fit_cents"`
	FitHz    float64    `json:"fit_hz"`
	WindowS  [2]float64 `json:"window_s"`
	OnsetS   float64    `json:"onset_10pct_s"`
	samples  []float64
}

// Recorded is one recorded note as it is, with the pitch measured over a window.
type Recorded struct {
	File     string
	Samples  []float32 // at Rate
	FreqHz   float64
	From, To float64 // the window that FreqHz was measured over, s
}

// Recorded gives the notes as they were recorded, not resampled.
func (b *RealBass) Recorded() []Recorded {
	var out []Recorded
	for _, n := range b.bank {
		r := Recorded{File: n.File, FreqHz: n.FitHz, From: n.WindowS[0], To: n.WindowS[1], Samples: make([]float32, len(n.samples))}
		for i, s := range n.samples {
			r.Samples[i] = float32(s)
		}
		out = append(out, r)
	}
	return out
}

// LoadRealBass reads the notes played kind, Arco or Pizz.
func LoadRealBass(kind string) (*RealBass, error) {
	folder, err := Testdata()
	if err != nil {
		return nil, err
	}
	folder = filepath.Join(folder, "realbass")
	data, err := os.ReadFile(filepath.Join(folder, "measured.json"))
	if err != nil {
		return nil, err
	}
	var all []recordedNote
	if err := json.Unmarshal(data, &all); err != nil {
		return nil, err
	}
	b := &RealBass{}
	for _, n := range all {
		if !strings.HasPrefix(n.File, kind+"/") {
			continue
		}
		if n.samples, err = readFLAC(filepath.Join(folder, filepath.FromSlash(n.File))); err != nil {
			return nil, err
		}
		b.bank = append(b.bank, n)
	}
	if len(b.bank) == 0 {
		return nil, fmt.Errorf("no recorded notes played %q", kind)
	}
	return b, nil
}

const releaseS = 0.06 // how long a recorded note takes to fade when it is cut

// Play makes a take of the recorded notes: each note is the nearest recorded
// one, resampled to the planned pitch (its own measured intonation taken out)
// and cut to the planned length with a 60 ms release. A note cannot last longer
// than its recording (2.6 s at its own pitch): then the truth's end is the
// recording's. Slurs, settling and vibrato are not played and are refused.
func (b *RealBass) Play(p Plan) (*Take, error) {
	rng := rand.New(rand.NewSource(p.Seed))
	notes := append([]Note(nil), p.Notes...)
	sort.SliceStable(notes, func(i, j int) bool { return notes[i].OnsetBeat < notes[j].OnsetBeat })
	end := 0.0
	for _, n := range notes {
		if n.Slurred || n.VibratoHz != 0 || n.SettleMS != 0 {
			return nil, fmt.Errorf("measure %s: recorded notes cannot be slurred, settled or shaken", n.Measure)
		}
		_, off := p.times(n)
		end = max(end, off)
	}
	truth := Truth{Take: p.Take, Program: -1, TempoQPM: p.TempoQPM, TuningA4: p.tuning(), LengthS: end + p.gap()}
	out := make([]float64, int(truth.LengthS*Rate))
	tuning := dsp.Interval(dsp.ReferenceA, p.tuning())
	for _, n := range notes {
		from := b.nearest(n.MIDI, rng)
		cents440 := n.Cents + tuning
		ratio := math.Exp2((float64(n.MIDI-from.MIDI) + (cents440-from.FitCents)/100) / 12)
		on, off := p.times(n)
		off = min(off, on+float64(len(from.samples)-2)/ratio/Rate-releaseS)
		addResampled(out, from.samples, ratio, on, off)
		truth.Notes = append(truth.Notes, TrueNote{Note: n, OnsetS: on, OffsetS: off,
			HeardS: on + from.OnsetS/ratio, Cents: n.Cents, Cents440: cents440,
			FreqHz: 440 * math.Exp2((float64(n.MIDI-69)+cents440/100)/12), Source: from.File})
	}
	samples := make([]float32, len(out))
	for i, s := range out {
		samples[i] = float32(s)
	}
	scaleToPeak(samples, p.peak())
	take := &Take{Samples: samples, Truth: truth}
	if p.NoiseDB != nil {
		take.WhiteNoise(*p.NoiseDB, p.Seed)
	}
	return take, nil
}

func (b *RealBass) nearest(midi int, rng *rand.Rand) recordedNote {
	best := []recordedNote{}
	distance := math.MaxInt
	for _, n := range b.bank {
		d := n.MIDI - midi
		d = max(d, -d)
		if d < distance {
			best, distance = best[:0], d
		}
		if d == distance {
			best = append(best, n)
		}
	}
	return best[rng.Intn(len(best))]
}

// addResampled adds a recorded note, read ratio times as fast, between two
// moments in seconds and the release after them.
func addResampled(out, note []float64, ratio, on, off float64) {
	peak := 0.0
	for _, s := range note {
		peak = max(peak, math.Abs(s))
	}
	at, count := int(on*Rate), int((off-on+releaseS)*Rate)
	fade := min(int(releaseS*Rate), count)
	for i := range count {
		from := float64(i) * ratio
		whole := int(from)
		if whole+1 >= len(note) || at+i >= len(out) {
			break
		}
		part := from - float64(whole)
		s := (note[whole]*(1-part) + note[whole+1]*part) / peak
		if left := count - i; left < fade {
			s *= math.Pow(math.Sin(math.Pi/2*float64(left)/float64(fade)), 2)
		}
		out[at+i] += s
	}
}

func readFLAC(path string) ([]float64, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	stream, err := flac.New(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if stream.Info.SampleRate != Rate || stream.Info.NChannels != 1 {
		return nil, fmt.Errorf("%s: not %d Hz mono", path, Rate)
	}
	scale := math.Exp2(float64(stream.Info.BitsPerSample - 1))
	var out []float64
	for {
		frame, err := stream.ParseNext()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		for _, s := range frame.Subframes[0].Samples {
			out = append(out, float64(s)/scale)
		}
	}
}
