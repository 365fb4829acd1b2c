// Package ui is the window of the desk: views over ui/desk's state.
//
//	desk.Desk ── OnChange ─> Window: title, page, closer look, bar, pedals, side
//	keys, taps ──────────────> its methods
//
// It draws and judges nothing; what a finding is, and how it reads, is decided
// in piece/finding. Only cmd/endpin-desk opens a real window, so that everything
// here is tested without a display. Read Window first; each part of the window
// has a file.
package ui
