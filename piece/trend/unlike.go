package trend

import "endpin/dsp/robust"

// place is one shift of a kind and where it lands.
type place struct {
	shift     Shift
	last      float64 // median of the last days, cents
	from, to  float64 // interval of the middle of its days
	certainly bool    // there are days enough for that interval
}

// unlike gives the shifts of a kind that land lowest and highest on their last
// days, or nothing where they may well be alike: where they lie no more than the
// tolerance apart, or where the intervals of their middles meet. With k shifts
// each interval is of 1 - 0.05/k (Bonferroni), so that they all hold together at
// 95 %. A day counts once, as everywhere.
func unlike(parts []Group, tolerance float64) (low, high *place) {
	if len(parts) < 2 {
		return nil, nil
	}
	for i := range parts {
		p := placed(&parts[i], 1-(1-confidence)/float64(len(parts)))
		if !p.certainly {
			continue
		}
		if low == nil || p.last < low.last {
			low = &p
		}
		if high == nil || p.last > high.last {
			high = &p
		}
	}
	if low == nil || high.last-low.last <= tolerance || high.from <= low.to {
		return nil, nil
	}
	return low, high
}

func placed(g *Group, sure float64) place {
	var used []hit
	for _, h := range landed(nil, g.Landings, 0) {
		if h.counts() {
			used = append(used, h)
		}
	}
	if len(used) == 0 {
		return place{}
	}
	p := byDays(used)
	n := len(p.days)
	days := make([]float64, n)
	for i := range days {
		cents, _ := p.between(i, i+1)
		days[i] = robust.Centre(cents)
	}
	last, _ := p.between(n-(&Trend{Days: n}).Ends(), n)
	here := place{shift: g.Shift, last: robust.Median(last)}
	here.from, here.to, here.certainly = robust.MedianInterval(days, sure)
	return here
}
