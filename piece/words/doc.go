// Package words holds every word that a user reads, and joins it to a sentence.
//
//	catalogue/ROOM.LANGUAGE.json ──> Words: one language
//	Of(key, places …) ─> Sentence ─> In(Words): what is read
//
// A sentence stands whole in the catalogue, with named places in it; it is joined
// last, and nothing ever takes it apart again. Whatever is written otherwise in
// another language goes into a place as what it is (a number, a note, a position, a
// length of time, another Sentence) and says itself there: a Sayer. Numbers, signs,
// units, names of notes, ordinals and dates are formed in this package alone.
//
// A key is ROOM.WHAT, and ROOM the file that it stands in. Files are those of
// go-i18n, with the plurals of CLDR. Read Sentence first, then Words.
package words
