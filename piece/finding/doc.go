// Package finding judges a take: what a good teacher would have heard, measure
// by measure.
//
//	piece.Line, fingerboard.Plan ─┐
//	dsp.Heard ── align.Align ─────┴─> evidence ── passes ──> ledger ──> Hearing: notes and findings
//
// What a finding is, and how it reads, is decided here and nowhere else. Read
// Finding first, then Judge and the list of passes above it.
//
// The evidence is set up once and then only read. One mistake is told once: what a
// finding explains is marked in the ledger, and the passes after it leave that alone,
// so their order matters: each row of the list says why it stands where it stands.
// Numbers stand beside what uses them. Where no source is named they were set by ear,
// and looked at on takes rendered as those of testdata/figures/faults.md were.
//
// The recording comes first: clipped, weak, noisy, a room that rings, another
// instrument along. Then nothing is sure; and where a ring drowns what follows or
// somebody plays along, only pitch of the hand, tuning and pace are told. Somebody
// along shows in the player's own pauses, where it goes on with a pitch and does not
// fall as a ring does, and in notes less periodic than one string; not in unison, and
// not under a plucked bass.
//
// Why notes are off is one model of the whole take (piece/intonation): the cents of a note are
// the player's own reference, its string, its hand frame, its finger and itself, few of
// them large. It gives each with its odds under every reference that may be, knows no
// tolerance, and so a stricter level tells more of the same; the reference holds when
// half of the stopped notes are displaced, and where two fit, or too little sounded,
// only what stands in either is told. From it are told the whole instrument's tuning, and
// a string out with the others.
//
// Before a note counts as another than the one written, a second witness is asked: all
// partials that sounded, with those of the notes before taken along (witness.go). Strings
// that ring on, and fundamentals that the body does not carry, make octaves and twelfths of
// the pitch track, and of nothing else; where two strings beat, the track wavers between
// them, and the note has the pitch that its partials have. Sound that was not kept, as
// while a take is still being played, has no such witness.
//
// Presence: going back; wrong notes, measured from where their hand lies, since a
// hand a semitone off is no row of wrong notes, but one note that far off is; missing
// and extra ones, left alone where noise, ring or a short note leaves it open.
//
// Intonation, of the same model: a narrow or wide hand; frames; landings put right;
// notes scattered all over, and else strays. Leading notes have room, and an unmarked
// shift is told as "if you shifted", fair at most.
//
// Time: the beat is that of piece/pace, and what it explains is told of it alone.
// First passages at a pace of their own; then a measure in another simple rhythm, told
// once; then beats swallowed or added, and pauses; then late and early notes, not where
// ring, noise or a slow bow hides when a note began. Lengths and tempo follow, each told
// once where it is the manner of the take, and at the end what is most worth fixing.
package finding
