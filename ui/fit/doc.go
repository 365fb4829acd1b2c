// Package fit says how much room the parts of a screen get, and where.
//
//	an object ─ Wide, Across, Tall, Column, Amid, Centred ─> the same, in a room of its own
//	objects   ─ Flow, Reading, Close, Parts ─────────> set one beside or under the other
//
// It knows no desk and draws nothing. Read fit.go, then Reading.
package fit
