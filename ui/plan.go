package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/practice"
	"endpin/piece/report"
	"endpin/piece/words"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
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
	minutes *prose.Drop
	of      *shelf.Shown // the take that it starts from
	aside   int          // how much of it was put aside

	fingered *score.Score // as it was listed
}

const planWidth = 470

// sittings are how long a sitting may be, minutes.
var sittings = []int{10, 20, 30}

func newPlan(w *Window) *plan {
	p := &plan{w: w, items: container.NewVBox()}
	var minutes []string
	for _, n := range sittings {
		minutes = append(minutes, words.Many("window.plan.minutes", n).String())
	}
	p.minutes = prose.NewDrop(minutes, nil)
	p.minutes.SetSelectedIndex(1)
	p.minutes.OnChanged = func(string) { p.list() }
	p.box = fit.Column(container.NewVScroll(fit.ClearOfBar(container.NewVBox(prose.Heading(words.Say("window.plan.sitting")), p.minutes, p.items))), planWidth)
	return p
}

// refresh plans anew when another take is shown, or something in it put aside.
func (p *plan) refresh() {
	if p.box.Visible() && (p.of != p.w.desk.Shown || p.aside != takes.SetAside(p.w.desk) || p.fingered != p.w.desk.Score) {
		p.list()
	}
}

// list sets the items out.
func (p *plan) list() {
	p.of, p.aside = p.w.desk.Shown, takes.SetAside(p.w.desk)
	p.items.RemoveAll()
	sitting, err := p.w.desk.PracticePlan(sittings[p.minutes.SelectedIndex()])
	if err != nil {
		p.items.Add(prose.Wrapped(words.Told(err)))
		return
	}
	for _, sentence := range sitting.Changed {
		p.items.Add(prose.Wrapped(sentence))
	}
	for _, it := range sitting.Items {
		p.items.Add(p.item(it))
		p.items.Add(prose.Wrapped(it.Why))
	}
	if others := p.w.desk.OtherFingerings(); len(others) > 0 {
		p.items.Add(prose.Heading(words.Say("window.plan.others")))
		for _, other := range others {
			p.items.Add(prose.Wrapped(other.Said()))
			p.items.Add(p.button(words.Say("window.plan.take", "other", other.Or), func() { p.w.desk.TakeFingering(other) }))
		}
	}
	if p.fingered = p.w.desk.Score; p.w.desk.Fingered() {
		p.items.Add(p.button(words.Say("window.plan.own"), p.w.desk.OwnFingering))
		p.items.Add(p.button(words.Say("window.plan.write"), p.write))
	}
	caution := prose.Wrapped(sitting.Caution)
	caution.TextStyle.Bold = true
	p.items.Add(caution)
}

func (p *plan) item(it practice.Item) fyne.CanvasObject {
	if it.Work == practice.Rest {
		l := widget.NewLabel(words.Say("window.plan.rest", "minutes", words.Whole(it.Minutes)))
		l.TextStyle.Bold = true
		return l
	}
	measures := words.Of("window.plan.measure", "n", it.Measures[0])
	if it.Measures[1] != it.Measures[0] {
		measures = words.Of("window.plan.measures", "from", it.Measures[0], "to", it.Measures[1])
	}
	tempo := words.Of("window.plan.tempo", "qpm", words.Whole(it.TempoFrom))
	if it.TempoTo != it.TempoFrom {
		tempo = words.Of("window.plan.tempo.rising", "from", words.Whole(it.TempoFrom), "to", words.Whole(it.TempoTo))
	}
	says := words.Say("window.plan.item", "minutes", words.Whole(it.Minutes), "work", report.WorkWords(it.Work), "measures", measures, "tempo", tempo)
	return p.button(says, func() { p.w.desk.TakeUp(it) })
}

func (p *plan) button(says string, do func()) fyne.CanvasObject {
	b := widget.NewButton(prose.OnButton(says, planWidth-fit.BesideBar), do)
	b.Alignment = widget.ButtonAlignLeading
	return b
}

// write asks where the piece goes with the fingering that was chosen.
func (p *plan) write() {
	p.w.side.Ask(takes.Kept{Title: words.Say("window.plan.write"), Name: p.w.desk.PieceName("") + ".musicxml", End: ".musicxml", Write: p.w.desk.WriteFingered})
}
