// Package settings is the screen of all that the desk remembers from day to day.
package settings

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/room"
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
	all     *fyne.Container
	columns *fyne.Container
	level   *level.Bar
	trouble *widget.Label // with the level
	delay   *widget.Label
	measure *prose.Button
	sizes   []*prose.Button
	looks   []*prose.Button
	stale   bool // a row must be set out anew
}

const (
	settingLabel = 190
	settingWidth = 330
	settingLeast = 240
)

// New sets the screen out; size and dark choose those of the window.
func New(d *desk.Desk, size func(int), dark func(bool)) *Screen {
	s := &Screen{desk: d, level: level.New(), trouble: prose.Wrapped(""), delay: prose.Wrapped("")}
	s.measure = prose.NewButton(words.Say("window.settings.measure"), s.measureOrStop)
	for i, key := range []string{"small", "middle", "large"} {
		s.sizes = append(s.sizes, prose.NewButton(words.Say("window.settings.size."+key), func() { size(i) }))
	}
	for i, key := range []string{"day", "night"} {
		s.looks = append(s.looks, prose.NewButton(words.Say("window.settings.night."+key), func() { dark(i == 1) }))
	}
	s.columns = fit.Abreast()
	s.all = container.NewStack(container.NewVScroll(container.NewPadded(s.columns)))
	return s
}

func (s *Screen) Name() string           { return words.Say("window.screen.settings") }
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
	if s.stale {
		s.stale = false
		s.build()
	}
	s.level.Show(d.Loud, ink.Look{Dark: d.Settings.Dark})
	for i, b := range s.sizes {
		prose.Mark(b, i == d.Settings.Size)
	}
	for i, b := range s.looks {
		prose.Mark(b, d.Settings.Dark == (i == 1))
	}
	said := d.Loud.Say
	if said == "" {
		said = words.Say("window.settings.play-loudest")
	}
	prose.Tell(s.trouble, said)
	prose.Tell(s.delay, d.DelaySaid())
	text := words.Say("window.settings.measure")
	if d.Measuring() {
		text = words.Say("window.settings.measure.stop")
	}
	if s.measure.Text != text {
		s.measure.SetText(text)
	}
}

// build sets all rows out with what is chosen now.
func (s *Screen) build() {
	s.columns.Objects = []fyne.CanvasObject{container.NewPadded(s.ofTheComputer()), container.NewPadded(s.ofTheWork())}
	s.columns.Refresh()
}

// ofTheComputer are the rows about its sound, the page and what is pressed.
func (s *Screen) ofTheComputer() fyne.CanvasObject {
	now := s.desk.Settings
	return container.NewVBox(
		prose.Heading(words.Say("window.settings.sound")),
		s.microphones(),
		row(words.Say("window.settings.level"), container.NewHBox(s.level.Box)),
		fit.Tall(s.trouble, 72), // so that nothing below moves with what it says
		s.loudspeakers(),
		s.either("listen", "loudspeaker", "headphones", now.Headphones, func(s *remembered.Settings, on bool) { s.Headphones = on }),
		row("", prose.NewButton(words.Say("window.settings.again"), s.again)),
		prose.Heading(words.Say("window.settings.delay")),
		row("", s.measure),
		fit.Tall(s.delay, 72),
		prose.Heading(words.Say("window.settings.page")),
		row(words.Say("window.settings.size"), buttonsOf(s.sizes)),
		row(words.Say("window.settings.night"), buttonsOf(s.looks)),
		s.language(),
		prose.Heading(words.Say("window.settings.pedals")),
		s.pick("pedals.send", said("window.settings.pedals.", "page", "across", "upright"), slices.Index(remembered.AllPedals, now.Pedals), func(s *remembered.Settings, i int) { s.Pedals = remembered.AllPedals[i] }),
	)
}

// ofTheWork are the rows about how one works, and how strict the listening is.
func (s *Screen) ofTheWork() fyne.CanvasObject {
	now := s.desk.Settings
	var pitches []string
	for _, x := range room.Drones {
		pitches = append(pitches, x.About())
	}
	pitch := slices.IndexFunc(room.Drones, func(x room.Drone) bool { return x.Name == now.Drone })
	return container.NewVBox(
		prose.Heading(words.Say("window.settings.sounding")),
		s.pick("count-in", said("window.settings.count-in.", "0", "1", "2"), now.CountIn, func(s *remembered.Settings, n int) { s.CountIn = n }),
		s.either("counted-by", "clicks", "numbers", now.Spoken, func(s *remembered.Settings, on bool) { s.Spoken = on }),
		s.pick("drone", pitches, pitch, func(s *remembered.Settings, i int) { s.Drone = room.Drones[i].Name }),
		s.pick("drone-up", said("window.settings.drone-up.", "0", "1", "2"), now.DroneUp, func(s *remembered.Settings, up int) { s.DroneUp = up }),
		prose.Heading(words.Say("window.settings.listening")),
		s.number("a4", now.A4, finding.LowestA4, finding.HighestA4, func(s *remembered.Settings, v float64) { s.A4 = v }),
		s.pick("pass", said("window.level.", levels...), slices.Index(levels, now.Level), func(x *remembered.Settings, i int) {
			if x.Level != levels[i] {
				x.Level, x.LongestBow = levels[i], 0
				s.stale = true // the bow goes by the level
			}
		}),
		s.pick("intonation", said("window.settings.intonation.", intonations...), slices.Index(intonations, now.Intonation), func(s *remembered.Settings, i int) { s.Intonation = intonations[i] }),
		s.number("silence", now.Silence, 1, 60, func(s *remembered.Settings, v float64) { s.Silence = v }),
		prose.Heading(words.Say("window.settings.bring-up")),
		s.number("clean", float64(now.CleanTimes), 1, remembered.MostCleanTimes, func(s *remembered.Settings, v float64) { s.CleanTimes = int(v) }),
		s.number("step", now.Step, 1, remembered.MostStep, func(s *remembered.Settings, v float64) { s.Step = v }),
		s.number("bow", now.Bow().Longest, remembered.ShortestBow, remembered.MostBow, func(s *remembered.Settings, v float64) { s.LongestBow = v }),
	)
}

