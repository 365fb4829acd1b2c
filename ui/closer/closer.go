package closer

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/closelook"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/page"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// Look stands under the page and shows one measure of the take shown: what was
// heard of its pitch and its beats, the sentences about it, and buttons to hear it.
type Look struct {
	desk  *desk.Desk
	win   fyne.Window
	page  *page.View
	stack *fyne.Container // the page over the panel
	Box   *fyne.Container // the panel
	name  *canvas.Text
	times *fyne.Container
	play  map[closelook.Voice]*prose.Button
	said  *fyne.Container

	slowly *prose.Button
	plot   *plot
	shown  *closelook.Look
	lit    closelook.Voice
}

// playable are what the buttons play, with their keys.
var playable = []struct {
	voice closelook.Voice
	label string // a message's key
	key   rune
}{
	{closelook.Recorded, "window.closer.recorded", 'r'},
	{closelook.Written, "window.closer.written", 'w'},
	{closelook.InTurn, "window.closer.both", 'b'},
}

// labelled is what stands on the button of a voice.
func labelled(label string, key rune) string { return words.Say(label, "key", string(key)) }

// Keys are the keys that hold in it, each with what it does.
func (c *Look) Keys() (all [][2]string) {
	for _, x := range playable {
		all = append(all, [2]string{string(x.key), words.Say("window.keys." + strings.TrimPrefix(x.label, "window."))})
	}
	return append(all, [2]string{"f", words.Say("window.keys.closer.from")})
}

// New sets the panel out, under a page.
func New(d *desk.Desk, win fyne.Window, p *page.View) *Look {
	c := &Look{desk: d, win: win, page: p, play: map[closelook.Voice]*prose.Button{}, times: container.NewHBox(), said: container.NewVBox(), plot: newPlot()}
	c.name = canvas.NewText("", nil)
	c.name.TextSize, c.name.TextStyle.Bold = 24, true
	button := func(label string, do func()) *prose.Button {
		return prose.NewButton(label, func() { do(); win.Canvas().Unfocus() })
	}
	measure := container.NewHBox(container.NewPadded(c.name), button("◂", func() { c.desk.Neighbour(-1) }), button("▸", func() { c.desk.Neighbour(1) }))
	all := []fyne.CanvasObject{measure, c.times, nil, widget.NewLabel(words.Say("window.closer.play"))}
	for _, p := range playable {
		b := button(labelled(p.label, p.key), func() { c.sound(p.voice) })
		c.play[p.voice] = b
		all = append(all, b)
	}
	c.slowly = button(words.Say("window.closer.slower"), func() { d.PlaySlowly(!d.Slowly) })
	row := fit.Row(append(all, c.slowly, button(labelled("window.closer.from", 'f'), c.from), button(words.Say("window.closer.close"), c.desk.LookAway))...)
	c.Box = container.New(&closerLayout{}, widget.NewSeparator(), row, container.NewVScroll(c.said), c.plot)
	c.Box.Hide()
	return c
}

// Under puts the panel under the page.
func (c *Look) Under(page fyne.CanvasObject) fyne.CanvasObject {
	c.stack = container.New(&underLayout{c}, page, c.Box)
	return c.stack
}

// Tapped looks closer at a measure tapped on the page, where a take is shown.
func (c *Look) Tapped(measure int) bool {
	d := c.desk
	switch {
	case d.Shown == nil || d.Running || d.Judging:
		return false
	case d.Listening.Open && d.Closer() == nil:
		d.Listening.From(measure) // he listens on from there
		return true
	}
	d.LookCloser(measure)
	return true
}

// begin looks at the measures chosen, or at what is worth mending first.
func (c *Look) begin() {
	d := c.desk
	switch {
	case d.Running || d.Judging:
	case d.Shown == nil:
		d.Say(words.Say("window.closer.no-take"))
	case d.Closer() != nil:
		d.LookAway()
	case !d.Score.Whole(d.Work.First, d.Work.Last):
		d.LookCloser(d.Work.First)
	default:
		h := d.Shown.Hearing
		for _, i := range h.WorthFixing {
			if d.LookAt(i) {
				return
			}
		}
		for i := range h.Findings {
			if d.LookAt(i) {
				return
			}
		}
		for m := range d.Score.Piece.Measures {
			if d.LookCloser(m); d.Closer() != nil {
				return
			}
		}
	}
}

// sound plays, or stops what plays.
func (c *Look) sound(v closelook.Voice) {
	if c.desk.Playback.What == v {
		c.desk.StopPlaying()
		return
	}
	c.desk.Play(v)
}

// from listens to the take from the measure on, on the page.
func (c *Look) from() {
	if look := c.desk.Closer(); look != nil {
		c.desk.LookAway()
		c.desk.Listening.From(look.Measure)
	}
}

// Key takes the keys that move about while the panel is there.
func (c *Look) Key(k fyne.KeyName) bool {
	d := c.desk
	look := d.Closer()
	if look == nil {
		return false
	}
	switch k {
	case fyne.KeyLeft:
		d.Neighbour(-1)
	case fyne.KeyRight:
		d.Neighbour(1)
	case fyne.KeyUp:
		d.OtherTime(look.Time - 1)
	case fyne.KeyDown:
		d.OtherTime(look.Time + 1)
	case fyne.KeyEscape:
		if d.Playback.What != "" {
			d.StopPlaying()
		} else {
			d.LookAway()
		}
	case fyne.KeySpace:
		if d.Playback.What == "" {
			return false
		}
		d.StopPlaying()
	default:
		return false
	}
	return true
}

