package weeks

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/report/progress"
	"endpin/piece/trend"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/weeks"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Screen shows a player's weeks: first what to know of them, then each shift
// with all its landings, and beside them the days and the measures. Its words and
// places are those of the page to print (piece/report).
type Screen struct {
	desk  *desk.Desk
	diary *weeks.Weeks
	all   *fyne.Container

	players *prose.Drop
	span    *prose.Drop
	class   *prose.Button
	main    *fit.Reading
	beside  *fit.Reading
	middle  *fyne.Container
	message string // in the place of both

	whose *prose.Choice
	keep  *prose.Tick
	limit *prose.Drop
	sound fyne.CanvasObject // both
	says  *widget.Label

	page  *progress.Page // shown now, and so with the two below
	pupil *progress.TeachersPage
	dark  bool
}

// New sets the screen out.
func New(on *desk.Desk) *Screen {
	d := desk.NewWeeks(on)
	s := &Screen{desk: on, diary: d, main: fit.NewReading(), beside: fit.NewReading()}
	s.players = prose.NewDrop(nil, nil)
	s.players.PlaceHolder = words.Say("window.diary.players")
	s.players.OnChanged = func(p string) {
		if p != d.Player || d.All {
			d.Choose(p)
		}
	}
	s.span = prose.NewDrop(spanNames(), nil)
	s.span.OnChanged = func(string) { d.SetDays(weeks.Spans[s.span.SelectedIndex()]) }
	s.class = prose.NewButton(words.Say("window.diary.all"), d.ChooseAll)
	s.middle = container.NewStack(container.New(&twoColumns{}, s.main, s.beside))
	s.whose = prose.NewChoice(func(name string) bool { d.Become(name); return true })
	s.whose.PlaceHolder = words.Say("window.diary.nobody")
	s.whose.OnChanged = func(name string) { // one that was chosen from the list
		for _, p := range d.Players {
			if p == name {
				d.Become(name)
			}
		}
	}
	s.keep = prose.NewTick(words.Say("window.diary.keep"), nil)
	s.limit = prose.NewDrop(limitNames(), nil)
	said := func() {
		d.KeepSound(s.keep.Checked, weeks.Limits[max(0, s.limit.SelectedIndex())])
	}
	s.keep.OnChanged = func(bool) { said() }
	s.limit.OnChanged = func(string) { said() }
	s.sound = container.NewHBox(s.keep, fit.Wide(s.limit, prose.Room(120, limitNames()...)))
	s.says = widget.NewLabel("")
	s.says.Truncation = fyne.TextTruncateEllipsis
	top := fit.Row(container.NewHBox(widget.NewLabel(words.Say("window.diary.of")), fit.Wide(s.players, 280)), container.NewHBox(fit.Wide(s.span, prose.Room(190, spanNames()...)), s.class))
	foot := container.New(&footLayout{width: 1200}, container.NewHBox(widget.NewLabel(words.Say("window.diary.for")), fit.Wide(s.whose, 260)), s.sound, s.says)
	s.all = fit.Grown(container.NewBorder(top, nil, nil, nil, s.middle), widget.NewSeparator(), foot)
	return s
}

func spanNames() (names []string) {
	for _, d := range weeks.Spans {
		if d == 365 {
			names = append(names, words.Say("window.diary.year"))
			continue
		}
		names = append(names, words.Many("window.diary.days", d).String())
	}
	return names
}

func limitNames() (names []string) {
	for _, l := range weeks.Limits {
		names = append(names, amount(l).String())
	}
	return names
}

// amount is so much disk in words.
func amount(bytes int64) words.Sentence {
	if bytes >= 1<<30 {
		return words.Of("window.diary.gigabytes", "n", words.Short(float64(bytes)/(1<<30)))
	}
	return words.Of("window.diary.megabytes", "n", words.Whole(float64(bytes)/(1<<20)))
}

func (s *Screen) Name() string           { return words.Say("window.screen.diary") }
func (s *Screen) Box() fyne.CanvasObject { return s.all }
func (s *Screen) Enter()                 { s.diary.Enter() }
func (s *Screen) Leave()                 {}

// Key scrolls what is read.
func (s *Screen) Key(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyPageDown, fyne.KeyRight:
		s.main.By(0.9)
	case fyne.KeyPageUp, fyne.KeyLeft:
		s.main.By(-0.9)
	case fyne.KeyDown:
		s.main.By(0.15)
	case fyne.KeyUp:
		s.main.By(-0.15)
	case fyne.KeyHome:
		s.main.By(-1e6)
	case fyne.KeyEnd:
		s.main.By(1e6)
	default:
		return false
	}
	return true
}

