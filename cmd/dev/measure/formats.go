package main

import (
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

// passage is what a take goes through between the student's phone and the
// teacher's folder: commands whose {in} and {out} are files.
type passage struct {
	name  string
	out   string // the ending of the file that is heard
	steps []string
}

// The passages. Encoders are ffmpeg's, rooms and telephones sox's: nothing of it is
// our own. sox draws its noise from one seed unless told otherwise.
var passages = []passage{
	{"WAV, as rendered", ".wav", []string{"sox {in} {out}"}},
	{"FLAC", ".flac", []string{"sox {in} {out}"}},
	{"m4a (AAC 64 kbit/s)", ".m4a", []string{"ffmpeg -i {in} -b:a 64k {out}"}},
	{"mp4 with a picture", ".mp4", []string{"ffmpeg -f lavfi -i color=s=64x48:r=5 -i {in} -shortest -b:a 96k -ac 2 {out}"}},
	{"ogg (Vorbis)", ".ogg", []string{"ffmpeg -i {in} -c:a libvorbis -q:a 2 {out}"}},
	{"opus, 24 kbit/s", ".opus", []string{"ffmpeg -i {in} -b:a 24k {out}"}},
	{"webm (opus, 32 kbit/s)", ".webm", []string{"ffmpeg -i {in} -c:a libopus -b:a 32k {out}"}},
	{"mp3, 64 kbit/s", ".mp3", []string{"ffmpeg -i {in} -b:a 64k {out}"}},
	{"mp3, variable bit rate", ".mp3", []string{"ffmpeg -i {in} -q:a 7 {out}"}},
	{"8 kHz", ".wav", []string{"sox {in} -r 8000 {out}"}},
	{"8 kHz, GSM full rate", ".wav", []string{"sox {in} -r 8000 -e gsm-full-rate {out}"}},
	{"8 kHz, AMR, 12.2 kbit/s", ".amr-nb", []string{"sox {in} -r 8000 -C 7 {out}"}}, // sox leaves out the pauses
	{"stereo, right channel dead", ".wav", []string{"sox {in} {out} remix 1 0"}},
	{"room noise, 30 dB under peak", ".wav", []string{"sox {in} {tmp} synth pinknoise gain -n -36", "sox -m -v 1 {in} -v 1 {tmp} {out}"}},
	{"small room (reverb 20 50 30)", ".wav", []string{"sox {in} {out} gain -6 reverb 20 50 30"}},
	{"larger room (reverb 35 60 50)", ".wav", []string{"sox {in} {out} gain -6 reverb 35 60 50"}},
	{"hall (reverb 50 50 80)", ".wav", []string{"sox {in} {out} gain -6 reverb 50 50 80"}},
	{"staircase (reverb 80 30 100)", ".wav", []string{"sox {in} {out} gain -6 reverb 80 30 100"}},
	{"noise, small room, opus", ".opus", []string{"sox {in} {tmp} synth pinknoise gain -n -40", "sox -m -v 1 {in} -v 1 {tmp} {tmp2} gain -6 reverb 20 50 30", "ffmpeg -i {tmp2} -b:a 24k {out}"}},
	{"two minutes of silence after", ".mp3", []string{"sox {in} {tmp} pad 0 120", "ffmpeg -i {tmp} -b:a 64k {out}"}},
}

// take sends a file through; the result is kept beside it.
func (p passage) take(in string) (string, error) {
	base := strings.TrimSuffix(in, ".wav") + "-" + fileName(p.name)
	files := strings.NewReplacer("{in}", in, "{out}", base+p.out, "{tmp}", base+".1.wav", "{tmp2}", base+".2.wav")
	for _, step := range p.steps {
		args := strings.Fields(step)
		for i := range args {
			args[i] = files.Replace(args[i])
		}
		if args[0] == "ffmpeg" {
			args = append([]string{"ffmpeg", "-nostdin", "-y", "-loglevel", "error"}, args[1:]...)
		} else {
			args = append([]string{"sox", "-V1", "-R"}, args[1:]...)
		}
		if out, err := exec.Command(args[0], args[1:]...).CombinedOutput(); err != nil {
			return "", fmt.Errorf("%s: %w: %s", strings.Join(args, " "), err, out)
		}
	}
	os.Remove(base + ".1.wav")
	os.Remove(base + ".2.wav")
	return base + p.out, nil
}

// survived counts what is left of the findings after one passage.
type survived struct {
	takes, nothing int
	found          share    // of what was planted
	right          share    // of what was told
	told           []string // the false ones
}

// carried are the faults that are sent through: those with a figure to reach and
// these words in their name.
func carried(named string) (all []pupil.Fault) {
	for _, f := range pupil.Catalogue {
		if !oneNote(f.Name) && strings.Contains(f.Name, named) {
			all = append(all, f)
		}
	}
	return all
}

// surviving renders every fault in so many tunes, in a quiet room, and hears each
// after every passage.
func surviving(o options, faults []pupil.Fault, seeds int, through []passage, folder string) ([]survived, error) {
	quiet := setting{voices: []voice{bowed, realArco}, others: voices, rooms: rooms[:1]}
	var trials []*trial
	for k, fault := range faults {
		for s := range seeds {
			t, err := quiet.plant(fault, o.seed+int64(1000*k+s))
			if err != nil {
				return nil, err
			}
			trials = append(trials, t)
		}
	}
	all := make([]survived, len(through))
	var lock sync.Mutex
	err := together(len(trials), func(i int) error {
		t := trials[i]
		if err := t.render(folder); err != nil {
			return err
		}
		t.take.Samples = nil
		for k, p := range through {
			file, err := p.take(t.wav)
			if err != nil {
				return err
			}
			heard, err := hearFile(t, file)
			if err != nil {
				return fmt.Errorf("%s: %w", p.name, err)
			}
			if o.keep == "" {
				os.Remove(file)
			}
			v := judge(t.out, heard.Findings)
			lock.Lock()
			s := &all[k]
			s.takes++
			if len(heard.Notes) == 0 {
				s.nothing++
			}
			for j, want := range t.out.Expected {
				if oneNote(want.Fault) {
					continue
				}
				s.found.see(t.of(), v.found[j])
				if v.found[j] {
					s.right.see(t.of(), true)
				}
			}
			for _, m := range v.mistaken {
				s.right.see(t.of(), false)
				s.told = append(s.told, t.name+": "+m.Kind+" in measure "+m.Measure)
			}
			lock.Unlock()
		}
		if o.keep == "" {
			os.Remove(t.wav)
			os.Remove(t.piece())
		}
		return nil
	})
	return all, err
}

// hearFile hears a trial from a file of any format.
func hearFile(t *trial, file string) (*answer, error) {
	read, err := notation.Read(t.piece(), t.sheet.data)
	if err != nil {
		return nil, err
	}
	r, err := recording.Open(file)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	heard, err := dsp.Listen(r, dsp.Bass)
	if err != nil {
		return nil, err
	}
	return judged(t, read, heard)
}

// measureFormats tells what of the findings survives which passage.
func measureFormats(o options, folder string) error {
	seeds := cmp.Or(o.seeds, 2)
	all, err := surviving(o, carried(o.fault), seeds, passages, folder)
	if err != nil {
		return err
	}
	fmt.Fprintf(o.out, "What survives on the way to the teacher: the same takes, quiet room, bowed (reach: recall 0.95, precision 0.95)\n")
	fmt.Fprintf(o.out, "  %-32s %6s %8s %6s %-20s %6s %-20s %10s\n", "", "takes", "planted", "found", "recall", "false", "precision", "not heard")
	for k, s := range all {
		found := s.found.total()
		fmt.Fprintf(o.out, "  %-32s %6d %8d %6d %-20s %6d %-20s %10d\n", passages[k].name, s.takes, found.whole, found.part, s.found, len(s.told), s.right, s.nothing)
	}
	if o.keep != "" {
		var log strings.Builder
		for k, s := range all {
			fmt.Fprintf(&log, "%s\n  %s\n", passages[k].name, strings.Join(s.told, "\n  "))
		}
		return os.WriteFile(filepath.Join(folder, "formats.txt"), []byte(log.String()), 0o644)
	}
	return nil
}
