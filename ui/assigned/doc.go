// Package assigned is homework on the desk's window: what stands over the page, and the
// questions before it is handed in or made.
//
//	desk.Score.Homework ─> Strip: the teacher's words, the day, Hear your teacher, Hand in
//
// Read Strip. What homework is stands in piece/homework.
package assigned