// Refresh shows the diary as it is now.
func (s *Screen) Refresh() {
	d, set := s.diary, s.desk.Settings
	choose := func(c *prose.Drop, options []string, now string) {
		if strings.Join(c.Options, "\n") != strings.Join(options, "\n") {
			c.Options = options
			c.Refresh()
		}
		if c.Selected != now {
			c.Selected = now // SetSelected would ask anew
			c.Refresh()
		}
	}
	shown := d.Player
	if d.All {
		shown = ""
	}
	choose(s.players, d.Players, shown)
	for i, days := range weeks.Spans {
		if days == d.Days {
			choose(s.span, s.span.Options, s.span.Options[i])
		}
	}
	fit.Hide(s.class, len(d.Players) < 2)
	prose.Mark(s.class, d.All)
	if !s.whose.Entered() && s.whose.Text != set.Player {
		s.whose.Text = set.Player
		s.whose.Refresh()
	}
	s.whose.SetOptions(d.Players)
	fit.Hide(s.sound, set.Player == "")
	if s.keep.Checked != d.Sound.Keep {
		s.keep.Checked = d.Sound.Keep
		s.keep.Refresh()
	}
	for i, l := range weeks.Limits {
		if l == d.Sound.Limit {
			choose(s.limit, s.limit.Options, s.limit.Options[i])
		}
	}
	if says := s.saying(); s.says.Text != says {
		s.says.SetText(says)
	}
	message := d.Message
	if d.Loading && d.Page == nil && d.Class == nil {
		message = words.Say("window.diary.reading")
	}
	if d.Page == s.page && d.Class == s.pupil && s.dark == set.Dark && s.message == message {
		return
	}
	s.page, s.pupil, s.dark, s.message = d.Page, d.Class, set.Dark, message
	s.set()
}

// saying is what the foot tells of this desk's takes.
func (s *Screen) saying() string {
	set, d := s.desk.Settings, s.diary
	switch {
	case set.Player == "":
		return words.Say("window.diary.write-a-name")
	case d.Sound.Keep && s.desk.InDiary == "":
		return words.Say("window.diary.so-far", "amount", amount(d.Sound.Taken))
	case d.Sound.Keep:
		return words.Say("window.diary.so-far.kept", "amount", amount(d.Sound.Taken), "kept", s.desk.InDiary)
	}
	return s.desk.InDiary
}

// set sets out what is shown.
func (s *Screen) set() {
	c := ink.Look{Dark: s.desk.Settings.Dark}.Colours()
	switch {
	case s.page != nil:
		s.middle.Objects = []fyne.CanvasObject{container.New(&twoColumns{}, s.main, s.beside)}
		s.main.Set(shiftsOf(s.page, c)...)
		s.beside.Set(besides(s.page, c)...)
	case s.pupil != nil:
		s.middle.Objects = []fyne.CanvasObject{container.NewPadded(s.main)}
		s.main.Set(classOf(s.pupil, c, s.diary.Choose)...)
	default:
		s.middle.Objects = []fyne.CanvasObject{container.New(&middling{620}, prose.NewPara(s.message, 22, false, c.Soft))}
	}
	s.middle.Refresh()
}

// shiftsOf is the story, and each shift with its picture.
func shiftsOf(p *progress.Page, c ink.Colours) []fyne.CanvasObject {
	all := []fyne.CanvasObject{fit.Space(6), prose.NewPara(p.Span, 16, false, c.Soft), fit.Space(4)}
	for i, line := range p.Story {
		if i == len(p.Story)-1 {
			all = append(all, fit.Space(4), prose.NewPara(line, 16, false, c.Soft))
			break
		}
		all = append(all, prose.NewPara(line, 23, true, c.Ink), fit.Space(3))
	}
	if len(p.Groups) > 0 {
		all = append(all, fit.Space(10), prose.NewPara(words.Say("window.diary.strips", "period", p.Period), 14, false, c.Soft))
	}
	for _, g := range p.Groups {
		all = append(all, fit.Space(18), prose.NewPara(g.Name, 20, true, c.Ink), fit.Space(4))
		for _, row := range g.Shifts {
			all = append(all, newShiftView(row, c))
		}
	}
	if len(p.Few) > 0 {
		all = append(all, fit.Space(18), prose.NewPara(p.FewHead, 20, true, c.Ink), fit.Space(4))
		for _, line := range p.Few {
			all = append(all, prose.NewPara(line, ink.Foot, false, c.Ink))
		}
	}
	return append(all, fit.Space(20), prose.NewPara(words.Say("window.diary.chance"), 14, false, c.Soft), fit.Space(16))
}

