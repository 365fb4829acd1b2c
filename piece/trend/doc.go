// Package trend tells how things go over weeks: whether a shift closes in, what
// slips back, at what tempo a range is clean.
//
//	landings of one shift ─> Judge ──┐
//	landings of many ──────> Shifts ─┴─> Trend: medians, slope, interval, verdict
//	                         Kinds
//
// It computes on plain values and looks at no clock and no file: times come in
// with the landings. Read Landing first, then Trend, then Judge.
//
// A day counts once, by the Hodges–Lehmann centre of its landings, since landings of
// one day are not independent; Theil–Sen over the days is tested by Kendall's S, and
// shifts shown together go through Benjamini and Hochberg's rule. Closing and opening
// go by the fitted line's distance from nothing; less than 5 cents is holding. Where
// the tempo moved by 8 % or more, nearer though faster and farther off though slower
// stand, and all else is judged with the tempo taken out. Kinds moves each shift to a
// common middle for medians and trend; the share within the tolerance, and the spread,
// are of the landings as they were. A scatter that narrows about nothing is no trend
// of the middle, and is not judged.
package trend
