// Package foot is the line under the page: what two pedals would do, what the desk has to say, how
// far a recording is heard, and the offer of a take that was cut off.
//
//	desk.Desk ─┬─> Pedals ── its room holds two lines always, so that nothing jumps ─┐
//	           └─> Hearing ─ while a recording is heard, in their place ──────────────┴─> one line
//
// Read Pedals first.
package foot
