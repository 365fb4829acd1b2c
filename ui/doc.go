// Package ui is the window of the desk: views over ui/desk's state.
//
//	desk.Desk ── OnChange ─> Window ─┬─> the page, with bar, pedals, foot, cues and what stands beside it
//	keys, taps ──> its methods       └─> a screen in its place: pegs, classroom, weeks, settings
//
//	ui ─> pegs, classroom, weeks, settings, takes, closer, far ─> page, level ─> ink, fit, words
//	      (each over ui/desk; none knows another, but closer tells a finding as takes does)
//
// It draws and judges nothing; what a finding is, and how it reads, is decided
// in piece/finding. Only cmd/endpin-desk opens a real window, so that everything
// here is tested without a display: here as journeys through the whole window by
// what stands on it (ui/uitest), in each package by itself what it draws. Read Window
// first, then screens.go.
//
// A key goes first to what is asked over the desk, then to the line that is typed in,
// then to the screen, last to the page; Escape leaves the first of them that is there.
// What the desk says stands where it takes no room from the page; what somebody with a
// bass reads from far stands large in the head. A frame paints the whole window, so
// little is drawn, and seldom.
package ui