// pick is a row in which one of several is chosen.
func (s *Screen) pick(key string, all []string, now int, set func(*remembered.Settings, int)) fyne.CanvasObject {
	c := prose.NewDrop(all, nil)
	c.SetSelectedIndex(now)
	c.OnChanged = func(string) { s.desk.Change(func(x *remembered.Settings) { set(x, c.SelectedIndex()) }) }
	return row(words.Say("window.settings."+key), c)
}

// language is the row in which the language is chosen. The window has said much already:
// another is spoken from the next start on, and says so itself.
func (s *Screen) language() fyne.CanvasObject {
	tags, shown := append([]string{""}, words.Languages()...), []string{words.Say("window.settings.language.system")}
	for _, tag := range tags[1:] {
		w, _ := words.Best(tag)
		shown = append(shown, w.Say("window.settings.language.name"))
	}
	return s.pick("language", shown, max(0, slices.Index(tags, s.desk.Settings.Language)), func(x *remembered.Settings, i int) {
		x.Language = tags[i]
		next, _ := words.Best(tags[i], lang.SystemLocale().String())
		s.desk.Say(next.Say("window.settings.language.next"))
	})
}

// either is a row in which one of two is.
func (s *Screen) either(key, no, yes string, on bool, set func(*remembered.Settings, bool)) fyne.CanvasObject {
	is := 0
	if on {
		is = 1
	}
	return s.pick(key, said("window.settings."+key+".", no, yes), is, func(x *remembered.Settings, i int) { set(x, i == 1) })
}

// number is a row in which a number is written. What was typed holds once the keys go
// elsewhere; what cannot hold is said, with its bounds, and what held before stands there
// again.
func (s *Screen) number(key string, now, least, most float64, set func(*remembered.Settings, float64)) fyne.CanvasObject {
	take := func(text string) bool {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil || !(v >= least && v <= most) {
			s.desk.Fault(words.Say("window.settings."+key+".refused", "typed", words.Quoted(text), "least", least, "most", most))
			return false
		}
		now = v
		s.desk.Say("")
		s.desk.Change(func(x *remembered.Settings) { set(x, v) })
		return true
	}
	e := prose.NewEntry(take)
	e.SetText(fmt.Sprintf("%g", now))
	e.Left = func() {
		if held := fmt.Sprintf("%g", now); e.Text != held && !take(e.Text) {
			e.SetText(held)
		}
	}
	return row(words.Say("window.settings."+key), fit.Wide(e, 110))
}

func buttonsOf(all []*prose.Button) fyne.CanvasObject {
	row := container.NewHBox()
	for _, b := range all {
		row.Add(b)
	}
	return row
}

// What may be chosen by name, as it is kept.
var (
	levels      = []string{finding.FirstYear.Name, finding.Intermediate.Name, finding.Advanced.Name}
	intonations = []string{finding.Equal.Name, finding.Just.Name, finding.Pythagorean.Name}
)

// said are the words for what may be chosen, which stand under one key.
func said(key string, names ...string) []string {
	var all []string
	for _, n := range names {
		all = append(all, words.Say(key+n))
	}
	return all
}

func (s *Screen) microphones() fyne.CanvasObject {
	ins, _ := s.desk.Devices()
	return row(words.Say("window.settings.microphone"), s.device(ins, s.desk.Settings.Microphone, func(x *remembered.Settings, v string) { x.Microphone = v }))
}

func (s *Screen) loudspeakers() fyne.CanvasObject {
	_, outs := s.desk.Devices()
	return row(words.Say("window.settings.loudspeaker"), s.device(outs, s.desk.Settings.Loudspeaker, func(x *remembered.Settings, v string) { x.Loudspeaker = v }))
}

func (s *Screen) device(all []string, now string, set func(*remembered.Settings, string)) fyne.CanvasObject {
	names := append([]string{""}, all...)
	shown := append([]string{words.Say("window.settings.system")}, all...)
	if !slices.Contains(names, now) {
		names, shown = append(names, now), append(shown, words.Say("window.settings.away", "device", now))
	}
	c := prose.NewDrop(shown, nil)
	c.SetSelectedIndex(slices.Index(names, now))
	c.OnChanged = func(string) {
		if v := names[c.SelectedIndex()]; v == "" || slices.Contains(all, v) {
			s.desk.Change(func(x *remembered.Settings) { set(x, v) })
			s.desk.TryMicrophone()
		}
	}
	return c
}

// row is one setting: what it is, and what is chosen.
func row(what string, o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(setting{}, prose.Wrapped(what), o)
}

// setting sets what is chosen beside what it is, whose words take as many lines as
// they need.
type setting struct{}

// MinSize implements fyne.Layout.
func (setting) MinSize(all []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(settingLabel+settingLeast, max(all[0].MinSize().Height, all[1].MinSize().Height))
}

// Layout implements fyne.Layout.
func (setting) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(fyne.NewSize(settingLabel, size.Height))
	all[1].Move(fyne.NewPos(settingLabel, 0))
	all[1].Resize(fyne.NewSize(min(settingWidth, size.Width-settingLabel), all[1].MinSize().Height))
}
