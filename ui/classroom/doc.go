// Package classroom is the screen of a class: a folder of students' recordings is
// heard, and looked at student by student.
//
//	asked (piece, folder, roster) ─> classroom.Class ─┬─> a row a student, as they are heard
//	                                                  └─> what to teach again │ one student's page and sentences
//
// Read Screen first.
package classroom
