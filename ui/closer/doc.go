// Package closer is the closer look: one measure of the take shown, under the page.
//
//	closelook.Look ─┬─> sentences, buttons to hear it recorded, as written, or both
//	                └─> plot: pitch against the notes written, beginnings against the beats
//
// Read Look first, then plot.
//
// It judges nothing: what is marked told is what a finding covers, what is only beyond
// a tolerance is hollow and soft. Beats lie between those that the hearing gives each
// note, never over a stop. A cent is a cent near every lane, and what lies between two
// lanes far apart is cut short.
package closer
