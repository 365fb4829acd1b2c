package takes

import (
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/said"
	"endpin/ui/prose"
)

// keepReport asks where the page to print goes.
func (s *Side) keepReport() {
	s.Ask(Kept{Title: words.Say("window.takes.report"), Name: s.desk.ExportName(".html"), End: ".html", Write: s.desk.WriteReport})
}

// keepSound asks where a copy of the take goes.
func (s *Side) keepSound() {
	s.Ask(Kept{Title: words.Say("window.takes.sound"), Name: s.desk.ExportName(".wav"), End: ".wav", Write: s.desk.WriteSound})
}

// Keeper asks where something is to be kept, and remembers the folder.
type Keeper struct {
	desk *desk.Desk
	win  fyne.Window
	to   string // the folder that something was kept in last
}

// Kept is something to be kept.
type Kept struct {
	Title, Name, End string             // the dialogue's, the name proposed, and how a name ends
	In               string             // the folder proposed; "" for the one that something was kept in last
	More             []*widget.FormItem // what else is asked, before name and folder
	Ready            func() error       // why it cannot be written yet; nil for nothing that stands in the way
	Write            func(path string)
}

// Ask asks for a name and a folder. Nothing is written, and nothing that stands there
// lost, before that is known and agreed to. What is given back agrees, as Save does.
func (k *Keeper) Ask(what Kept) (agree func()) {
	if what.In != "" {
		k.to = what.In
	}
	if k.to == "" {
		k.to = documents()
	}
	var c *dialog.ConfirmDialog
	var keep func()
	agree = func() { c.Hide(); keep(); k.win.Canvas().Unfocus() }
	entry := prose.NewEntry(func(string) bool { agree(); return false })
	entry.SetText(what.Name)
	folder := widget.NewLabel(k.to)
	folder.Truncation = fyne.TextTruncateEllipsis
	other := prose.NewButton(words.Say("window.takes.keep.other"), func() {
		c := dialog.NewFolderOpen(func(u fyne.ListableURI, err error) {
			if err == nil && u != nil {
				k.to = u.Path()
				folder.SetText(k.to)
			}
		}, k.win)
		c.SetTitleText(words.Say("window.takes.keep.other.title"))
		if place, err := storage.ListerForURI(storage.NewFileURI(k.to)); err == nil {
			c.SetLocation(place)
		}
		c.Resize(fyne.NewSize(960, 640))
		c.Show()
	})
	form := widget.NewForm(append(what.More, widget.NewFormItem(words.Say("window.takes.keep.name"), entry), widget.NewFormItem(words.Say("window.takes.keep.folder"), container.NewBorder(nil, nil, nil, other, folder)))...)
	keep = func() {
		if what.Ready != nil {
			if err := what.Ready(); err != nil {
				k.desk.Fault(said.Typed(words.Told(err)))
				c.Show() // with what was typed
				return
			}
		}
		name := strings.TrimSpace(entry.Text)
		if name == "" || name != filepath.Base(name) {
			k.desk.Fault(words.Say("window.takes.keep.no-name", "typed", words.Quoted(entry.Text)))
			return
		}
		if !strings.EqualFold(filepath.Ext(name), what.End) {
			name += what.End
		}
		path := filepath.Join(k.to, name)
		if _, err := os.Lstat(path); err != nil {
			what.Write(path)
			return
		}
		over := dialog.NewConfirm(words.Say("window.takes.over"), words.Say("window.takes.over.ask", "name", name), func(yes bool) {
			if yes {
				what.Write(path)
			}
		}, k.win)
		over.SetConfirmText(words.Say("window.takes.over.yes"))
		over.SetDismissText(words.Say("window.takes.leave"))
		over.Show()
	}
	c = dialog.NewCustomConfirm(what.Title, words.Say("window.takes.keep"), words.Say("window.takes.leave"), form, func(yes bool) {
		if yes {
			keep()
		}
		k.win.Canvas().Unfocus()
	}, k.win)
	c.Resize(fyne.NewSize(760, 260))
	c.Show()
	if len(what.More) == 0 {
		k.win.Canvas().Focus(entry)
	}
	return agree
}

// documents is where people keep what they want to find again.
func documents() string {
	home, err := os.UserHomeDir()
	if err != nil {
		return "."
	}
	if d := filepath.Join(home, "Documents"); isFolder(d) {
		return d
	}
	return home
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}
