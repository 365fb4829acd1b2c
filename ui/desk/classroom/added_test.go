package classroom

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece"
	"endpin/piece/class"
)

func TestWhatTheTeacherAddsStandsInTheClassAtOnce(t *testing.T) {
	l := newLesson(t)
	l.Heard, l.Written = so(l.sheet(2)), "class.html"
	l.Choose(0)
	assert.False(t, l.CanAdd(), "nothing writes pages")
	remarks, of := &class.Remarks{}, l.sheet(2)
	l.adds = func(_ context.Context, student string, change func(*class.Remarks, *class.Page)) (*class.Term, string, error) {
		s := of.Copied()
		pages := class.PagesOf([]*piece.Piece{l.score.Piece}, []*class.Sheet{s})
		for i := range pages {
			if pages[i].Name == student {
				change(remarks, &pages[i])
			}
		}
		if student == "" {
			change(remarks, nil)
		}
		remarks.Apply(l.score.Piece, s)
		for i := range pages {
			remarks.Add(&pages[i])
		}
		return so(s), "class.html", nil
	}
	assert.True(t, l.CanAdd())
	late := l.Student().WorthFixing[0]
	l.Strike(late)
	assert.Equal(t, "It is being written on the pages …", l.Message)
	l.pump(t, func() bool { return len(l.Student().Struck) > 0 })
	assert.Empty(t, l.Message)
	assert.Equal(t, []int{late}, l.Student().Struck)
	assert.NotContains(t, l.Student().WorthFixing, late, "no page gives it to work on")
	l.Say("Sing it first")
	l.pump(t, func() bool { return l.Student().Line != "" })
	assert.Equal(t, "Sing it first", l.Student().Line)
	l.See(true)
	l.pump(t, func() bool { return l.Student().Seen })
	assert.True(t, l.Student().Seen)
	l.Strike(late)
	l.pump(t, func() bool { return len(l.Student().Struck) == 0 })
	assert.Empty(t, l.Student().Struck, "put back")
	assert.True(t, l.Student().Seen, "the teacher's own is seen as it is written")
	l.SayToAll("Concert on Friday")
	l.pump(t, func() bool { return l.Sheet().Remark != "" })
	assert.Equal(t, "Concert on Friday", l.Sheet().Remark)
}
