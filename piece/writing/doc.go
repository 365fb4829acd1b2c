// Package writing sets a line of notes on a page: measures, signs for lengths, ties over
// bar lines and beats, rests, beams and accidentals, as a copyist would.
//
// Read Page first.
package writing
