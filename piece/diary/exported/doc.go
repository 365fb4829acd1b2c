// Package exported is a diary's rows as text that other programs read: one JSON, and tables of CSV.
//
//	a diary's tables ── Write ──> diary.json, *.csv ── Read ──> the tables of a new diary
//
// What stands packed in one value (package packed) has its lists in the JSON and a table of its own
// in CSV. It knows no player and keeps no sound. Read Write first.
package exported
