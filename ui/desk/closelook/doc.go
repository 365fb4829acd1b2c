// Package closelook is the closer look without its window: one measure of the take on
// the desk's page, one time that it was played, with its pitch, its beats and its
// sound.
//
//	Take ── Glass.LookCloser ─> Look: beats, lanes, notes, hand frames, the pitch heard
//	                             └─ Glass.Play ─> as recorded, as written, or both
//
// What was heard is laid out and nothing judged anew. Read Glass first, then Look.
package closelook
