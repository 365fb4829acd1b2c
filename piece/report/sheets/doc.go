// Package sheets tells a class: as a sheet of students and measures, over its weeks, as a page
// for each student, and as a table for a spreadsheet.
//
//	class.Sheet ─┬─ ClassHTML ──> the sheet, with names or without
//	             └─ ClassCSV ───> one row a finding
//	class.Page ──── StudentHTML > what went well and what to work on, with its sound
//	class.Term ──── TermHTML ───> students × weeks × pieces
//
// It judges nothing: who is whose and what moved was decided in package class. On a student's page
// the teacher strikes and writes, then prints or saves a copy without what was struck, its sound and
// the buttons; nothing is stored in the browser. Read ClassOptions first, then Student's.
package sheets
