package write

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/manuscript"
	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// palette are the buttons over the page: what the digits mean now, the signs, and what is
// done with the page. Each does what the key does that stands on it.
type palette struct {
	s       *Screen
	box     *fyne.Container
	modes   [2]*prose.Button // lengths, fingers
	lengths map[string]*prose.Button
	dot     *prose.Button
	triplet *prose.Button
	slur    *prose.Button
	first   []fyne.CanvasObject // shown while digits are lengths
	second  []fyne.CanvasObject // and while they are fingers
	third   []fyne.CanvasObject // signs, shown in the place of either
	signs   *prose.Button
	signing bool // they are
	strings []*prose.Button
	loud    *prose.Entry
	sound   *prose.Button
}

func newPalette(s *Screen) *palette {
	p := &palette{s: s, lengths: map[string]*prose.Button{}}
	press := func(key manuscript.Key, name string) *prose.Button {
		return prose.NewButton(words.Say("window.write.key."+name), func() {
			s.freed(func() { s.writing.Press(key, manuscript.Held{}) })
		})
	}
	mode := func(fingers bool, name string) *prose.Button {
		return prose.NewButton(words.Say("window.write."+name), func() {
			s.freed(func() {
				p.sign(false)
				if s.writing.Page.Hand.Fingers != fingers {
					s.writing.Press(manuscript.Mode, manuscript.Held{})
				}
			})
		})
	}
	p.modes = [2]*prose.Button{mode(false, "lengths"), mode(true, "fingers")}
	p.signs = prose.NewButton(words.Say("window.write.signs"), func() { s.freed(func() { p.sign(!p.signing) }) })
	digits := []fyne.CanvasObject{p.modes[0], p.modes[1], p.signs, fit.Gap(6)}
	for _, l := range manuscript.Lengths {
		b := press(l.Key, l.Value)
		p.lengths[l.Value] = b
		p.first = append(p.first, b)
	}
	p.dot, p.triplet, p.slur = press(".", "dot"), press("3", "triplet"), press("j", "slur")
	p.first = append(p.first, press("5", "beat"), p.dot, p.triplet, press("0", "rest"), press("R", "rest-measure"), press("s", "sharp"), press("l", "flat"), press("n", "natural"), press("t", "tie"), p.slur,
		press("o", "up"), press("O", "down"), press(manuscript.Up, "step-up"), press(manuscript.Down, "step-down"), press("+", "semitone-up"), press("-", "semitone-down"), press(manuscript.Return, "bar"))
	for _, f := range []manuscript.Key{"0", "1", "2", "3", "4"} {
		b := prose.NewButton(string(f), func() { s.freed(func() { s.writing.Press(f, manuscript.Held{}) }) })
		p.second = append(p.second, b)
	}
	p.second = append(p.second, press("t", "thumb"))
	for i := range 5 { // five strings at most
		b := prose.NewButton("", func() {
			s.freed(func() { s.writing.Do(func(m *manuscript.Manuscript) { m.String(i + 1) }) })
		})
		p.strings = append(p.strings, b)
		p.second = append(p.second, b)
	}
	propose := prose.NewButton(words.Say("window.write.propose"), func() { s.freed(s.writing.Propose) })
	p.second = append(p.second, press(manuscript.Up, "position"), press(manuscript.Down, "position-down"), propose)

	p.loud = prose.NewEntry(func(text string) bool { return s.writing.Loud(text) })
	p.loud.SetPlaceHolder(words.Say("window.write.loud"))
	p.third = []fyne.CanvasObject{press("w", "bow"), press("p", "pizz"), press("h", "fermata"), press("k", "staccato"),
		press(":", "repeat"), press("i", "ending"), press("m", "mark"), press("|", "double-bar"), fit.Wide(p.loud, prose.Room(110, p.loud.PlaceHolder))}

	act := func(name string, do func()) *prose.Button {
		return prose.NewButton(words.Say("window.write."+name), func() { s.freed(do) })
	}
	p.sound = act("sound", s.writing.Sound)
	play := act("play", s.writing.Play)
	play.Importance = widget.HighImportance
	deeds := []fyne.CanvasObject{act("undo", s.Undo), act("redo", s.Redo), act("copy", s.Copy), act("paste", s.Paste), act("delete", func() { s.writing.Press(manuscript.Backspace, manuscript.Held{}) }), act("transpose", s.askTranspose), act("fresh", s.writing.Fresh), act("edit", s.Edit),
		act("picture", s.askPicture), act("play-in", s.askPlayIn), p.sound, act("keep", func() { s.writing.Keep() }), nil, play}
	p.box = fit.Rows(func(float32) [][]fyne.CanvasObject {
		return [][]fyne.CanvasObject{deeds, slices.Concat(digits, p.first, p.second, p.third)}
	})
	return p
}

// sign shows the signs in the place of what the digits are, or no more.
func (p *palette) sign(on bool) {
	p.signing = on
	p.refresh()
	for range 2 { // what is shown for the first time takes on the theme of the row, and only then has its width
		p.box.Refresh()
	}
}

// refresh shows what the digits mean, and what the next note will be.
func (p *palette) refresh() {
	m := p.s.writing.Page
	h := m.Hand
	prose.Mark(p.modes[0], !h.Fingers)
	prose.Mark(p.modes[1], h.Fingers)
	for _, o := range p.first {
		fit.Hide(o, h.Fingers || p.signing)
	}
	for _, o := range p.second {
		fit.Hide(o, !h.Fingers || p.signing)
	}
	for _, o := range p.third {
		fit.Hide(o, !p.signing)
	}
	prose.Mark(p.signs, p.signing)
	for value, b := range p.lengths {
		prose.Mark(b, h.Value == value)
	}
	prose.Mark(p.dot, h.Dots > 0)
	prose.Mark(p.triplet, h.Triplet > 0)
	prose.Mark(p.slur, h.Slurring)
	names := p.s.writing.Strings()
	for i, b := range p.strings {
		fit.Hide(b, !h.Fingers || p.signing || i >= len(names))
		if i < len(names) {
			if text := words.Say("window.write.string", "string", words.OpenString(names[i])); b.Text != text {
				b.SetText(text)
			}
		}
	}
	text := words.Say("window.write.sound")
	if p.s.writing.Sounds {
		text = words.Say("window.write.silence")
	}
	if p.sound.Text != text {
		p.sound.SetText(text)
	}
	loud := ""
	if from, _ := m.Range(); from.Note >= 0 && from.Note < len(m.Bars[from.Measure].Notes) {
		loud = m.Bars[from.Measure].Notes[from.Note].Dynamics
	}
	if !p.loud.Entered() && strings.TrimSpace(p.loud.Text) != loud {
		p.loud.SetText(loud)
	}
}
