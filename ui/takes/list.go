package takes

import (
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// takeList is the list of takes. Only the rows in sight are there.
type takeList struct {
	w    *Side
	box  *fyne.Container
	rows *widget.List
	none *widget.Label
	of   string
}

func newTakeList(w *Side) *takeList {
	l := &takeList{w: w, none: prose.Wrapped("None yet. A take is kept each time you play, and each recording that you open stands here too.")}
	l.rows = widget.NewList(func() int { return len(w.desk.Takes) }, func() fyne.CanvasObject { return newTakeRow(w) },
		func(i widget.ListItemID, o fyne.CanvasObject) {
			if i < len(w.desk.Takes) {
				o.(*takeRow).show(w.desk.Takes[i])
			}
		})
	l.rows.OnSelected = func(i widget.ListItemID) {
		l.rows.UnselectAll()
		w.win.Canvas().Unfocus()
		if i < len(w.desk.Takes) {
			w.desk.Again(w.desk.Takes[i])
		}
	}
	l.box = container.NewStack(container.NewVBox(l.none), l.rows)
	return l
}

func (l *takeList) refresh() {
	d := l.w.desk
	of := fmt.Sprint(len(d.Takes), d.Settings.Dark)
	for _, t := range d.Takes {
		of += t.Sound + t.Found
	}
	if d.Shown != nil {
		of += " " + d.Shown.Take.Sound
	}
	if of == l.of {
		return
	}
	l.of = of
	fit.Hide(l.none, len(d.Takes) > 0)
	fit.Hide(l.rows, len(d.Takes) == 0)
	l.rows.Refresh()
}

// takeRow is one take in the list.
type takeRow struct {
	widget.BaseWidget
	w      *Side
	take   *desk.Take
	when   *widget.Label
	what   *widget.Label
	remove *widget.Button
}

func newTakeRow(w *Side) *takeRow {
	r := &takeRow{w: w, when: widget.NewLabel(" "), what: widget.NewLabel(" ")}
	r.when.TextStyle.Bold = true
	r.when.Truncation, r.what.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
	r.remove = widget.NewButton("Remove", func() { r.w.removeTake(r.take) })
	r.remove.Importance = widget.LowImportance
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer implements fyne.Widget.
func (r *takeRow) CreateRenderer() fyne.WidgetRenderer {
	lines := fit.Close(container.NewBorder(nil, nil, nil, r.remove, r.when), r.what)
	return widget.NewSimpleRenderer(lines)
}

func (r *takeRow) show(t *desk.Take) {
	r.take = t
	when := strings.TrimPrefix(Name(t), "Take of ")
	if s := r.w.desk.Shown; s != nil && s.Take == t {
		when = "▸ " + when
	}
	r.when.SetText(when)
	r.what.SetText(strings.Join(about(t), "  ·  "))
}

// removeTake asks before a take goes for good.
func (s *Side) removeTake(t *desk.Take) {
	name := strings.Replace(Name(t), "Take", "the take", 1)
	text := "Its sound and what was found in it will be gone."
	if t.Elsewhere() {
		name = filepath.Base(t.Sound) // whatever it is called
		text = "It leaves this list, with what was put aside in it.\nThe recording itself stays where it is."
	}
	c := dialog.NewConfirm("Remove "+name+"?", text, func(yes bool) {
		if yes {
			s.desk.Remove(t)
		}
		s.win.Canvas().Unfocus()
	}, s.win)
	c.SetConfirmText("Remove it")
	c.SetDismissText("Leave it")
	c.Show()
}
