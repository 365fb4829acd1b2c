package report

import (
	"math"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

// The drawing of one panel, two measures or so, in its own units: about 1/420
// of half a page's width, or of a phone's whole width.
const (
	panelWidth  = 420.0
	plotLeft    = 36.0
	plotRight   = 410.0
	numbersAt   = 13.0 // base line of the measure numbers
	markHeight  = 16.0 // one row of findings
	frameHeight = 17.0 // the row of hand frames
	laneHeight  = 120.0
	beatHeight  = 18.0
	namesHeight = 15.0
)

// panel is what one drawing holds; every length is in its units.
type panel struct {
	Label         string // what it shows, for those who cannot see it
	Width, Height px
	Left, Right   px
	Top, Bottom   px // of the lane of cents
	Middle        px
	Numbers       []label
	Barlines      []px
	Grid          []label
	Frames        []bracket
	Boxes         []box
	Traces        []string // the pitch heard
	Means         []box    // its mean over the part that was judged
	Edges         []edge
	Unsure        []box
	Beats         []px
	Onsets        []px
	Lateness      []box // from the beat to the onset, of notes told late or early
	UnitX, UnitY  px
	BeatTop       px
	BeatBottom    px
	Names         []label
	Fingers       []label
	NamesAt       px
	FingersAt     px
	Marks         []mark
	Begins        bool // what one of them tells begins in it
	from, to      piece.Ticks
	span          piece.Ticks
	bars          []int
}

type label struct {
	X, Y px
	Text string
	Sub  string
	Zero bool // it stands at nothing
}

type box struct {
	X, Y, W, H px
	Kind       string
}

// edge stands where a note was heard outside the lane.
type edge struct {
	X, Y  px
	Shape string
	Text  string
}

// score is all that the panels are drawn from.
type score struct {
	*music
	hearing   *finding.Hearing
	heard     *dsp.Heard
	opts      Options
	sounds    []sounded
	marked    [][][2]piece.Ticks // by finding: where
	byLine    map[int]int        // into sounds, by index in the line
	starts    map[int]float64    // by measure: when the first of its notes that was heard begins, s
	tolerance float64
	reach     float64 // cents from the middle of the lane to its edge
}

func newScore(m *music, h *finding.Hearing, heard *dsp.Heard, o Options) *score {
	s := &score{music: m, hearing: h, heard: heard, opts: o, sounds: m.sounds(h, heard), tolerance: o.tolerance(h)}
	s.byLine, s.starts = map[int]int{}, map[int]float64{}
	for i := range s.sounds {
		n := &s.sounds[i]
		s.byLine[n.Line] = i
		if _, begun := s.starts[n.bar]; !begun && n.Onset != nil {
			s.starts[n.bar] = *n.Onset
		}
	}
	s.reach = 60
	for i := range h.Findings {
		f := &h.Findings[i]
		s.marked = append(s.marked, s.stretches(f))
		if row := f.Kind.Row(); row.Unit != finding.Cents || row.About == finding.WholeTake {
			continue
		}
		for _, wider := range []float64{110, 160} {
			if math.Abs(f.Value) > s.reach-8 {
				s.reach = wider
			}
		}
	}
	return s
}

// most is how many notes a panel of two measures takes; a fuller measure has
// one for itself.
const most = 16

// panels cuts the measures into panels: two to each, a pickup beside them.
// Measures of rest between two panels are passed over.
func (s *score) panels(shown func(bar int) bool) []*panel {
	var all []*panel
	var now *panel
	notes := 0
	for b := range s.bars {
		bar := &s.bars[b]
		if len(bar.notes) == 0 || !shown(b) {
			now = nil
			continue
		}
		time := s.piece.Measures[bar.Measure].Time
		whole := time.Beat() * piece.Ticks(time.Beats)
		if whole == 0 {
			whole = max(bar.Length, 1)
		}
		end := bar.Onset + bar.Length
		if now == nil || end-now.from > whole*5/2 || notes+len(bar.notes) > most {
			now = &panel{from: bar.Onset}
			all = append(all, now)
			notes = 0
		}
		now.bars = append(now.bars, b)
		now.to, now.span = end, end-now.from
		notes += len(bar.notes)
		if 2*notes <= most {
			now.span = max(now.span, 2*whole) // so that a beat is as long in every panel
		}
	}
	return all
}

func (p *panel) x(tick float64) float64 {
	return plotLeft + (tick-float64(p.from))/float64(max(p.span, 1))*(plotRight-plotLeft)
}

func (p *panel) end() float64 { return p.x(float64(p.to)) }

func (p *panel) meets(from, to piece.Ticks) bool { return from < p.to && to > p.from }

// draw fills a panel whose findings take so many rows.
func (s *score) draw(p *panel, rows int) {
	p.Width, p.Left, p.Right = panelWidth, plotLeft, px(p.end())
	top := numbersAt + 5 + float64(rows)*markHeight + frameHeight
	p.Top, p.Middle, p.Bottom = px(top), px(top+laneHeight/2), px(top+laneHeight)
	p.BeatTop, p.BeatBottom = p.Bottom+4, p.Bottom+beatHeight-2
	p.NamesAt = p.Bottom + beatHeight + namesHeight - 4
	p.FingersAt = p.NamesAt + namesHeight - 1
	p.Height = p.FingersAt + 5
	p.UnitX, p.UnitY = plotLeft-4, p.Top-2
	s.ruled(p)
	s.handFrames(p)
	for i := range s.sounds {
		s.note(p, &s.sounds[i])
	}
	s.extras(p)
	s.unsure(p)
	for i := range p.Marks { // placed already, counted from the lane
		p.Marks[i].Y = px(top - frameHeight - markHeight*float64(p.Marks[i].row) - 4)
		if !standsOnAnother(p.Marks, i) {
			p.Marks[i].LeaderTop, p.Marks[i].LeaderBottom = p.Marks[i].Y+2, p.Top
		}
	}
}

// ruled draws measures, beats and the lines of cents.
func (s *score) ruled(p *panel) {
	for _, b := range p.bars {
		bar := &s.bars[b]
		x := px(p.x(float64(bar.Onset)))
		p.Barlines = append(p.Barlines, x)
		l := label{X: x + 2, Y: numbersAt, Text: clean(bar.Number)}
		l.Sub = s.whichTime(b)
		if at, ok := s.starts[b]; ok && l.Sub != "" {
			l.Sub = words.Say("report.round.at", "round", l.Sub, "time", words.Duration(at))
		} else if ok {
			l.Sub = words.Duration(at).In(words.Here())
		}
		if room := p.x(float64(bar.Onset+bar.Length)) - float64(x); paper.TextWidth(l.Text, 13)+paper.TextWidth(l.Sub, 9.5)+9 > room {
			l.Sub = ""
		}
		p.Numbers = append(p.Numbers, l)
		for t := bar.Onset; t < bar.Onset+bar.Length; t += max(bar.Beat, 1) {
			p.Beats = append(p.Beats, px(p.x(float64(t))))
		}
	}
	p.Barlines = append(p.Barlines, px(p.end()))
	ruler := 50.0
	if s.reach > 100 {
		ruler = 100
	}
	for _, c := range []float64{ruler, 0, -ruler} {
		p.Grid = append(p.Grid, label{X: plotLeft - 4, Y: px(float64(p.Middle) - c/s.reach*laneHeight/2), Text: words.Scale(c).String(), Zero: c == 0})
	}
}
