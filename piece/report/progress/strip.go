package progress

import (
	"math"
	"time"

	"endpin/dsp/robust"
	"endpin/piece/report/paper"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// Strip is the picture of one shift over weeks: a dot for every landing, sharp
// above the line and flat below, the tolerance as a band, and the median of each
// week, or of more in a long time, with its 95 % interval. It is geometry only;
// whoever draws it chooses how.
type Strip struct {
	Width, Height       paper.Px
	Left, Right         paper.Px
	Top, Bottom         paper.Px
	Zero                paper.Px
	BandTop, BandHeight paper.Px
	Cents               []StripTick
	Dates               []StripTick
	Dots                []StripDot
	Weeks               []StripWeek
	Label               string // for those who cannot see it
}

// StripTick is a place on an axis.
type StripTick struct {
	At   paper.Px
	Text string
}

// StripDot is a landing; those beyond the edge stand on it, with their way out.
type StripDot struct {
	X, Y paper.Px
	Out  int // 1 above the strip, -1 below it
}

// StripWeek is the median of a week, or of more in a long time; Low and High are equal to Y where too few
// landings give no interval.
type StripWeek struct {
	X, Y, Low, High paper.Px
	From, To        paper.Px
	Sure            bool
}

const (
	stripLeft   = 50.0
	stripTop    = 8.0
	stripBottom = 20.0 // below the lane, for the dates
)

// NewStrip lays out the landings between two days, both shown.
func NewStrip(landings []trend.Landing, from, to time.Time, tolerance float64, width, height float64) Strip {
	s := Strip{Width: paper.Px(width), Height: paper.Px(height), Left: stripLeft, Right: paper.Px(width - 6), Top: stripTop, Bottom: paper.Px(height - stripBottom)}
	reach := 60.0
	var off []float64
	for _, l := range landings {
		off = append(off, math.Abs(l.Cents))
	}
	for _, wider := range []float64{80, 120, 200} {
		if beyond(off, reach) > len(off)/25 {
			reach = wider
		}
	}
	first := dayStart(from)
	begin := trend.Monday(first) // weeks are those of the table
	span := math.Max(1, dayStart(to).AddDate(0, 0, 1).Sub(first).Hours())
	x := func(t time.Time) paper.Px {
		return s.Left + paper.Px(t.Sub(first).Hours()/span)*(s.Right-s.Left)
	}
	middle, half := (s.Top+s.Bottom)/2, float64(s.Bottom-s.Top)/2
	y := func(cents float64) paper.Px {
		return middle - paper.Px(math.Max(-1, math.Min(1, cents/reach))*half)
	}
	s.Zero, s.BandTop = y(0), y(tolerance)
	s.BandHeight = y(-tolerance) - s.BandTop
	mark := 50.0
	if reach > 100 {
		mark = 100
	}
	for _, c := range []float64{mark, 0, -mark} {
		text := words.Scale(c).String()
		if c == 0 {
			text = words.Say("report.diary.in-cents", "n", text)
		}
		s.Cents = append(s.Cents, StripTick{y(c), text})
	}
	s.dates(first, dayStart(to), x)
	days := period(from, to)
	byWeek := map[time.Time][]trend.Landing{}
	for _, l := range landings {
		if l.When.Before(first) || !l.When.Before(dayStart(to).AddDate(0, 0, 1)) || math.IsNaN(l.Cents) {
			continue
		}
		d := StripDot{X: x(l.When), Y: y(l.Cents)}
		if math.Abs(l.Cents) > reach {
			d.Out = 1
			if l.Cents < 0 {
				d.Out = -1
			}
		}
		s.Dots = append(s.Dots, d)
		n := int(dayStart(l.When).Sub(begin).Hours()/24+0.5) / days
		w := begin.AddDate(0, 0, days*n)
		byWeek[w] = append(byWeek[w], l)
	}
	for w := begin; !w.After(to); w = w.AddDate(0, 0, days) {
		ls := byWeek[w]
		if len(ls) == 0 {
			continue
		}
		var cents []float64
		for _, l := range ls {
			cents = append(cents, l.Cents)
		}
		m := robust.Median(cents)
		end := min(x(w.AddDate(0, 0, days)), s.Right)
		start := max(x(w), s.Left)
		k := StripWeek{X: (start + end) / 2, From: start + 3, To: end - 3, Y: y(m), Low: y(m), High: y(m)}
		if lo, hi, ok := robust.MedianInterval(cents, 0.95); ok {
			k.Low, k.High, k.Sure = y(lo), y(hi), true
		}
		s.Weeks = append(s.Weeks, k)
	}
	return s
}

// period is how many days one median stands for: a week, and more where the
// strokes of weeks would be too short to be seen.
func period(from, to time.Time) (days int) {
	switch weeks := to.Sub(from).Hours() / 24 / 7; {
	case weeks <= 14:
		return 7
	case weeks <= 60:
		return 28
	}
	return 91
}

// dates puts a mark on every Monday, or fewer where there are many.
func (s *Strip) dates(first, last time.Time, x func(time.Time) paper.Px) {
	weeks := int(last.Sub(first).Hours()/24/7) + 1
	every := 1 + weeks/7
	d := first
	for d.Weekday() != time.Monday {
		d = d.AddDate(0, 0, 1)
	}
	for ; !d.After(last); d = d.AddDate(0, 0, 7*every) {
		if x(d) < s.Right-34 {
			s.Dates = append(s.Dates, StripTick{x(d), words.BriefDay(d).String()})
		}
	}
}

func beyond(off []float64, reach float64) (n int) {
	for _, v := range off {
		if v > reach {
			n++
		}
	}
	return n
}

// dayStart is the beginning of a calendar day.
func dayStart(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, t.Location())
}

// Span is the lane's width.
func (s Strip) Span() paper.Px { return s.Right - s.Left }
