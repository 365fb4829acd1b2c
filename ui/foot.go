package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// foot is what comes and goes under the page: how far a recording is heard, with a
// way to cancel, and the offer of a take that was cut off.
type foot struct {
	desk     *desk.Desk
	progress *fyne.Container
	hearing  *widget.Label
	bar      *widget.ProgressBar
	offer    *fyne.Container
}

func newFoot(d *desk.Desk) *foot {
	f := &foot{desk: d, hearing: widget.NewLabel(""), bar: widget.NewProgressBar(), offer: container.NewHBox()}
	f.bar.TextFormatter = func() string { return "" } // its length tells it
	thin := container.NewVBox(layout.NewSpacer(), fit.Tall(f.bar, 10), layout.NewSpacer())
	f.progress = container.NewBorder(nil, nil, f.hearing, container.NewHBox(fit.Gap(10), prose.NewButton(words.Say("window.foot.cancel"), d.Cancel), fit.Gap(6)), thin)
	f.progress.Hide()
	f.offer.Hide()
	return f
}

func (f *foot) refresh() {
	d := f.desk
	fit.Hide(f.progress, !d.Judging)
	if d.Judging {
		if text := words.Say("window.foot.hearing", "what", d.HearingOf()); f.hearing.Text != text {
			f.hearing.SetText(text)
		}
		if at := max(0, d.Heard); at != f.bar.Value {
			f.bar.SetValue(at)
		}
	}
	t := d.CutOff
	if t == nil || d.Running || d.Judging {
		f.offer.Hide()
		return
	}
	if len(f.offer.Objects) == 0 {
		f.offer.Add(widget.NewLabel(words.ManyOf("window.foot.cut-off", words.Whole(t.Seconds), "when", words.DayOfYear(t.Made).WithHour()).String()))
		f.offer.Add(prose.NewButton(words.Say("window.foot.hear"), func() { d.Again(t) }))
	}
	fit.Hide(f.offer, false)
}
