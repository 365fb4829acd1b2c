package help

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/room"
	"endpin/ui/desk/score"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/level"
	"endpin/ui/mark"
	"endpin/ui/page"
	"endpin/ui/prose"
)

// pictures are made of what the desk itself draws.
type pictures struct {
	look ink.Look
	demo *score.Score
}

// space is a staff space on the page, in Fyne's units.
const space = 10.5

// excerpt is some measures of the demo piece's page, from one on.
func (p *pictures) excerpt(first, count int) *page.View {
	v := page.New(p.demo.Piece, p.demo.Line, &p.demo.Plan, space, p.look.Colours())
	v.Excerpt(first, count)
	return v
}

func (p *pictures) piece() []fyne.CanvasObject {
	return []fyne.CanvasObject{p.excerpt(0, 4)}
}

// loudnesses are those that a bass gives a microphone: too far, well placed, too near.
var loudnesses = []struct {
	key         string
	level, peak float64 // dB re full scale
}{{"sound.level.very-weak", -52, -47}, {"sound.level.well-heard", -20, -12}, {"sound.level.too-loud", -4, 0}}

func (p *pictures) microphone() (all []fyne.CanvasObject) {
	for _, x := range loudnesses {
		bar := level.New()
		bar.Show(room.Loudness{On: true, Level: x.level, Peak: x.peak, Word: words.Say(x.key)}, p.look)
		all = append(all, container.NewHBox(fit.Gap(20), bar.Box), fit.Space(12))
	}
	return all
}

// sounding is how far the note that sounds is off, in cents.
const sounding = 18

func (p *pictures) take() []fyne.CanvasObject {
	v := p.excerpt(0, 4)
	v.SetCursor(2, 0.25)
	v.SetHeard(page.Heard{Measure: 2, Note: 1, Cents: sounding, Says: words.Say("window.far.cents", "cents", words.Shown(sounding, 0))})
	return []fyne.CanvasObject{v}
}

// landed is what is heard in the demo take, after its first shift.
func landed() finding.Finding {
	return finding.Finding{Kind: finding.SharpAfterShift, Measure: "5", ToMeasure: "7", Pass: 1, Beat: 1, Value: 30, Trust: dsp.Sure}
}

func (p *pictures) finding() []fyne.CanvasObject {
	v := p.excerpt(4, 4)
	v.SetMarks(mark.ByMeasure([]finding.Finding{landed()}, p.demo.Piece.Measures, nil))
	return []fyne.CanvasObject{v}
}

const sign = 34 // across, in Fyne's units

// trust is each trust with its sign, as it stands under a measure.
func (p *pictures) trust() (all []fyne.CanvasObject) {
	c := p.look.Colours()
	for _, x := range []struct {
		kind   finding.Kind
		hollow bool
		key    string
	}{{finding.Sharp, false, "help.trust.sure"}, {finding.Sharp, true, "help.trust.fair"}, {finding.NotSure, true, "help.trust.not-sure"}} {
		k := ink.New(fyne.NewSize(sign, sign), 2)
		k.Shape(ink.Of(x.kind), sign/2, sign/2, 0.4*sign, x.hollow, c.Ink, c.Paper)
		shape := k.Object()
		shape.SetMinSize(fyne.NewSize(sign, sign))
		all = append(all, newBeside(shape, prose.NewPara(words.Say(x.key), 18, false, c.Ink)), fit.Space(14))
	}
	return all
}

// mended are five rounds at that landing, in what is let pass.
var mended = []page.Round{{Off: 1.6}, {Off: 1.1}, {Off: 0.5, Clean: true}, {Off: 0.2, Clean: true}, {Off: -0.1, Clean: true}}

func (p *pictures) mend() []fyne.CanvasObject {
	v := p.excerpt(4, 4)
	v.SetRounds(4, mended)
	return []fyne.CanvasObject{v}
}
