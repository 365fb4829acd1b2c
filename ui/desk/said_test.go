package desk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/words/pseudo"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/work"
)

func TestEveryWordOnTheDeskIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	message := func(d *Desk, own ...string) {
		t.Helper()
		reads(d.Message, own...)
		d.Say("")
	}
	b := newBench(t)
	d := b.Desk

	for _, w := range work.Ways {
		d.SetWay(w)
		reads(w.Name())
		reads(w.About())
		for _, s := range w.Sounds() {
			reads(s.Name())
			reads(s.NameIn(w))
			d.SetSound(s)
			for _, x := range d.Between() {
				reads(x.Name)
			}
		}
	}
	_, err := work.WayByName("loudly")
	reads(err.Error(), "loudly", "play-along", "play-alone", "echo", "bow-silently", "bring-up")
	d.SetWay(work.PlayAlong)
	d.Change(func(s *remembered.Settings) { s.Headphones = false })
	d.SetSound(work.SoundLine)
	message(d)
	require.Error(t, d.TypeQPM("quick"))
	message(d, "quick")

	d.Running = true
	assert.True(t, d.busy("open"))
	message(d)
	assert.True(t, d.busy("remove"))
	message(d)
	d.Running, d.Judging = false, true
	assert.True(t, d.busy("open"))
	message(d)
	assert.True(t, d.busy("remove"))
	message(d)
	d.Judging = false
	reads(d.HearingOf())
}
