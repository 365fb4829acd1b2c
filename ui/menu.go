package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/work"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// deed is one thing that the window does, as its menu and the list of its keys know it.
type deed struct {
	name    string // what it is called
	key     string // the key that does it; "" for none
	do      func()
	is      func() bool  // it is so now: ticked; nil for what is only done
	control fyne.KeyName // the key that does it with Control, wherever the keys go; "" for none
}

// deeds are all of them, a menu each.
type deeds struct {
	name string
	all  []deed
}

// menu is the bar over the window, with everything in it.
type menu struct {
	bar   *fyne.MainMenu
	ticks []func() bool // whether an item is ticked; nil for one that never is
	items []*fyne.MenuItem
}

// deeds are those of the window.
func (w *Window) deeds() []deeds {
	d := w.desk
	say := func(key string) string { return words.Say("window.menu." + key) }
	file := deeds{say("file"), []deed{
		{name: words.Say("window.pieces.open"), do: w.openPiece, control: fyne.KeyO},
		{name: words.Say("window.pieces.write"), do: w.writePiece},
		{name: words.Say("window.write.edit"), do: w.editPiece},
		{name: say("open"), key: "o", do: w.open, control: fyne.KeyR},
		{name: say("homework"), do: w.asked.Make},
		{name: say("hand-in"), key: "h", do: w.asked.Ask},
		{name: words.Say("window.pencil.keep"), do: w.pencil.Keep, control: fyne.KeyS},
		{name: say("quit"), do: w.close, control: fyne.KeyQ},
	}}
	play := deeds{say("play"), []deed{{name: say("start"), key: words.Say("window.key.space"), do: d.StartStop, is: d.Going}}}
	for i, way := range work.Ways {
		play.all = append(play.all, deed{name: way.Name(), key: fmt.Sprint(i + 1), do: func() { d.SetWay(way) }, is: func() bool { return d.Work.Way == way }})
	}
	play.all = append(play.all,
		deed{name: say("faster"), key: "+", do: func() { d.SetQPM(d.Work.QPM + 1) }},
		deed{name: say("slower"), key: "−", do: func() { d.SetQPM(d.Work.QPM - 1) }},
		deed{name: say("tap"), key: "t", do: d.Tap},
		deed{name: say("sound"), key: "s", do: d.NextSound},
		deed{name: say("scale.one"), do: w.drill(func() { d.Drills.Scale(1) })},
		deed{name: say("scale.two"), do: w.drill(func() { d.Drills.Scale(2) })},
		deed{name: say("shift"), do: w.drill(func() { d.Drills.ShiftIn(d.Work.First, d.Work.Last) })})
	pencil := deeds{words.Say("window.pencil"), []deed{
		{name: words.Say("window.pencil.take"), key: "m", do: w.takePencil, is: func() bool { return d.Pencil.On }},
		{name: words.Say("window.pencil.undo"), do: w.step(w.write.Undo, d.Pencil.Undo), control: fyne.KeyZ},
		{name: words.Say("window.pencil.redo"), do: w.step(w.write.Redo, d.Pencil.Redo), control: fyne.KeyY}}}
	view := deeds{say("view"), nil}
	for i, s := range w.tabs.all[:len(w.tabs.buttons)] {
		view.all = append(view.all, deed{name: s.Name(), do: func() { w.tabs.show(i) }, is: func() bool { return w.tabs.at == i }})
	}
	view.all = append(view.all,
		deed{name: words.Say("window.bar.plan"), key: "p", do: func() { w.columns.toggle(w.plan.Box) }, is: w.plan.Box.Visible},
		deed{name: words.Say("window.bar.takes"), do: func() { w.columns.toggle(w.side.Box) }, is: w.side.Box.Visible},
		deed{name: say("closer"), key: "c", do: func() { w.closer.Rune('c') }, is: func() bool { return d.Closer() != nil }},
		deed{name: say("listen"), key: "r", do: d.Listening.Toggle, is: func() bool { return d.Listening.Open }},
		deed{name: say("larger"), key: "l", do: w.nextSize},
		deed{name: say("night"), key: "d", do: func() { w.dark(!d.Settings.Dark) }, is: func() bool { return d.Settings.Dark }})
	help := deeds{say("help"), []deed{{name: w.help.Name(), key: "F1", do: w.tabs.help}, {name: say("keys"), key: "?", do: w.keys}, {name: say("caution"), do: w.caution}}}
	return []deeds{file, play, pencil, view, help}
}

