package prose

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
	"github.com/stretchr/testify/assert"
)

func TestALongTitleEndsAfterAWord(t *testing.T) {
	test.NewTempApp(t)
	text := canvas.NewText("The Long Walk Round the Lake in the Rain", nil)
	s := NewShort(text)
	s.Resize(fyne.NewSize(s.Needs()+1, 20))
	assert.Equal(t, "The Long Walk Round the Lake in the Rain", text.Text)
	s.Resize(fyne.NewSize(s.Needs()*0.7, 20))
	assert.Regexp(t, `^The Long Walk( Round( the( Lake)?)?)? …$`, text.Text)
	s.Say("Antidisestablishmentarianism")
	s.Resize(fyne.NewSize(s.Needs()*0.6, 20))
	assert.Regexp(t, `^Antidis[a-z]* …$`, text.Text)
	s.Say("")
	assert.Empty(t, text.Text)
}
