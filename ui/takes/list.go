package takes

import (
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk/shelf"
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
	l := &takeList{w: w, none: prose.Wrapped(words.Say("window.takes.none"))}
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
		of += t.Sound + t.Found + t.Name
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
	take   *shelf.Take
	when   *widget.Label
	what   *widget.Label
	remove *prose.Button
}

func newTakeRow(w *Side) *takeRow {
	r := &takeRow{w: w, when: widget.NewLabel(" "), what: widget.NewLabel(" ")}
	r.when.TextStyle.Bold = true
	r.when.Truncation, r.what.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
	r.remove = prose.NewButton(words.Say("window.takes.row.remove"), func() { r.w.removeTake(r.take) })
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer implements fyne.Widget.
func (r *takeRow) CreateRenderer() fyne.WidgetRenderer {
	lines := fit.Close(container.NewBorder(nil, nil, nil, r.remove, r.when), r.what)
	return widget.NewSimpleRenderer(lines)
}

func (r *takeRow) show(t *shelf.Take) {
	r.take = t
	when := t.Called()
	if !t.Elsewhere() && t.Name == "" {
		when = t.When().String()
	}
	if s := r.w.desk.Shown; s != nil && s.Take == t {
		when = words.Say("window.takes.row.shown", "take", when)
	}
	r.when.SetText(when)
	r.what.SetText(strings.Join(about(t), "  ·  "))
}

// removeTake asks before a take goes for good.
func (s *Side) removeTake(t *shelf.Take) {
	title, text := words.Of("window.takes.remove", "when", t.When()), words.Of("window.takes.remove.what")
	if t.Elsewhere() {
		title, text = words.Of("window.takes.remove.file", "file", filepath.Base(t.Sound)), words.Of("window.takes.remove.file.what")
	}
	c := dialog.NewConfirm(title.String(), text.String(), func(yes bool) {
		if yes {
			s.desk.Remove(t)
		}
		s.win.Canvas().Unfocus()
	}, s.win)
	c.SetConfirmText(words.Say("window.takes.remove.yes"))
	c.SetDismissText(words.Say("window.takes.leave"))
	c.Show()
}
