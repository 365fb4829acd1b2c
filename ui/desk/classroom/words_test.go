package classroom

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece/words/pseudo"
)

func TestEveryWordOfAClassIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	l := newLesson(t)
	l.Class.Start()
	reads(l.Class.Message)
	l.Drop(filepath.Join(l.folder, "gone"))
	reads(l.Class.Message, l.folder, "gone")
	l.TypeTempo("quick")
	reads(l.Class.Message, "quick")
	l.Going = true
	reads(l.Says())
	l.Drop(l.folder)
	reads(l.Class.Message)
	for heard := range 3 {
		l.Heard = so(l.sheet(heard))
		reads(l.Says())
		for i, row := range l.rows() {
			assert.Empty(t, pseudo.Plain(row, l.Students()[i].Reason), row)
		}
	}
	l.Heard = l.twoPieces()
	for _, row := range l.rows() {
		reads(row, "Minuet", "Scale", "d.wav", "silence")
	}
}