// Rune takes the keys that play while the panel is there, and the one that opens it.
func (c *Look) Rune(r rune) bool {
	if r == 'c' {
		c.begin()
		return true
	}
	if c.desk.Closer() == nil {
		return false
	}
	if r == 'f' {
		c.from()
		return true
	}
	for _, p := range playable {
		if r == p.key {
			c.sound(p.voice)
			return true
		}
	}
	return false
}

// Refresh shows what is looked at.
func (c *Look) Refresh() {
	d := c.desk
	look := d.Closer()
	if look == nil {
		if c.Box.Visible() {
			c.shown = nil
			c.Box.Hide()
			c.page.SetLooked(-1)
			c.stack.Refresh()
		}
		return
	}
	colours := ink.Look{Dark: d.Settings.Dark}.Colours()
	changed := look != c.shown
	if changed || c.name.Color != colours.Ink {
		c.shown = look
		c.name.Color, c.name.Text = colours.Ink, words.Say("window.closer.measure", "number", look.Number)
		c.timesOf(look)
		c.saidOf(look)
		c.plot.show(look, colours)
		c.Box.Show()
		c.stack.Refresh()
		c.name.Refresh()
	}
	if changed {
		c.page.SetLooked(look.Measure)
		c.page.Bring(look.Measure)
	}
	c.plot.cursorAt(d.Playback)
	prose.Mark(c.slowly, d.Slowly)
	if c.lit != d.Playback.What {
		c.lit = d.Playback.What
		for _, p := range playable {
			b := c.play[p.voice]
			text, importance := labelled(p.label, p.key), widget.MediumImportance
			if p.voice == c.lit {
				text, importance = words.Say("window.closer.stop"), widget.HighImportance
			}
			b.Importance = importance
			b.SetText(text)
		}
	}
}

// timesOf are buttons for the times that the measure was played, where there
// are several.
func (c *Look) timesOf(look *closelook.Look) {
	c.times.RemoveAll()
	if len(look.Times) < 2 {
		return
	}
	if len(look.Times) > 3 {
		choose := prose.NewDrop(look.Times, nil)
		choose.SetSelectedIndex(look.Time)
		choose.OnChanged = func(string) { c.desk.OtherTime(choose.SelectedIndex()) }
		c.times.Add(choose)
		return
	}
	for i, name := range look.Times {
		b := prose.NewButton(name, func() { c.desk.OtherTime(i); c.win.Canvas().Unfocus() })
		prose.Mark(b, i == look.Time)
		c.times.Add(b)
	}
}

// saidOf are the sentences about the measure.
func (c *Look) saidOf(look *closelook.Look) {
	c.said.RemoveAll()
	switch {
	case look.GivenUp:
		c.said.Add(prose.Wrapped(words.Say("window.closer.given-up")))
	case look.Empty != "":
		c.said.Add(prose.Wrapped(look.Empty))
	case len(look.Findings) == 0 && look.Unsure:
		c.said.Add(prose.Wrapped(words.Say("window.closer.not-sure")))
	case len(look.Findings) == 0:
		c.said.Add(prose.Wrapped(words.Say("window.closer.nothing")))
	}
	for _, i := range look.Findings {
		c.said.Add(takes.Told(c.desk, c.win, i, false))
	}
}

// closerLayout sets line, buttons, sentences and drawing one under the other; the
// sentences take what they need, up to what the drawing can do without.
type closerLayout struct{}

const (
	leastPlot = 176
	leastSaid = 52 // two lines of the sentences, the others scroll
)

func (l *closerLayout) MinSize(all []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(all[1].MinSize().Width, 200)
}

func (l *closerLayout) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	place := func(o fyne.CanvasObject, h float32) {
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += h
	}
	place(all[0], all[0].MinSize().Height)
	all[1].Resize(fyne.NewSize(size.Width, all[1].Size().Height)) // its lines hang on its width
	place(all[1], all[1].MinSize().Height)
	scroll := all[2].(*container.Scroll)
	scroll.Content.Resize(fyne.NewSize(size.Width, scroll.Content.MinSize().Height)) // labels know their height by their width
	place(scroll, min(scroll.Content.MinSize().Height, max(leastSaid, size.Height-y-leastPlot)))
	place(all[3], max(0, size.Height-y))
}

// underLayout gives the panel nearly half of the window's height, and the page
// the rest.
type underLayout struct{ c *Look }

const (
	closerShare = 0.47 // of the window's height
	leastPage   = 150  // of the page that stays in sight
)

func (l *underLayout) MinSize(all []fyne.CanvasObject) fyne.Size { return all[0].MinSize() }

func (l *underLayout) Layout(all []fyne.CanvasObject, size fyne.Size) {
	h := float32(0)
	if all[1].Visible() {
		h = max(120, min(closerShare*l.c.win.Canvas().Size().Height, size.Height-leastPage))
		all[1].Move(fyne.NewPos(0, size.Height-h))
		all[1].Resize(fyne.NewSize(size.Width, h))
	}
	page := fyne.NewSize(size.Width, size.Height-h)
	moved := page != all[0].Size()
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(page)
	if look := l.c.shown; moved && look != nil {
		l.c.page.Bring(look.Measure) // it stays in sight
	}
}
