package foot

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// Hearing is how far a recording is heard, with a way to cancel, and the offer of a take that was
// cut off.
type Hearing struct {
	Offer *fyne.Container // comes and goes over the bar

	desk     *desk.Desk
	progress *fyne.Container
	of       *widget.Label
	bar      *widget.ProgressBar
}

// NewHearing is that of a desk.
func NewHearing(d *desk.Desk) *Hearing {
	f := &Hearing{desk: d, of: widget.NewLabel(""), bar: widget.NewProgressBar(), Offer: container.NewStack()}
	f.bar.TextFormatter = func() string { return "" } // its length tells it
	thin := fit.Amid(fit.Tall(f.bar, 10))
	f.progress = container.NewBorder(nil, nil, f.of, container.NewHBox(fit.Gap(10), prose.NewButton(words.Say("window.foot.cancel"), d.Cancel), fit.Gap(6)), thin)
	f.progress.Hide()
	f.Offer.Hide()
	return f
}

// Refresh shows both as they are now.
func (f *Hearing) Refresh() {
	d := f.desk
	fit.Hide(f.progress, !d.Judging)
	if d.Judging {
		if text := words.Say("window.foot.hearing", "what", d.HearingOf()); f.of.Text != text {
			f.of.SetText(text)
		}
		if at := max(0, d.Heard); at != f.bar.Value {
			f.bar.SetValue(at)
		}
	}
	t := d.CutOff
	if t == nil || d.Running || d.Judging {
		f.Offer.Hide()
		return
	}
	if len(f.Offer.Objects) == 0 {
		f.Offer.Add(container.NewBorder(nil, nil, nil, container.NewCenter(prose.NewButton(words.Say("window.foot.hear"), func() { d.Again(t) })),
			prose.Wrapped(words.ManyOf("window.foot.cut-off", words.Whole(t.Seconds), "when", words.DayOfYear(t.Made).WithHour()).String())))
	}
	fit.Hide(f.Offer, false)
}
