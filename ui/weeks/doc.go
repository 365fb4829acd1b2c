// Package weeks is the diary's screen: how a player's shifts went over weeks, and
// for a teacher how those of all players did.
//
//	weeks.Weeks ─┬─ progress.Page ─────────> shifts with their strips │ calendar, measures by week
//	             └─ progress.TeachersPage ─> a row a player
//
// Words and places are those of the page to print (piece/report/progress). Read Screen first.
package weeks
