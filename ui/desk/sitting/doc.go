// Package sitting is what a desk knows of one sitting, from the opening of the window or
// the coming of another player on: what the bass is tuned to, how long somebody worked, and what was mended.
//
//	the check of the strings ──┐
//	a take of the whole piece ─┴─> Sitting ── Reference ──> what a few measures are judged by
//
// A few measures seldom tell their own A: a hand that lies beside its place throughout
// would pass for the reference, and the one note in tune for the fault.
package sitting
