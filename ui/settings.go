package ui

import (
	"fmt"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/finding"
	"endpin/ui/desk"
)

// settingsScreen is all that the desk remembers from day to day, in two columns:
// the sound of this computer, and how one works with the desk. What is chosen
// holds at once.
type settingsScreen struct {
	w       *Window
	all     *fyne.Container
	columns *fyne.Container
	level   *level
	trouble *widget.Label // with the level
	delay   *widget.Label
	measure *widget.Button
	shown   desk.Settings
}

const (
	settingLabel = 190
	settingWidth = 330
)

func newSettings(w *Window) *settingsScreen {
	s := &settingsScreen{w: w, level: newLevel(), trouble: wrapped(""), delay: wrapped("")}
	s.measure = widget.NewButton("Measure the delay", s.measureOrStop)
	s.columns = container.NewGridWithColumns(2)
	s.all = container.NewStack(container.NewVScroll(container.NewPadded(s.columns)))
	return s
}

func (s *settingsScreen) name() string           { return "Settings" }
func (s *settingsScreen) box() fyne.CanvasObject { return s.all }

func (s *settingsScreen) enter() {
	s.build()
	s.w.desk.Try()
}

func (s *settingsScreen) leave() {
	s.w.desk.EndMeasuring()
	s.w.desk.EndTrying()
}

func (s *settingsScreen) key(fyne.KeyName) bool { return false }

// again looks for what is plugged in now.
func (s *settingsScreen) again() {
	s.w.desk.EndTrying() // a list made anew would end what is open
	s.enter()
}

func (s *settingsScreen) measureOrStop() {
	if s.w.desk.Measuring() {
		s.w.desk.EndMeasuring()
		return
	}
	s.w.desk.MeasureDelay()
}

func (s *settingsScreen) refresh() {
	d := s.w.desk
	s.level.show(d.Loud, Look{d.Settings.Dark})
	said := d.Loud.Say
	if said == "" {
		said = "Play your loudest note: the bar should come past its middle and stay short of its end."
	}
	tell(s.trouble, said)
	tell(s.delay, d.DelaySaid())
	text := "Measure the delay"
	if d.Measuring() {
		text = "Stop measuring"
	}
	if s.measure.Text != text {
		s.measure.SetText(text)
	}
}

func tell(l *widget.Label, text string) {
	if l.Text != text {
		l.SetText(text)
	}
}

