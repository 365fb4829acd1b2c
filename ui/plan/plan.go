// Package plan is the plan of a sitting beside the page: what to do, an item a button, ticked
// off as it is done. Read Plan first.
package plan

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/drill"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/fit"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// Plan stands beside the page: what to do in a sitting, an item a button. A press sets the
// desk for it.
type Plan struct {
	Box *fyne.Container

	desk    *desk.Desk
	keeper  *takes.Keeper
	Items   *fyne.Container
	scroll  *container.Scroll
	Minutes *prose.Drop
	of      *shelf.Shown // the take that it starts from
	aside   int          // how much of it was put aside

	told     string       // how far it was gone through, as it was listed
	fingered *score.Score // likewise
}

const Width = 470

// sittings are how long a sitting may be, minutes.
var sittings = []int{10, 20, 30}

// New sets it out; the keeper asks where something is written, and close takes it away.
func New(d *desk.Desk, keeper *takes.Keeper, close func()) *Plan {
	p := &Plan{desk: d, keeper: keeper, Items: container.NewVBox()}
	var minutes []string
	for _, n := range sittings {
		minutes = append(minutes, words.Many("window.plan.minutes", n).String())
	}
	p.Minutes = prose.NewDrop(minutes, nil)
	p.Minutes.SetSelectedIndex(1)
	p.Minutes.OnChanged = func(string) { p.List() }
	leave := prose.NewButton(words.Say("window.plan.close"), close)
	leave.Importance = widget.LowImportance
	head := fit.Row(prose.Heading(words.Say("window.plan.sitting")), fit.Across(p.Minutes, prose.Room(120, minutes...)), nil, leave)
	p.scroll = container.NewVScroll(fit.ClearOfBar(p.Items))
	p.Box = fit.Column(container.NewBorder(fit.ClearOfBar(head), nil, nil, nil, p.scroll), Width)
	return p
}

// Refresh plans anew when another take is shown, or something in it put aside, and tells how
// far it is.
func (p *Plan) Refresh() {
	if !p.Box.Visible() {
		return
	}
	if now := p.far(); p.of != p.desk.Shown || p.aside != takes.SetAside(p.desk) || p.fingered != p.desk.Score || p.told != now {
		p.List()
	}
}

// far is how far the plan was gone through, to see a change of it.
func (p *Plan) far() string {
	x := p.desk.Plan.Now
	if x == nil {
		return ""
	}
	return fmt.Sprint(x.Done, x.At, x.LeftInAll(p.desk.Now()))
}

// List sets the items out, where the reader was: there may be fewer than before.
func (p *Plan) List() {
	p.list()
	for range 2 { // lines know their height by their width
		p.scroll.Content.Resize(fyne.NewSize(p.scroll.Size().Width, p.scroll.Content.MinSize().Height))
	}
	p.scroll.Refresh()
}

// list sets out first what is to be done, last what that goes by.
func (p *Plan) list() {
	d := p.desk
	p.of, p.aside = d.Shown, takes.SetAside(d)
	p.Items.RemoveAll()
	sitting, err := d.Plan.For(sittings[p.Minutes.SelectedIndex()])
	p.told = p.far()
	if of := d.Drills.Of(); of != nil {
		p.Items.Add(p.button(words.Say("window.plan.back", "title", of.Title()), d.Drills.Back))
	}
	if err != nil {
		p.Items.Add(prose.Wrapped(words.Told(err)))
		return
	}
	for i := range sitting.Items {
		p.Items.Add(p.item(i))
	}
	if sitting.Begun() {
		p.Items.Add(prose.Bold(words.Many("window.plan.in-all", sitting.LeftInAll(d.Now())).String()))
		p.Items.Add(p.button(words.Say("window.plan.anew"), d.Plan.Anew))
	}
	if len(sitting.Changed) > 0 {
		p.Items.Add(prose.Heading(words.Say("window.plan.changed")))
	}
	for _, sentence := range sitting.Changed {
		p.Items.Add(prose.Wrapped(sentence))
	}
	if !d.Drills.Made() {
		p.drills()
	}
	p.school()
	if others := p.desk.OtherFingerings(); len(others) > 0 {
		p.Items.Add(prose.Heading(words.Say("window.plan.others")))
		for _, other := range others {
			p.Items.Add(prose.Wrapped(other.Said()))
			p.Items.Add(p.button(words.Say("window.plan.take", "other", other.Or), func() { p.desk.TakeFingering(other) }))
		}
	}
	if p.fingered = p.desk.Score; p.desk.Fingered() {
		p.Items.Add(p.button(words.Say("window.plan.own"), p.desk.OwnFingering))
		p.Items.Add(p.button(words.Say("window.plan.write"), p.write))
	}
	caution := prose.Wrapped(sitting.Caution)
	caution.TextStyle.Bold = true
	p.Items.Add(caution)
}

// item is one thing to do: a mark for done, what it is, how long it is still to last where it
// was taken up, and why.
func (p *Plan) item(i int) fyne.CanvasObject {
	d := p.desk
	x := d.Plan.Now
	says := x.Tell(i)
	if x.At == i {
		says = words.Say("desk.deed.start.planned", "what", says, "left", d.Plan.Left())
	}
	done := prose.NewTick("", nil)
	done.Checked = x.Done[i]
	done.OnChanged = func(yes bool) { d.Plan.Tick(i, yes) }
	b := prose.NewButton(prose.OnButton(says, Width-fit.BesideBar-tickWidth), func() { d.Plan.TakeUp(i) })
	b.Alignment = widget.ButtonAlignLeading
	if x.At == i {
		b.Importance = widget.SuccessImportance // see ink.Look
	}
	why := prose.Wrapped(x.Items[i].Why)
	if x.Done[i] {
		b.Importance, why.Importance = widget.LowImportance, widget.LowImportance
	}
	all := container.NewVBox(container.NewBorder(nil, nil, container.NewCenter(done), nil, b), why)
	if m := x.Items[i].Drill; m != "" {
		all.Add(p.button(words.Say("window.plan.drill", "measure", m), func() { d.Drills.Shift(m) }))
	}
	return all
}

// drills offers the scale of the piece, and its shifts on each string.
func (p *Plan) drills() {
	d := p.desk
	p.Items.Add(prose.Heading(words.Say("window.plan.drills")))
	for octaves := 1; octaves <= 2; octaves++ {
		p.Items.Add(p.button(drill.ScaleTitle(d.Score.Piece, octaves), func() { d.Drills.Scale(octaves) }))
	}
	measures := d.Drills.Shifts()
	if len(measures) == 0 {
		return
	}
	p.Items.Add(prose.Wrapped(words.Say("window.plan.drills.shifts")))
	var all []fyne.CanvasObject
	for _, m := range measures {
		all = append(all, prose.NewButton(m, func() { d.Drills.Shift(m) }))
	}
	p.Items.Add(fit.Row(all...))
}

const tickWidth = 48 // of the mark beside a button

func (p *Plan) button(says string, do func()) fyne.CanvasObject {
	b := prose.NewButton(prose.OnButton(says, Width-fit.BesideBar), do)
	b.Alignment = widget.ButtonAlignLeading
	return b
}

// write asks where the piece goes with the fingering that was chosen.
func (p *Plan) write() {
	p.keeper.Ask(takes.Kept{Title: words.Say("window.plan.write"), Name: p.desk.PieceName("") + ".musicxml", End: ".musicxml", Write: p.desk.WriteFingered})
}
