// Command measure prints the figures that Endpin is held to, measured on takes
// with known truth that are composed and rendered as it runs:
//
//	go run ./cmd/dev/measure                 every part
//	go run ./cmd/dev/measure --only pitch    steady tones and notes, beside aubio and Praat
//	go run ./cmd/dev/measure --only onsets   onsets of rendered and real bass notes: F, bias, spread
//	go run ./cmd/dev/measure --only notes    pitch of the notes inside the same takes
//	go run ./cmd/dev/measure --only aligned  onsets once aligned to the score
//	go run ./cmd/dev/measure --only faults   planted faults: recall by fault, precision by kind
//	go run ./cmd/dev/measure --only pace     whole takes: passages, pauses, ends, manners
//	go run ./cmd/dev/measure --only clean    takes without a fault: false findings
//	go run ./cmd/dev/measure --only formats  what survives encoders, telephones and rooms
//	go run ./cmd/dev/measure --only speed    seconds and memory of a one-minute take
//	go run ./cmd/dev/measure --only class    forty recordings, and an hour in one
//	go run ./cmd/dev/measure --write         the same, and renew testdata/figures
//
// Options: --seeds N (how many tunes a line), --seed S (the first one, 1; use
// another to see that nothing was tuned to these tunes), --fault WORDS (only the
// faults with these words in their name), --alone (without aubio and Praat, which
// take most of the time; pace without sound), --inside (judges in this
// process instead of running the program), --keep DIR (keeps each take as WAV,
// with its piece and its truth, and lists what was missed or false in
// *.onsets.txt, faults.txt and clean.txt).
//
// Onsets and notes are scored by mir_eval (Debian: python3-mir-eval); aubio and
// Praat hear the same files in the same run; a part whose tool is missing says
// so. aligned, faults, clean and speed run the program as built, endpin hear,
// and read its JSON. What counts as found and as false stands at verdict. A share
// is told with an interval, by drawing whole pieces (interval).
package main
