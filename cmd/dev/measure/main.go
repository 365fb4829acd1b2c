package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// options is what the command line asks for.
type options struct {
	seeds  int
	seed   int64
	keep   string
	fault  string
	alone  bool
	inside bool
	out    io.Writer
}

// row is one part of the table, and the file that keeps it.
type row struct {
	name string
	run  func(options) error
	subject
}

var rows = []row{
	{"pitch", inFolder(measurePitch), subject{"Pitch of steady notes",
		"synthetic tones on every semitone from B0 to G4; notes of the sampled bass, up to 40 cents off; 17 recorded notes of a real bass (testdata/realbass; its truth is a harmonic fit, good to about 1 cent bowed and 10 plucked)",
		"the recorded notes, which are all there are, and sampled ones. An interval is over notes"}},
	{"onsets", inFolder(measureOnsets), subject{"Onsets without the score", renderedTakes, lowSeeds}},
	{"notes", inFolder(measureNotes), subject{"Pitch of the notes inside rendered takes", renderedTakes, lowSeeds}},
	{"aligned", inFolder(measureAligned), subject{"Onsets once aligned to the score", renderedTakes, lowSeeds}},
	{"following", fromTests("-run TestAPlayer|TestBehindAPassage ./piece/align", "-run TestOnALoaded ./cmd/dev/measure", "-run ^$ -bench Align ./piece/align"),
		subject{"Following a take through skips, repeats and fresh starts",
			"tunes made up by chance of 60 to 260 notes, played by symbols: onsets scattered by 25 ms and pitches by 12 cents, at paces from 0.6 to 1.6, seeds 700 to 809; followed while they play, of 830 to 835; the live cursor on rendered takes of seeds 504 to 506; the time for tunes of four notes a measure",
			"tunes of seeds below 100, bass parts of printed scores and nine recorded movements of a violin"}},
	{"faults", inFolder(measureFaults), subject{"Planted faults", renderedTakes + ", in seven rooms, and on the tunes of testdata/pieces", lowSeeds}},
	{"pace", inFolder(measurePace), subject{"The pace of a whole take", renderedTakes + ", in three rooms; and the same takes as onsets alone, without sound",
		"onsets alone of seeds 1 to 8540 and 2001 to 2560, and the onsets of piece/pace's tests; onsets and sound of seeds 41001 to 57507; where beginnings lie, on seeds 92000 to 92007; how notes scatter and what waits of about a beat are, looked at on onsets alone of seeds 86001 to 108550; single faults beside, looked at in a room on seeds 120001 to 186506"}},
	{"landings", inFolder(measureLandings), subject{"Where a hand comes down after a shift", renderedTakes + ", and of modelled strings; in each take one hand is put 30 cents off",
		"which notes tell how a pitch speaks: takes of seeds 108000 to 108030 of the pace"}},
	{"trust", inFolder(measureTrust), subject{"What sure and fair are worth", renderedTakes + ", with a fault planted in each, in seven rooms, and a beginner's without one", lowSeeds}},
	{"intonation", fromTests("-run TestOneStringOutIs|TestTheReferenceIsAs|TestNotesScattered|TestWorsePlaying ./piece/finding"),
		subject{"Where the cents of a take come from", "notes simulated without sound: four of our own tunes, the player's scatter drawn, hands that land beside their place", "other seeds of the same tunes"}},
	{"clean", inFolder(measureClean), subject{"Takes without a fault", renderedTakes + ", in eight rooms", lowSeeds}},
	{"player", inFolder(measurePlayer), subject{"A modelled player whose strings ring",
		"takes of modelled strings (dsp/rig), which share nothing with the sampled bass: several faults a take, rooms, a phone's level control and encoder, hum; every seed another tune, body and room",
		"takes of the seeds from 1 to 100; seeds from 7001 on were set aside before anything was heard"}},
	{"formats", inFolder(measureFormats), subject{"What findings survive on the way to the teacher",
		renderedTakes + ", bowed, in a quiet room, sent through ffmpeg's encoders and sox's telephone and rooms", lowSeeds}},
	{"written", inFolder(measureWritten), subject{"Tunes played in", renderedTakes + ", onsets scattered by 20 ms",
		"the prices of places and note values: onsets without sound, composed tunes of seeds 1 to 20 and the pieces of testdata; pickups, soft strokes and what a plucked string rings on: takes of seeds 301 to 308 and 901 to 932; faint strokes: 5601 to 5612; where a plucked string is damped: 8001 to 8108; pitches: the 21 phrases"}},
	{"speed", inFolder(measureSpeed), subject{"Pace and memory", "one composed tune on the sampled bass", "nothing"}},
	{"class", inFolder(measureClass), subject{"A class", "twelve performances of three composed tunes on the sampled bass, handed in by thirty students over four weeks through encoders and telephones, under 36 ways of naming; and eight performances of one tune, each handed in by five students", "the names of students and ways of naming were looked at while names were matched; of the sound nothing"}},
	{"live", fromTests("-run TestWhatIsHeardLive|TestALeaking ./cmd/dev/measure", "-run ^$ -bench Provisional|Now ./dsp"),
		subject{"What is told while it sounds", renderedTakes, "these takes were looked at while the rules were changed"}},
	{"desk", fromTests("-run TestTheLooks|TestTheNoteThatSounds ./cmd/dev/measure", "-run ^$ -bench . ./ui/page"),
		subject{"The desk", "a composed tune on the sampled bass; pages of 400 measures", "this take was looked at while the rules were changed"}},
	{"accompaniment", fromTests("-run TestABackingTrack ./cmd/dev/measure"),
		subject{"Another instrument along", "one tune on the sampled bass and the recorded bow, chords of cellos (program 42) or of a plucked bass (32) under it", "takes of the same tune"}},
	{"parts", fromTests("-run TestTheBassPart ./piece/notation"),
		subject{"Which part of a score", "scores of one measure, their parts named in many languages", "the same names"}},
	{"diary", fromTests("-run ^$ -bench Month|Add ./piece/diary"),
		subject{"The diary", "ten players × a year × twenty takes a day × two hundred notes, made up, not heard", "nothing"}},
	{"outline", fromTests("-run ^$ -bench Outline ./piece/outline", "-run TestOnPiecesNotSeen ./piece/outline"),
		subject{"Outline", "tunes that a machine made; measures circled from the notes alone",
			"the pieces of testdata; each has been looked at since"}},
	{"fingering", fromTests("-run TestLinesAreFingeredAsPrinted|TestAnUnmarkedTuneShifts|TestLinesThatMayNot ./piece/fingerboard", "-run ^$ -bench Finger ./piece/fingerboard"),
		subject{"Fingering", "a hundred and twenty lines with the fingering that is taught (piece/fingerboard/testdata/printed tells the source of each); tunes fingered by hand; where ENDPIN_FINGERED names a file, lines that may not be kept here; for the time, tunes that a machine made",
			"the lines of tuned.txt, held.txt and looked.txt and the tunes fingered by hand; of the lines of final.txt and later.txt nothing but counts was seen, by school too, some ten times while schools were changed, and since then no cost was touched; what differs in them stands in their README.md"}},
	{"weeks", fromTests("-run TestAShiftThatCloses|TestAMonthWithoutChange|TestTwelveShifts|TestAmongTwelve ./piece/trend"),
		subject{"Shifts over weeks", "simulated months of landings", "months simulated in the same way"}},
	{"tuning", fromTests("-run TestARealBass ./piece/tuning"),
		subject{"The strings before playing", "recorded notes of a real bass (testdata/realbass)", "the same notes, since there are no others"}},
	{"latency", fromTests("-run TestALoop ./dsp/sound/portaudio"),
		subject{"How late the loudspeaker is heard", "a loop of PulseAudio's, no sound card", "nothing"}},
}

