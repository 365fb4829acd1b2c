// Package weeks is a player's weeks on the desk without their window, and what puts
// takes into the diary that tells of them.
//
//	a take judged ── Keeper ─> Diary ── Weeks ─> a player's page, or their teacher's
//
// Read Diary first, then Weeks.
package weeks
