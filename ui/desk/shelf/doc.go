// Package shelf keeps the takes of a piece: on disk, in the list, and what is made of
// the one that is shown.
//
//	a folder ── Read ─> Take, the newest first ── Shelf ─> its list, and the one Shown
//	Shown ── put aside, removed, written as a page or as a sound
//
// Beside the sound of a take lies a small JSON file, its notes. A recording made
// elsewhere stays where it is, and only its notes lie in the folder. Read Take first,
// then Shelf.
package shelf
