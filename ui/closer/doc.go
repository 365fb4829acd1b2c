// Package closer is the closer look: one measure of the take shown, under the page.
//
//	desk.Closer ─┬─> sentences, buttons to hear it recorded, as written, or both
//	             └─> plot: pitch against the notes written, beginnings against the beats
//
// Read Look first, then plot.
package closer
