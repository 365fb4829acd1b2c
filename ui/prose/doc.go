// Package prose is what a screen says and what is typed on it.
//
//	a sentence ─ Wrapped, Para, Large ──> broken where its room ends
//	a word     ─ Bold, Heading, Line ───> on one line
//	what is typed ─ Entry ──────────────> until Enter takes it over, or Escape leaves it
//
// It decides no wording. Read words.go, then Entry.
package prose
