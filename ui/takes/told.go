package takes

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Told is one finding of the take shown: its shape, its sentence, and a way to
// put it aside. With a head it stands in the list beside the page: measure and
// mark over the sentence, and a tap looks closer.
func Told(d *desk.Desk, win fyne.Window, i int, head bool) fyne.CanvasObject {
	f := &d.Shown.Hearing.Findings[i]
	reason, set := d.Dismissed(i)
	text := f.Text
	if head {
		if key := turn(d, i); key != "" {
			text = words.Say(key, "text", text)
		}
	}
	if set {
		text = words.Say("window.takes.aside", "reason", reason, "text", text)
	}
	sentence := prose.Wrapped(text)
	sentence.TextStyle.Italic = set
	button := prose.NewButton(words.Say("window.takes.put-aside"), func() { putAside(d, win, i) })
	if set {
		button = prose.NewButton(words.Say("window.takes.take-back"), func() { d.Dismiss(i, ""); win.Canvas().Unfocus() })
	}
	var deeds fyne.CanvasObject = button
	if d.Mends(i) && !set {
		deeds = container.NewVBox(prose.NewButton(words.Say("window.takes.work-on"), func() { d.WorkOn(i); win.Canvas().Unfocus() }), button)
	}
	c := ink.Look{Dark: d.Settings.Dark}.Colours()
	const (
		side       = 20
		besideLine = 3 // lower than a label, whose letters have more above them
	)
	k := ink.New(fyne.NewSize(side, side), max(1, win.Canvas().Scale()))
	colour := c.Ink
	if set {
		colour = c.Soft
	}
	k.Shape(ink.Of(f.Kind), side/2, side/2, 8, f.Trust != dsp.Sure || set, colour, c.Paper)
	drawn := k.Object()
	drawn.SetMinSize(fyne.NewSize(side, side))
	shape := container.NewVBox(fit.Space(besideLine), container.NewPadded(drawn)) // at the first line
	if !head {
		return container.NewBorder(nil, nil, shape, deeds, sentence)
	}
	title := prose.Wrapped(place(f))
	title.TextStyle.Bold = !set
	box := fit.Close(container.NewBorder(nil, nil, shape, deeds, title), sentence)
	if !d.HasMeasure(i) {
		return box
	}
	return newTappable(d, box, func() { d.LookAt(i) })
}

// turn is what says when a finding's turn comes of those that are worth fixing first:
// those put aside have none.
func turn(d *desk.Desk, i int) string {
	n := 0
	for _, k := range d.Shown.Hearing.WorthFixing {
		_, set := d.Dismissed(k)
		switch {
		case set:
		case k != i:
			n++
		case n == 0:
			return "window.takes.first"
		default:
			return "window.takes.then"
		}
	}
	return ""
}

// place names where a finding is and its mark.
func place(f *finding.Finding) string {
	if f.Kind.Row().About == finding.WholeTake {
		mark := f.Mark(finding.FullMark)
		mark.Key = "window.takes.whole." + string(f.Kind)
		return mark.String()
	}
	return words.Say("window.takes.place", "measure", f.Measure, "mark", f.Mark(finding.PageMark))
}
