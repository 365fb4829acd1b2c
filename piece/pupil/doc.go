// Package pupil simulates players with known mistakes.
//
//	Compose ──> Tune (a piece and the hand that plays it)
//	Tune ── Play with Faults ──> Performance: a rig.Plan and the findings it must give
//
// Everything is seeded. The hand's frames are worked out here from the
// definition alone, on purpose not with piece/fingerboard, so that the two
// check each other. It serves tests and cmd/dev/measure only.
package pupil
