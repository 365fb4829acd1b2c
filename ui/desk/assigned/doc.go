// Package assigned is a part of the desk: what is done with homework that lies on it, and
// how homework is made of what lies there.
//
//	Score.Homework ── Assigned ─> the teacher's recording, played
//	                     └──────> a file handed in, a file of homework
//
// What is in such a file stands in piece/homework. Read Assigned.
package assigned
