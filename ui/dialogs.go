package ui

import (
	"fmt"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/finding"
	"endpin/ui/desk"
)

// caution is shown once, on the first day.
func (w *Window) caution() {
	text := widget.NewLabel("Rest when it hurts, and mind the volume in headphones.\nWhere the desk and your teacher differ, your teacher's ear decides.")
	c := dialog.NewCustom("Before you begin", "I have read it", text, w.win)
	c.SetOnClosed(func() { w.desk.Change(func(s *desk.Settings) { s.CautionSeen = true }) })
	c.Show()
}

// settings is the page of settings.
func (w *Window) settings() {
	d := w.desk
	s := d.Settings
	a4 := widget.NewEntry()
	a4.SetText(fmt.Sprintf("%g", s.A4))
	a4.OnChanged = func(text string) {
		if hz, err := strconv.ParseFloat(text, 64); err == nil && hz >= finding.LowestA4 && hz <= finding.HighestA4 {
			d.Change(func(s *desk.Settings) { s.A4 = hz })
		}
	}
	choice := func(all []string, now string, set func(*desk.Settings, string)) *widget.Select {
		c := widget.NewSelect(all, nil)
		c.SetSelected(now)
		c.OnChanged = func(v string) { d.Change(func(s *desk.Settings) { set(s, v) }) }
		return c
	}
	form := widget.NewForm(
		widget.NewFormItem("Reference A, Hz", a4),
		widget.NewFormItem("Level", choice([]string{"first-year", "intermediate", "advanced"}, s.Level, func(s *desk.Settings, v string) { s.Level = v })),
		widget.NewFormItem("Intonation", choice([]string{"equal", "just", "pythagorean"}, s.Intonation, func(s *desk.Settings, v string) { s.Intonation = v })),
		widget.NewFormItem("Count-in, measures", choice([]string{"0", "1", "2"}, strconv.Itoa(s.CountIn), func(s *desk.Settings, v string) { s.CountIn, _ = strconv.Atoi(v) })),
	)
	ins, outs := d.Devices()
	system := "the system's own choice"
	devices := func(all []string, now string, set func(*desk.Settings, string)) *widget.Select {
		if now == "" {
			now = system
		}
		return choice(append([]string{system}, all...), now, func(s *desk.Settings, v string) {
			if v == system {
				v = ""
			}
			set(s, v)
		})
	}
	form.Append("Microphone", devices(ins, s.Microphone, func(s *desk.Settings, v string) { s.Microphone = v }))
	form.Append("Loudspeaker", devices(outs, s.Loudspeaker, func(s *desk.Settings, v string) { s.Loudspeaker = v }))
	size := widget.NewButton("Page size", w.size)
	dark := widget.NewButton("Day or night", w.dark)
	box := container.NewVBox(form, container.NewHBox(size, dark))
	c := dialog.NewCustom("Settings", "Close", box, w.win)
	c.Resize(fyne.NewSize(720, 520))
	c.Show()
}
