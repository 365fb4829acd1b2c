// Package robust holds the statistics that one wild value does not pull: median,
// spread, Theil–Sen slope, and their intervals. They work on plain numbers, know no
// sound and no piece, and never change the order of what they are given, but for
// MedianOf.
package robust