// build sets all rows out with what is chosen now.
func (s *settingsScreen) build() {
	d := s.w.desk
	now := d.Settings
	pick := func(all []string, now string, set func(*desk.Settings, string)) fyne.CanvasObject {
		c := widget.NewSelect(all, nil)
		c.SetSelected(now)
		c.OnChanged = func(v string) { d.Change(func(s *desk.Settings) { set(s, v) }) }
		return c
	}
	number := func(n float64, least, most float64, set func(*desk.Settings, float64)) fyne.CanvasObject {
		e := widget.NewEntry()
		e.SetText(fmt.Sprintf("%g", n))
		e.OnChanged = func(text string) {
			if v, err := strconv.ParseFloat(text, 64); err == nil && v >= least && v <= most {
				d.Change(func(s *desk.Settings) { set(s, v) })
			}
		}
		e.Validator = func(text string) error {
			if v, err := strconv.ParseFloat(text, 64); err != nil || !(v >= least && v <= most) {
				return fmt.Errorf("write a number from %g to %g", least, most)
			}
			return nil
		}
		return wide(e, 110)
	}
	either := func(no, yes string, on bool, set func(*desk.Settings, bool)) fyne.CanvasObject {
		is := no
		if on {
			is = yes
		}
		return pick([]string{no, yes}, is, func(s *desk.Settings, v string) { set(s, v == yes) })
	}

	sound := container.NewVBox(
		heading("Microphone and loudspeaker"),
		s.microphones(),
		row("Level", container.NewHBox(s.level.box)),
		container.New(&tall{72}, s.trouble), // so that nothing below moves with what it says
		s.loudspeakers(),
		row("I listen through", either("a loudspeaker", "headphones", now.Headphones, func(s *desk.Settings, on bool) { s.Headphones = on })),
		row("", widget.NewButton("Look again for devices", s.again)),
		heading("Delay"),
		row("", s.measure),
		s.delay,
		heading("Page"),
		row("", container.NewGridWithColumns(2, widget.NewButton("Size", s.w.size), widget.NewButton("Day or night", s.w.dark))),
	)
	var pitches []string
	pitch := ""
	for _, x := range desk.Drones {
		pitches = append(pitches, x.About)
		if x.Name == now.Drone {
			pitch = x.About
		}
	}
	ups := []string{"as it is", "one octave up", "two octaves up"}
	level := widget.NewSelect([]string{"first-year", "intermediate", "advanced"}, nil)
	level.SetSelected(now.Level)
	level.OnChanged = func(v string) {
		d.Change(func(s *desk.Settings) { s.Level, s.LongestBow = v, 0 })
		s.build() // the bow goes by the level
	}
	work := container.NewVBox(
		heading("Count-in and drone"),
		row("Count-in", pick([]string{"none", "1 measure", "2 measures"}, []string{"none", "1 measure", "2 measures"}[now.CountIn],
			func(s *desk.Settings, v string) { s.CountIn = at([]string{"none", "1 measure", "2 measures"}, v) })),
		row("It is", either("clicks", "spoken numbers", now.Spoken, func(s *desk.Settings, on bool) { s.Spoken = on })),
		row("Drone", pick(pitches, pitch, func(s *desk.Settings, v string) { s.Drone = desk.Drones[at(pitches, v)].Name })),
		row("It sounds", pick(ups, ups[now.DroneUp], func(s *desk.Settings, v string) { s.DroneUp = at(ups, v) })),
		heading("Listening"),
		row("Reference A, Hz", number(now.A4, finding.LowestA4, finding.HighestA4, func(s *desk.Settings, v float64) { s.A4 = v })),
		row("How much is let pass", level),
		row("Intonation", pick([]string{"equal", "just", "pythagorean"}, now.Intonation, func(s *desk.Settings, v string) { s.Intonation = v })),
		row("Silence that ends, s", number(now.Silence, 1, 60, func(s *desk.Settings, v float64) { s.Silence = v })),
		heading("Bring up"),
		row("Clean, to go on", number(float64(now.CleanTimes), 1, desk.MostCleanTimes, func(s *desk.Settings, v float64) { s.CleanTimes = int(v) })),
		row("A step of ♩ =", number(now.Step, 1, desk.MostStep, func(s *desk.Settings, v float64) { s.Step = v })),
		row("Longest bow, s", number(now.Bow().Longest, desk.ShortestBow, desk.MostBow, func(s *desk.Settings, v float64) { s.LongestBow = v })),
	)
	s.columns.Objects = []fyne.CanvasObject{container.NewPadded(sound), container.NewPadded(work)}
	s.columns.Refresh()
}

// tall gives one object a height of its own, and the width there is.
type tall struct{ height float32 }

func (t *tall) MinSize(all []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(all[0].MinSize().Width, t.height)
}
func (t *tall) Layout(all []fyne.CanvasObject, size fyne.Size) { all[0].Resize(size) }

// at is the place of a word in a list.
func at(all []string, word string) int {
	for i, x := range all {
		if x == word {
			return i
		}
	}
	return 0
}

// system stands for no device of one's own choice.
const system = "the system's own choice"

func (s *settingsScreen) microphones() fyne.CanvasObject {
	ins, _ := s.w.desk.Devices()
	return row("Microphone", s.device(ins, s.w.desk.Settings.Microphone, func(x *desk.Settings, v string) { x.Microphone = v }))
}

func (s *settingsScreen) loudspeakers() fyne.CanvasObject {
	_, outs := s.w.desk.Devices()
	return row("Loudspeaker", s.device(outs, s.w.desk.Settings.Loudspeaker, func(x *desk.Settings, v string) { x.Loudspeaker = v }))
}

func (s *settingsScreen) device(all []string, now string, set func(*desk.Settings, string)) fyne.CanvasObject {
	const away = "  (not plugged in)"
	shown := now
	if now == "" {
		shown = system
	} else if at(append([]string{""}, all...), now) == 0 {
		shown = now + away
		all = append(all, shown)
	}
	c := widget.NewSelect(append([]string{system}, all...), nil)
	c.SetSelected(shown)
	c.OnChanged = func(v string) {
		if v == now+away {
			return
		}
		if v == system {
			v = ""
		}
		s.w.desk.Change(func(x *desk.Settings) { set(x, v) })
		s.w.desk.Try()
	}
	return c
}

// row is one setting: what it is, and what is chosen.
func row(what string, o fyne.CanvasObject) fyne.CanvasObject {
	l := widget.NewLabel(what)
	l.Truncation = fyne.TextTruncateEllipsis
	return container.NewHBox(container.New(&across{settingLabel}, l), container.New(&across{settingWidth}, o))
}
