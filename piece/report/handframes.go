package report

import (
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

// bracket is the line over the notes of one hand frame.
type bracket struct {
	X, Y, End px
	Text      string
	TextEnd   px
	Closed    bool // the frame ends here and not in the next panel
}

// handFrames draws a line over the notes between two shifts, with the position.
func (s *score) handFrames(p *panel) {
	y := p.Top - 9
	for i := 0; i < len(s.sounds); {
		n := &s.sounds[i]
		if !s.stopped(n) {
			i++
			continue
		}
		last := i
		for j := i + 1; j < len(s.sounds) && !s.sounds[j].AfterShift; j++ {
			if s.stopped(&s.sounds[j]) {
				last = j
			}
		}
		from, to := n.tick, s.sounds[last].tick+s.sounds[last].length
		if p.meets(from, to) {
			b := bracket{X: px(p.x(float64(max(from, p.from)))), Y: y, End: px(p.x(float64(min(to, p.to))) - 2), Closed: to <= p.to}
			position := words.Position(n.Position)
			b.Text = position.Least().String()
			if from < p.from {
				b.Text = words.Say("report.frame.before", "position", position.Least())
			}
			room := float64(b.End - b.X)
			if paper.TextWidth(b.Text, 10)+6 > room {
				b.Text = ""
			} else if long := position.Brief().String(); from >= p.from && paper.TextWidth(long, 10)+16 < room {
				b.Text = long
			}
			b.TextEnd = b.X + px(paper.TextWidth(b.Text, 10))
			p.Frames = append(p.Frames, b)
		}
		i = last + 1
	}
}

// stopped reports whether a finger holds the note down in a hand frame.
func (s *score) stopped(n *sounded) bool {
	return n.Position != "" && n.Position != "0" && n.Finger != "0" && (n.entry == nil || !n.entry.Marks.Harmonic)
}