func main() {
	var names []string
	for _, r := range rows {
		names = append(names, r.name)
	}
	only := flag.String("only", "", "one part: "+strings.Join(names, ", "))
	write := flag.Bool("write", false, "renew testdata/figures, one file a part")
	var o options
	flag.IntVar(&o.seeds, "seeds", 0, "how many tunes a row; 0 for the row's own number")
	flag.Int64Var(&o.seed, "seed", 1, "the first seed")
	flag.StringVar(&o.keep, "keep", "", "a folder that keeps each take and its truth")
	flag.BoolVar(&o.alone, "alone", false, "without aubio and Praat, which take most of the time")
	flag.BoolVar(&o.inside, "inside", false, "judge in this process instead of running endpin hear")
	flag.StringVar(&o.fault, "fault", "", "of the faults, only those with this in their name")
	flag.Parse()
	failed := false
	known := false
	for _, r := range rows {
		if *only != "" && *only != r.name {
			continue
		}
		known = true
		var table bytes.Buffer
		o.out = io.MultiWriter(os.Stdout, &table)
		err := r.run(o)
		if err == nil && *write {
			err = r.keep(o, table.Bytes())
		}
		if err != nil {
			fmt.Fprintf(os.Stdout, "%s: not measured: %v\n", r.name, err)
			failed = true
		}
	}
	if !known {
		fmt.Fprintf(os.Stderr, "measure: no part called %q\n", *only)
		os.Exit(2)
	}
	if failed {
		os.Exit(1)
	}
}

// keep renews the part's file.
func (r row) keep(o options, table []byte) error {
	folder, err := figuresFolder()
	if err != nil {
		return err
	}
	how := fmt.Sprintf("--write --only %s --seed %d", r.name, o.seed)
	for _, more := range []struct {
		asked bool
		word  string
	}{{o.seeds != 0, fmt.Sprintf("--seeds %d", o.seeds)}, {o.alone, "--alone"}, {o.inside, "--inside"}, {o.fault != "", "--fault '" + o.fault + "'"}} {
		if more.asked {
			how += " " + more.word
		}
	}
	return r.renew(filepath.Join(folder, r.name+".md"), how, table, time.Now())
}
