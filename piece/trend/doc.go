// Package trend tells how things go over weeks: whether a shift closes in, what
// slips back, at what tempo a range is clean.
//
//	landings of one shift ─> Judge ──┐
//	landings of many ──────> Shifts ─┴─> Trend: medians, slope, interval, verdict
//	                         Kinds
//
// It computes on plain values and looks at no clock and no file: times come in
// with the landings. Read Landing first, then Trend, then Judge.
package trend
