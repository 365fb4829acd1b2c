package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/practice"
	"endpin/piece/report"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// plan stands beside the page: what to do in a sitting, an item a button. A
// press sets the desk for it.
type plan struct {
	w       *Window
	box     *fyne.Container
	items   *fyne.Container
	minutes *widget.Select
	of      *desk.Shown // the take that it starts from
	aside   int         // how much of it was put aside
}

const planWidth = 470

func newPlan(w *Window) *plan {
	p := &plan{w: w, items: container.NewVBox()}
	p.minutes = widget.NewSelect([]string{"10 minutes", "20 minutes", "30 minutes"}, nil)
	p.minutes.SetSelectedIndex(1)
	p.minutes.OnChanged = func(string) { p.list() }
	p.box = fit.Column(container.NewVScroll(fit.ClearOfBar(container.NewVBox(prose.Heading("A sitting of"), p.minutes, p.items))), planWidth)
	return p
}

// refresh plans anew when another take is shown, or something in it put aside.
func (p *plan) refresh() {
	if p.box.Visible() && (p.of != p.w.desk.Shown || p.aside != takes.SetAside(p.w.desk)) {
		p.list()
	}
}

// list sets the items out.
func (p *plan) list() {
	p.of, p.aside = p.w.desk.Shown, takes.SetAside(p.w.desk)
	p.items.RemoveAll()
	sitting, err := p.w.desk.PracticePlan(10 * (p.minutes.SelectedIndex() + 1))
	if err != nil {
		p.items.Add(prose.Wrapped(err.Error()))
		return
	}
	for _, sentence := range sitting.Changed {
		p.items.Add(prose.Wrapped(sentence))
	}
	for _, it := range sitting.Items {
		p.items.Add(p.item(it))
		p.items.Add(prose.Wrapped(it.Why))
	}
	caution := prose.Wrapped(sitting.Caution)
	caution.TextStyle.Bold = true
	p.items.Add(caution)
}

func (p *plan) item(it practice.Item) fyne.CanvasObject {
	if it.Work == practice.Rest {
		l := widget.NewLabel(fmt.Sprintf("%.0f min  ·  rest", it.Minutes))
		l.TextStyle.Bold = true
		return l
	}
	measures := "measure " + it.Measures[0]
	if it.Measures[1] != it.Measures[0] {
		measures = "measures " + it.Measures[0] + "–" + it.Measures[1]
	}
	tempo := fmt.Sprintf("♩ = %.0f", it.TempoFrom)
	if it.TempoTo != it.TempoFrom {
		tempo += fmt.Sprintf(" to %.0f", it.TempoTo)
	}
	b := widget.NewButton(fmt.Sprintf("%.0f min  ·  %s  ·  %s  ·  %s", it.Minutes, report.WorkWords(it.Work), measures, tempo),
		func() { p.w.desk.TakeUp(it) })
	b.Alignment = widget.ButtonAlignLeading
	return b
}