// besides is what stands beside the shifts.
func besides(p *progress.Page, c ink.Colours) []fyne.CanvasObject {
	head := func(key string) fyne.CanvasObject { return prose.NewPara(words.Say(key), 20, true, c.Ink) }
	all := []fyne.CanvasObject{fit.Space(6), head("window.diary.takes"), prose.NewPara(words.Say("window.diary.takes.dots"), 14, false, c.Soft), calendarOf(p.Calendar, c)}
	if len(p.Mended) > 0 {
		all = append(all, fit.Space(18), head("report.diary.mended"), fit.Space(2))
		for _, line := range p.Mended {
			all = append(all, prose.NewPara(line, 16, false, c.Ink), fit.Space(5))
		}
	}
	if len(p.More) > 0 {
		all = append(all, fit.Space(18), head("window.diary.also"), fit.Space(2))
		for _, line := range p.More {
			all = append(all, prose.NewPara(line, 16, false, c.Ink), fit.Space(5))
		}
	}
	if len(p.Kinds) > 0 {
		all = append(all, fit.Space(18), head("window.diary.kinds"), fit.Space(2))
		for _, k := range p.Kinds {
			key := "window.diary.kind"
			switch {
			case k.Differ != "":
				key = "window.diary.kind.differ"
			case k.Verdict == trend.TooFew:
				key = "window.diary.kind.few"
			}
			says := words.Many(key, k.Times, "how", k.How, "verdict", k.Verdict.Word(), "first", k.First, "last", k.Last, "differ", k.Differ)
			all = append(all, prose.NewPara(says.String(), 16, false, c.Ink), fit.Space(5))
		}
	}
	if len(p.RhythmRows) > 0 {
		all = append(all, fit.Space(18), head("report.diary.rhythm"), prose.NewPara(words.Say("report.diary.rhythm.key"), 14, false, c.Soft))
		for _, r := range p.RhythmRows { // what a row tells wants more room than its head has
			all = append(all, fit.Space(6), prose.NewPara(r.Piece, 16, false, c.Ink), weeksOf(p.RhythmHeads, []progress.WeekRow{{Cells: r.Cells}}, c))
		}
	}
	if len(p.WeekRows) > 0 {
		all = append(all, fit.Space(18), head("window.diary.measures"),
			prose.NewPara(words.Say("window.diary.measures.shade"), 14, false, c.Soft), weeksOf(p.WeekHeads, p.WeekRows, c))
	}
	return append(all, fit.Space(16))
}

// footLayout sets what is said beside what is chosen, or under it where there is no
// room for all of it, and what is chosen in two lines where there is none for that.
type footLayout struct{ width float32 }

const leastSaid = 200 // of the foot's width, for what is said

func (f *footLayout) lines(all []fyne.CanvasObject) [][]fyne.CanvasObject {
	said := fyne.MeasureText(all[2].(*widget.Label).Text, theme.TextSize(), fyne.TextStyle{}).Width + 2*theme.InnerPadding()
	switch chosen := fit.Together(all[:2]...); {
	case chosen > f.width:
		return [][]fyne.CanvasObject{all[:1], all[1:2], all[2:]}
	case chosen+max(leastSaid, said) > f.width:
		return [][]fyne.CanvasObject{all[:2], all[2:]}
	}
	return [][]fyne.CanvasObject{all}
}

// MinSize implements fyne.Layout: the height is that of the width it was laid out for.
func (f *footLayout) MinSize(all []fyne.CanvasObject) (size fyne.Size) {
	for _, line := range f.lines(all) {
		high := float32(0)
		for _, o := range line {
			high = max(high, o.MinSize().Height)
		}
		size.Height += high
	}
	return fyne.NewSize(max(all[0].MinSize().Width, all[1].MinSize().Width), size.Height)
}

// Layout implements fyne.Layout.
func (f *footLayout) Layout(all []fyne.CanvasObject, size fyne.Size) {
	f.width = size.Width
	y := float32(0)
	for _, line := range f.lines(all) {
		x, high := float32(0), float32(0)
		for _, o := range line {
			high = max(high, o.MinSize().Height)
		}
		for _, o := range line {
			if m := o.MinSize(); o == all[2] { // all that is left
				o.Move(fyne.NewPos(x, y+(high-m.Height)/2))
				o.Resize(fyne.NewSize(size.Width-x, m.Height))
			} else if o.Visible() {
				o.Move(fyne.NewPos(x, y))
				o.Resize(m)
				x += m.Width + theme.Padding()
			}
		}
		y += high
	}
}

// twoColumns gives the shifts most of the room, in a narrow window over the rest.
type twoColumns struct{}

const oneColumn = 860 // a width under which two have no room

// MinSize implements fyne.Layout.
func (twoColumns) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(600, 200) }

// Layout implements fyne.Layout.
func (twoColumns) Layout(all []fyne.CanvasObject, size fyne.Size) {
	const edge, between = 12, 28
	if size.Width < oneColumn {
		over := size.Height * 0.56
		for i, y := range []float32{0, over} {
			all[i].Move(fyne.NewPos(edge, y))
			all[i].Resize(fyne.NewSize(size.Width-2*edge, []float32{over - edge, size.Height - over}[i]))
		}
		return
	}
	right := max(360, min(520, size.Width*0.31))
	left := size.Width - right - between - 2*edge
	all[0].Move(fyne.NewPos(edge, 0))
	all[0].Resize(fyne.NewSize(left, size.Height))
	all[1].Move(fyne.NewPos(edge+left+between, 0))
	all[1].Resize(fyne.NewSize(right, size.Height))
}

// middling sets one object into the middle, so wide at most.
type middling struct{ width float32 }

// MinSize implements fyne.Layout.
func (m *middling) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 100) }

// Layout implements fyne.Layout.
func (m *middling) Layout(all []fyne.CanvasObject, size fyne.Size) {
	w := min(m.width, size.Width-40)
	h := fit.HeightOf(all[0], w)
	all[0].Resize(fyne.NewSize(w, h))
	all[0].Move(fyne.NewPos((size.Width-w)/2, (size.Height-h)*0.4))
}
