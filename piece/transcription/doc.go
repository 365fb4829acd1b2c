// Package transcription writes down what was played: notes with their times become
// a page with measures, note values, a key and a spelling.
//
//	dsp.Heard ── pitches by partials and by the line ──> []Sound
//	[]Sound ── rhythm ──> places in the metre ── lengths ──> note values and rests
//	        ── key, ps13 ──> spelling ──────────────────────> piece.Piece and its Doubts
//
// The rhythm is the simplest one that explains the onsets: a metrical hidden Markov model
// whose hidden place is one in the measure (Nakamura, Yoshii and Sagayama, "Rhythm
// transcription of polyphonic piano music based on merged-output HMM", IEEE/ACM TASLP 25,
// 2017) and whose tempo is a Kalman filter carried along by each way (Cemgil and Kappen,
// "Monte Carlo methods for tempo tracking and rhythm quantization", JAIR 18, 2003). What a
// place and a note value cost stands in metre.go. Nothing is rounded to a grid on its own.
//
// Keys are proposed by the profiles of Krumhansl and Kessler (1982) as Temperley changed
// them, spelling is Meredith's ps13s1 ("The ps13 pitch spelling algorithm", J. New Music
// Res. 35, 2006).
//
// Read Of first.
package transcription
