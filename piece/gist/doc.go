// Package gist says what comes before all else that is told of a take: the whole of it in
// one sentence, and what went well.
//
//	finding.Hearing ─┬─ Of ──────> at most twelve words, for table, page and desk
//	piece.Piece ─────┼─ Praise ──> up to three true things, for a student's page
//	what a class had ┴─ OfClass ─> at most twelve words, for the class sheet
//
// It judges nothing: what is worth fixing was ranked in package finding. Praise names only
// notes that were heard, surely, and lie within what the level lets pass in pitch, in when
// they began and in how long they sounded; of pitch it counts the stopped ones, for an open
// string is in tune by itself. A worse take never gets more of it. Read Of first.
package gist
