// Package rig renders takes with exactly known truth.
//
//	Plan ── Render ───────> Take: samples and Truth   (a sampled bass, FluidSynth)
//	Plan ── RealBass.Play ─> Take                      (notes of a real double bass)
//	Plan ── Strings.Play ──> Take                      (modelled strings, which ring)
//	Take ── Room, Talk, Reverb, … ─> the same take as a phone would have heard it
//
// A Plan says what the player does, note by note; the Truth says what then
// really sounds and when. Read Plan first, then Truth. It serves tests and
// cmd/dev/measure only; nothing a user runs imports it. Render needs the
// fluidsynth program and a General MIDI soundfont; everything random is seeded,
// so a take that misbehaves can be rendered again.
package rig
