package write

import (
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/manuscript"
	"endpin/piece/words"
	"endpin/ui/desk/score"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// head is what stands over the page: title, instrument, clef, key, metre, pickup, tempo.
// With notes chosen it is that of their first measure, from which on it is then changed.
type head struct {
	s          *Screen
	box        *fyne.Container
	title      *prose.Entry
	composer   *prose.Entry
	instrument *prose.Drop
	clef       *prose.Drop
	key        *prose.Drop
	minor      *prose.Tick
	metre      *prose.Drop
	pickup     *prose.Drop
	tempo      *prose.Entry
	showing    bool // what is set now is no choice of the user's
}

var clefs = []struct {
	name string
	clef piece.Clef
}{{"bass", piece.Clef{Sign: "F", Line: 4}}, {"tenor", piece.Clef{Sign: "C", Line: 4}}, {"alto", piece.Clef{Sign: "C", Line: 3}}, {"treble", piece.Clef{Sign: "G", Line: 2}}}

var metres = []piece.Time{{Beats: 2, Unit: 4}, {Beats: 3, Unit: 4}, {Beats: 4, Unit: 4}, {Beats: 5, Unit: 4}, {Beats: 6, Unit: 4}, {Beats: 2, Unit: 2}, {Beats: 3, Unit: 2},
	{Beats: 3, Unit: 8}, {Beats: 6, Unit: 8}, {Beats: 9, Unit: 8}, {Beats: 12, Unit: 8}}

// mostFifths is the most sharps or flats of a key.
const mostFifths = 7

func newHead(s *Screen) *head {
	h := &head{s: s}
	w := s.writing
	do := func(change func(*manuscript.Manuscript)) {
		if !h.showing {
			w.Do(change)
		}
	}
	h.title = prose.NewEntry(func(text string) bool {
		do(func(m *manuscript.Manuscript) { m.SetTitle(strings.TrimSpace(text)) })
		return true
	})
	h.title.SetPlaceHolder(words.Say("window.write.title"))
	h.title.Left = func() { h.take(h.title, w.Page.Head.Title, (*manuscript.Manuscript).SetTitle) }
	h.composer = prose.NewEntry(func(text string) bool {
		do(func(m *manuscript.Manuscript) { m.SetComposer(strings.TrimSpace(text)) })
		return true
	})
	h.composer.SetPlaceHolder(words.Say("window.write.composer"))
	h.composer.Left = func() { h.take(h.composer, w.Page.Head.Composer, (*manuscript.Manuscript).SetComposer) }
	drop := func(options []string, chosen func(i int)) *prose.Drop {
		d := prose.NewDrop(options, nil)
		d.OnChanged = func(string) {
			if i := d.SelectedIndex(); i >= 0 && !h.showing {
				chosen(i)
			}
		}
		return d
	}
	h.instrument = drop(nil, func(i int) { w.SetInstrument(instruments()[i]) })
	for _, in := range instruments() {
		h.instrument.Options = append(h.instrument.Options, in.Name.String())
	}
	h.clef = drop(nil, func(i int) {
		if i < len(clefs) {
			do(func(m *manuscript.Manuscript) { m.SetClef(clefs[i].clef) })
		}
	})
	for _, c := range clefs {
		h.clef.Options = append(h.clef.Options, words.Say("window.write.clef."+c.name))
	}
	h.key = drop(keys(false), func(i int) {
		do(func(m *manuscript.Manuscript) { m.SetKey(piece.Key{Fifths: i - mostFifths, Minor: h.minor.Checked}) })
	})
	h.minor = prose.NewTick(words.Say("window.write.minor"), func(on bool) {
		do(func(m *manuscript.Manuscript) { m.SetKey(relative(m.Here().Key, on)) })
	})
	h.metre = drop(nil, func(i int) {
		if i < len(metres) {
			do(func(m *manuscript.Manuscript) { m.SetTime(metres[i]) })
		}
	})
	for _, t := range metres {
		h.metre.Options = append(h.metre.Options, metre(t))
	}
	h.pickup = drop(nil, func(i int) {
		do(func(m *manuscript.Manuscript) { m.SetPickup(piece.Ticks(i) * piece.Quarter / 2) })
	})
	h.tempo = prose.NewEntry(func(text string) bool {
		qpm, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if strings.TrimSpace(text) == "" {
			qpm, err = 0, nil
		} else if err != nil || !(qpm >= score.LowestQPM && qpm <= score.HighestQPM) {
			s.desk.Say(score.NoTempo(text).Error())
			return false
		}
		do(func(m *manuscript.Manuscript) { m.SetTempo(qpm) })
		return true
	})
	wide := func(d *prose.Drop, least float32) fyne.CanvasObject {
		return fit.Wide(d, prose.Room(least, d.Options...)+10)
	}
	h.box = fit.Row(fit.Wide(h.title, 170), fit.Wide(h.composer, prose.Room(120, h.composer.PlaceHolder)), fit.Wide(h.instrument, prose.Room(80, h.instrument.Options[0])+30), wide(h.clef, 80), wide(h.key, 80), h.minor,
		wide(h.metre, 60), fit.Wide(h.pickup, prose.Room(100, words.Say("window.write.pickup.none"))+24),
		container.NewHBox(widget.NewLabel(words.Say("window.bar.tempo")), fit.Wide(h.tempo, 64)))
	return h
}

// take takes over what was typed where one goes elsewhere.
func (h *head) take(e *prose.Entry, was string, set func(*manuscript.Manuscript, string)) {
	if text := strings.TrimSpace(e.Text); text != was {
		h.s.writing.Do(func(m *manuscript.Manuscript) { set(m, text) })
	}
}

// instruments are those to choose from: each that is called otherwise.
func instruments() (all []fingerboard.Named) {
	for _, n := range fingerboard.Instruments() {
		if !slices.ContainsFunc(all, func(x fingerboard.Named) bool { return x.Name.String() == n.Name.String() }) {
			all = append(all, n)
		}
	}
	return all
}

// keys are the names of the key signatures, from seven flats to seven sharps.
func keys(minor bool) (all []string) {
	for fifths := -mostFifths; fifths <= mostFifths; fifths++ {
		letter, alter := piece.Key{Fifths: fifths, Minor: minor}.Tonic()
		key := "window.write.major-key"
		if minor {
			key = "window.write.minor-key"
		}
		all = append(all, words.Say(key, "tonic", words.Note{Step: letter, Alter: alter}))
	}
	return all
}

// relative is the key with the same signature.
func relative(k piece.Key, minor bool) piece.Key { return piece.Key{Fifths: k.Fifths, Minor: minor} }

func metre(t piece.Time) string { return strconv.Itoa(t.Beats) + "/" + strconv.Itoa(t.Unit) }

// refresh shows what stands there.
func (h *head) refresh() {
	h.showing = true
	defer func() { h.showing = false }()
	m := h.s.writing.Page
	text := func(e *prose.Entry, text string) {
		if !e.Entered() && e.Text != text {
			e.SetText(text)
		}
	}
	text(h.title, m.Head.Title)
	text(h.composer, m.Head.Composer)
	qpm := ""
	if t := m.Tempo(); t > 0 {
		qpm = strconv.FormatFloat(t, 'f', -1, 64)
	}
	text(h.tempo, qpm)
	b := m.Here()
	at := func(d *prose.Drop, i int) {
		if d.SelectedIndex() != i {
			if i < 0 {
				d.ClearSelected()
			} else {
				d.SetSelectedIndex(i)
			}
		}
	}
	name := h.s.writing.Instrument().Name.String()
	at(h.instrument, slices.Index(h.instrument.Options, name))
	clef := slices.IndexFunc(clefs, func(c struct {
		name string
		clef piece.Clef
	}) bool {
		return c.clef.Sign == b.Clef.Sign && c.clef.Line == b.Clef.Line
	})
	at(h.clef, clef)
	if h.minor.Checked != b.Key.Minor {
		h.minor.SetChecked(b.Key.Minor)
	}
	if names := keys(b.Key.Minor); !slices.Equal(names, h.key.Options) {
		h.key.ClearSelected()
		h.key.Options = names
	}
	at(h.key, b.Key.Fifths+mostFifths)
	at(h.metre, slices.Index(metres, b.Time))
	pickups := []string{words.Say("window.write.pickup.none")}
	first := m.Bars[0].Time
	for t := piece.Quarter / 2; t < first.Beat()*piece.Ticks(first.Beats); t += piece.Quarter / 2 {
		pickups = append(pickups, words.Say("window.write.pickup", "length", manuscript.SayLength(t)))
	}
	if !slices.Equal(pickups, h.pickup.Options) {
		h.pickup.ClearSelected()
		h.pickup.Options = pickups
	}
	at(h.pickup, min(len(pickups)-1, int(m.Pickup()/(piece.Quarter/2))))
}
