// Package takes is what is read of a take beside the page, and done with it: what
// was heard in it, sentence by sentence, and all takes that there are.
//
//	desk.Shown ─ findings ─> Told: a shape, a sentence, put aside or taken back
//	desk.Takes ────────────> a row each: opened by a tap, removed when asked
//
// Read Side first.
package takes
