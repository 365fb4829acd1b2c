package engraving

import (
	"math"
	"slices"
)

// breakLines divides bars into systems at the least cost: the square of how far
// each must be stretched or pressed, by dynamic programming over the bars. A
// line is never so full that it cannot be pressed in, unless one bar alone is.
func breakLines(bars []*bar, width float64) [][]*bar {
	n := len(bars)
	cost, from := make([]float64, n+1), make([]int, n+1)
	natural := make([]float64, n) // inside a system
	starting := make([]float64, n)
	least := make([]float64, n)
	for i, b := range bars {
		natural[i], starting[i] = b.width(1, false, false), b.width(1, true, i == 0)
		least[i] = b.width(pressed, false, false)
	}
	for e := 1; e <= n; e++ {
		cost[e] = math.Inf(1)
		w, tight, tail := 0.0, 0.0, 0.0
		if e < n {
			tail = bars[e].courtesy(nil, 0)
		}
		for s := e - 1; s >= 0; s-- {
			lead := starting[s] - natural[s] + tail
			full, squeezed := w+natural[s]+lead, tight+least[s]+lead
			if squeezed > width && s < e-1 {
				break
			}
			off := (width - full) / full
			c := off * off
			if off < 0 {
				c *= 3 // crowding is worse than room
			}
			if e == n && off > 0 {
				c = 0.1 * min(off, 1) // the last line may stay short
				if s == e-1 && n > 2 {
					c += 0.1 // but not one bar alone
				}
			}
			if bars[s].m.SystemBreak && s > 0 {
				c -= 0.02
			}
			if cost[s]+c < cost[e] {
				cost[e], from[e] = cost[s]+c, s
			}
			w += natural[s]
			tight += least[s]
		}
	}
	var lines [][]*bar
	for e := n; e > 0; e = from[e] {
		lines = append(lines, bars[from[e]:e])
	}
	slices.Reverse(lines)
	return lines
}

const pressed = 0.6 // the least stretch a line is broken for

// stretchOf finds the stretch that fills the width; the width grows with it.
func stretchOf(bars []*bar, width float64, first bool) float64 {
	lo, hi := 0.05, 8.0
	for range 30 {
		mid := (lo + hi) / 2
		if widthOf(bars, mid, first) < width {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func widthOf(bars []*bar, stretch float64, first bool) float64 {
	w := 0.0
	for i, b := range bars {
		w += b.width(stretch, i == 0, first && i == 0)
	}
	return w
}
