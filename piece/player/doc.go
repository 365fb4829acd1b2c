// Package player is how a player's name is written, and when two spellings are one
// player.
//
//	"ada ", "Ada", "A" + "da" in another encoding ── Same ─> one player, spelled as at first
//
// Read Name first, then Same.
package player
