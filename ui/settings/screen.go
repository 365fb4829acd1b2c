// Package settings is the screen of all that the desk remembers from day to day.
package settings

import (
	"fmt"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/finding"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/level"
	"endpin/ui/prose"
)

// Screen is all that the desk remembers from day to day, in two columns:
// the sound of this computer, and how one works with the desk. What is chosen
// holds at once.
type Screen struct {
	desk    *desk.Desk
	size    func() // of the page
	dark    func() // day or night
	all     *fyne.Container
	columns *fyne.Container
	level   *level.Bar
	trouble *widget.Label // with the level
	delay   *widget.Label
	measure *widget.Button
}

const (
	settingLabel = 190
	settingWidth = 330
)

// New sets the screen out; size and dark go on to the next of theirs.
func New(d *desk.Desk, size, dark func()) *Screen {
	s := &Screen{desk: d, size: size, dark: dark, level: level.New(), trouble: prose.Wrapped(""), delay: prose.Wrapped("")}
	s.measure = widget.NewButton("Measure the delay", s.measureOrStop)
	s.columns = container.NewGridWithColumns(2)
	s.all = container.NewStack(container.NewVScroll(container.NewPadded(s.columns)))
	return s
}

func (s *Screen) Name() string           { return "Settings" }
func (s *Screen) Box() fyne.CanvasObject { return s.all }

func (s *Screen) Enter() {
	s.build()
	s.desk.TryMicrophone()
}

func (s *Screen) Leave() {
	s.desk.EndMeasuring()
	s.desk.EndMicrophoneTrial()
}

func (s *Screen) Key(fyne.KeyName) bool { return false }

// again looks for what is plugged in now.
func (s *Screen) again() {
	s.desk.EndMicrophoneTrial() // a list made anew would end what is open
	s.Enter()
}

func (s *Screen) measureOrStop() {
	if s.desk.Measuring() {
		s.desk.EndMeasuring()
		return
	}
	s.desk.MeasureDelay()
}

func (s *Screen) Refresh() {
	d := s.desk
	s.level.Show(d.Loud, ink.Look{Dark: d.Settings.Dark})
	said := d.Loud.Say
	if said == "" {
		said = "Play your loudest note: the bar should come past its middle and stay short of its end."
	}
	prose.Tell(s.trouble, said)
	prose.Tell(s.delay, d.DelaySaid())
	text := "Measure the delay"
	if d.Measuring() {
		text = "Stop measuring"
	}
	if s.measure.Text != text {
		s.measure.SetText(text)
	}
}

// build sets all rows out with what is chosen now.
func (s *Screen) build() {
	d := s.desk
	now := d.Settings
	pick := func(all []string, now string, set func(*desk.Settings, string)) fyne.CanvasObject {
		c := widget.NewSelect(all, nil)
		c.SetSelected(now)
		c.OnChanged = func(v string) { d.Change(func(s *desk.Settings) { set(s, v) }) }
		return c
	}
	number := func(n float64, least, most float64, set func(*desk.Settings, float64)) fyne.CanvasObject {
		e := prose.NewEntry(func(string) bool { return true })
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
		return fit.Wide(e, 110)
	}
	either := func(no, yes string, on bool, set func(*desk.Settings, bool)) fyne.CanvasObject {
		is := no
		if on {
			is = yes
		}
		return pick([]string{no, yes}, is, func(s *desk.Settings, v string) { set(s, v == yes) })
	}

	sound := container.NewVBox(
		prose.Heading("Microphone and loudspeaker"),
		s.microphones(),
		row("Level", container.NewHBox(s.level.Box)),
		fit.Tall(s.trouble, 72), // so that nothing below moves with what it says
		s.loudspeakers(),
		row("I listen through", either("a loudspeaker", "headphones", now.Headphones, func(s *desk.Settings, on bool) { s.Headphones = on })),
		row("", widget.NewButton("Look again for devices", s.again)),
		prose.Heading("Delay"),
		row("", s.measure),
		fit.Tall(s.delay, 72),
		prose.Heading("Page"),
		row("", container.NewGridWithColumns(2, widget.NewButton("Size", s.size), widget.NewButton("Day or night", s.dark))),
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
		prose.Heading("Count-in and drone"),
		row("Count-in", pick([]string{"none", "1 measure", "2 measures"}, []string{"none", "1 measure", "2 measures"}[now.CountIn],
			func(s *desk.Settings, v string) { s.CountIn = at([]string{"none", "1 measure", "2 measures"}, v) })),
		row("Counted by", either("clicks", "spoken numbers", now.Spoken, func(s *desk.Settings, on bool) { s.Spoken = on })),
		row("Drone", pick(pitches, pitch, func(s *desk.Settings, v string) { s.Drone = desk.Drones[at(pitches, v)].Name })),
		row("The drone sounds", pick(ups, ups[now.DroneUp], func(s *desk.Settings, v string) { s.DroneUp = at(ups, v) })),
		prose.Heading("Listening"),
		row("Reference A, Hz", number(now.A4, finding.LowestA4, finding.HighestA4, func(s *desk.Settings, v float64) { s.A4 = v })),
		row("How much is let pass", level),
		row("Intonation", pick([]string{"equal", "just", "pythagorean"}, now.Intonation, func(s *desk.Settings, v string) { s.Intonation = v })),
		row("Ends after silence, s", number(now.Silence, 1, 60, func(s *desk.Settings, v float64) { s.Silence = v })),
		prose.Heading("Bring up"),
		row("Clean times to go on", number(float64(now.CleanTimes), 1, desk.MostCleanTimes, func(s *desk.Settings, v float64) { s.CleanTimes = int(v) })),
		row("A step of ♩ =", number(now.Step, 1, desk.MostStep, func(s *desk.Settings, v float64) { s.Step = v })),
		row("Longest bow, s", number(now.Bow().Longest, desk.ShortestBow, desk.MostBow, func(s *desk.Settings, v float64) { s.LongestBow = v })),
	)
	s.columns.Objects = []fyne.CanvasObject{container.NewPadded(sound), container.NewPadded(work)}
	s.columns.Refresh()
}

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

func (s *Screen) microphones() fyne.CanvasObject {
	ins, _ := s.desk.Devices()
	return row("Microphone", s.device(ins, s.desk.Settings.Microphone, func(x *desk.Settings, v string) { x.Microphone = v }))
}

func (s *Screen) loudspeakers() fyne.CanvasObject {
	_, outs := s.desk.Devices()
	return row("Loudspeaker", s.device(outs, s.desk.Settings.Loudspeaker, func(x *desk.Settings, v string) { x.Loudspeaker = v }))
}

func (s *Screen) device(all []string, now string, set func(*desk.Settings, string)) fyne.CanvasObject {
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
		s.desk.Change(func(x *desk.Settings) { set(x, v) })
		s.desk.TryMicrophone()
	}
	return c
}

// row is one setting: what it is, and what is chosen.
func row(what string, o fyne.CanvasObject) fyne.CanvasObject {
	l := widget.NewLabel(what)
	l.Truncation = fyne.TextTruncateEllipsis
	return container.NewHBox(fit.Across(l, settingLabel), fit.Across(o, settingWidth))
}
