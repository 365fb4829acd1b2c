// Package writing is the desk of whoever writes a page: the page itself, kept against a
// crash at each change, sounding on request, and kept as MusicXML to be played from.
//
//	keys, mouse ── Writing ─> manuscript.Manuscript ── Journal: there again at the next start
//	a recording ── PlayIn ──┘            └─ Keep ─> Means.Folder: MusicXML ─> the shelf
//
// Read Writing first.
package writing