func newMenu(w *Window) *menu {
	m := &menu{bar: fyne.NewMainMenu()}
	for _, of := range w.deeds() {
		var items []*fyne.MenuItem
		for _, x := range of.all {
			name, key := x.name, x.key
			if x.control != "" {
				key = words.Say("window.keys.control", "key", string(x.control))
			}
			if key != "" {
				name = words.Say("window.menu.item", "what", name, "key", key)
			}
			item := fyne.NewMenuItem(name, x.do)
			if x.control != "" {
				item.Shortcut = control(x.control)
				item.IsQuit = x.control == fyne.KeyQ // or the toolkit adds one of its own
			}
			items = append(items, item)
			m.items, m.ticks = append(m.items, item), append(m.ticks, x.is)
		}
		m.bar.Items = append(m.bar.Items, fyne.NewMenu(of.name, items...))
	}
	return m
}

// control is a key with Control. The toolkit knows it by its name, and does not write it
// behind the item in the colour of a shadow, which nobody can read.
type control fyne.KeyName

// ShortcutName implements fyne.Shortcut.
func (c control) ShortcutName() string {
	return (&desktop.CustomShortcut{KeyName: fyne.KeyName(c), Modifier: fyne.KeyModifierControl}).ShortcutName()
}

// refresh ticks what is so now.
func (m *menu) refresh() {
	changed := false
	for i, is := range m.ticks {
		if is != nil && m.items[i].Checked != is() {
			m.items[i].Checked, changed = is(), true
		}
	}
	if changed {
		m.bar.Refresh()
	}
}

// keys shows which key does what.
func (w *Window) keys() {
	if w.win.Canvas().Overlays().Top() != nil {
		return
	}
	var keys, whats []string
	row := func(key, what string) { keys, whats = append(keys, key), append(whats, what) }
	if w.write.Box().Visible() {
		keys, whats = w.write.Keys()
		w.showKeys(keys, whats)
		return
	}
	of := map[remembered.Pedals]string{remembered.PageKeys: "page", remembered.ArrowsAcross: "across", remembered.ArrowsUpright: "upright"}[w.desk.Settings.Pedals]
	row(words.Say("window.keys.do."+of), words.Say("window.keys.do"))
	row(words.Say("window.keys.go-on."+of), words.Say("window.keys.go-on"))
	if of != "upright" {
		row(words.Say("window.keys.arrows"), words.Say("window.keys.scroll"))
	}
	row(words.Say("window.keys.escape"), words.Say("window.keys.leave"))
	for _, of := range w.deeds() {
		for _, x := range of.all {
			if x.control != "" {
				row(words.Say("window.keys.control", "key", string(x.control)), x.name)
			}
			if x.key != "" {
				row(x.key, x.name)
			}
		}
	}
	for _, x := range w.closer.Keys() {
		row(x[0], x[1])
	}
	w.showKeys(keys, whats)
}

// showKeys sets keys in two columns, each with what it does, or in one that scrolls.
func (w *Window) showKeys(keys, whats []string) {
	var rows []fyne.CanvasObject
	for i, wide := 0, prose.Room(100, keys...); i < len(keys); i++ {
		rows = append(rows, container.NewHBox(fit.Across(prose.Bold(keys[i]), wide), widget.NewLabel(whats[i])))
	}
	half := (len(rows) + 1) / 2
	table := container.NewHBox(fit.Close(rows[:half]...), fit.Gap(24), fit.Close(rows[half:]...))
	room := w.win.Canvas().Size().SubtractWidthHeight(80, 160) // beside and over a dialogue's own
	if table.MinSize().Width > room.Width {
		table = fit.Close(rows...)
	}
	all := container.NewVScroll(fit.ClearOfBar(table))
	all.SetMinSize(table.MinSize().Min(room))
	dialog.NewCustom(words.Say("window.keys.title"), words.Say("window.keys.close"), all, w.win).Show()
}

// spaces are the sizes of the page: a staff space, in Fyne's units. At the largest a
// mark's capitals are 5 mm high on a laptop's 1920 by 1080: six minutes of arc three
// metres away, a little more than the five that good eyes need.
var spaces = [remembered.Sizes]float32{9, 12.5, 22}

// nextSize goes on to the next size of the page.
func (w *Window) nextSize() { w.size((w.desk.Settings.Size + 1) % remembered.Sizes) }

// size chooses one.
func (w *Window) size(n int) {
	w.desk.Change(func(s *remembered.Settings) { s.Size = n })
	w.page.SetSpace(spaces[w.desk.Settings.Size])
}
