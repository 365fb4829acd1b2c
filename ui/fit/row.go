package fit

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
)

// Row sets objects beside each other, and goes on in another line where the room
// ends. What stands behind nil stands at the right of its line.
func Row(all ...fyne.CanvasObject) *fyne.Container {
	return Rows(func(float32) [][]fyne.CanvasObject { return [][]fyne.CanvasObject{all} })
}

// Rows sets objects in rows, in which goes by the width that there is; each is a Row.
func Rows(of func(width float32) [][]fyne.CanvasObject) *fyne.Container {
	c := container.New(&rows{of: of, width: usual})
	for _, row := range of(usual) {
		for _, o := range row {
			if o != nil {
				c.Add(o)
			}
		}
	}
	return c
}

// Together is how wide objects are beside each other.
func Together(all ...fyne.CanvasObject) (wide float32) {
	for _, o := range all {
		if o != nil && o.Visible() {
			wide += o.MinSize().Width + theme.Padding()
		}
	}
	return wide - theme.Padding()
}

type rows struct {
	of    func(width float32) [][]fyne.CanvasObject
	width float32 // it was laid out for last
}

// usual is the width that is reckoned with before there is one.
const usual = 1200

// put hands over each object that is seen with its place, and gives the height of all.
func (r *rows) put(width float32, at func(o fyne.CanvasObject, x, y, w, h float32)) (y float32) {
	for _, all := range r.of(width) {
		gap := theme.Padding()
		tight := func(line []fyne.CanvasObject) float32 {
			return Together(line...) - float32(len(line)-1)*(theme.Padding()-gap)
		}
		if seen := slices.DeleteFunc(slices.Clone(all), func(o fyne.CanvasObject) bool { return o == nil || !o.Visible() }); tight(seen) > width {
			if gap /= 4; tight(seen) > width { // nearer together rather than in two lines
				gap = theme.Padding()
			}
		}
		var line []fyne.CanvasObject
		end := func() {
			x, high := float32(0), float32(0)
			for _, o := range line {
				high = max(high, o.MinSize().Height)
			}
			for i, o := range line {
				w := o.MinSize().Width
				if behind := slices.Index(all, nil); behind >= 0 && slices.Index(all, o) > behind {
					x = max(x, width-tight(line[i:]))
				}
				at(o, x, y, w, high)
				x += w + gap
			}
			y, line = y+high+theme.Padding(), nil
		}
		for _, o := range all {
			if o == nil || !o.Visible() {
				continue
			}
			if len(line) > 0 && tight(append(line, o)) > width {
				end()
			}
			line = append(line, o)
		}
		if len(line) > 0 {
			end()
		}
	}
	return max(0, y-theme.Padding())
}

// MinSize implements fyne.Layout: the height is that of the width it was laid out for.
func (r *rows) MinSize(all []fyne.CanvasObject) fyne.Size {
	wide := float32(0)
	for _, o := range all {
		if o.Visible() {
			wide = max(wide, o.MinSize().Width)
		}
	}
	return fyne.NewSize(wide, r.put(max(wide, r.width), func(fyne.CanvasObject, float32, float32, float32, float32) {}))
}

// Layout implements fyne.Layout.
func (r *rows) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	r.width = size.Width
	r.put(size.Width, func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	})
}

// Grown sets objects one under the other between the top, which has the room that is
// left, and the bottom. Each is as high as the width asks.
func Grown(top fyne.CanvasObject, under ...fyne.CanvasObject) *fyne.Container {
	return container.New(grown{}, append([]fyne.CanvasObject{top}, under...)...)
}

type grown struct{}

// MinSize implements fyne.Layout.
func (grown) MinSize(all []fyne.CanvasObject) (size fyne.Size) {
	for i, o := range all {
		if !o.Visible() {
			continue
		}
		m := o.MinSize()
		size.Width = max(size.Width, m.Width)
		if size.Height += m.Height; i > 0 {
			size.Height += theme.Padding()
		}
	}
	return size
}

// Layout implements fyne.Layout.
func (grown) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := size.Height
	for i := len(all) - 1; i > 0; i-- {
		if o := all[i]; o.Visible() {
			o.Resize(fyne.NewSize(size.Width, o.Size().Height)) // what is asked hangs on the width
			h := o.MinSize().Height
			y -= h
			o.Move(fyne.NewPos(0, y))
			o.Resize(fyne.NewSize(size.Width, h))
			y -= theme.Padding()
		}
	}
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(fyne.NewSize(size.Width, max(0, y)))
}

// Before sets an object with what is left of a width before another, and over it where that
// is less than it asks for. The other may be a Row, which then takes as many lines as it needs.
func Before(first, other fyne.CanvasObject) *fyne.Container {
	return container.New(&before{width: usual}, first, other)
}

type before struct{ width float32 } // it was laid out for last

func (b *before) over(all []fyne.CanvasObject) bool {
	return all[0].MinSize().Width+theme.Padding()+inOneLine(all[1]) > b.width
}

// inOneLine is how wide an object is that need not go on in another line.
func inOneLine(o fyne.CanvasObject) float32 {
	if c, is := o.(*fyne.Container); is {
		if _, is := c.Layout.(*rows); is {
			return Together(c.Objects...)
		}
	}
	return o.MinSize().Width
}

// MinSize implements fyne.Layout: the height is that of the width it was laid out for.
func (b *before) MinSize(all []fyne.CanvasObject) fyne.Size {
	first, other := all[0].MinSize(), all[1].MinSize()
	size := first.Max(other)
	if b.over(all) {
		size.Height = first.Height + other.Height
	}
	return size
}

// Layout implements fyne.Layout.
func (b *before) Layout(all []fyne.CanvasObject, size fyne.Size) {
	b.width = size.Width
	wide := min(size.Width, inOneLine(all[1]))
	left, y, high := size.Width, all[0].MinSize().Height, all[0].MinSize().Height
	if !b.over(all) {
		left, y, high = size.Width-wide-theme.Padding(), 0, size.Height
	}
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(fyne.NewSize(left, high))
	all[1].Move(fyne.NewPos(size.Width-wide, y))
	all[1].Resize(fyne.NewSize(wide, size.Height-y))
}

// Abreast sets objects in columns as wide as each other, and one under the other where the
// width is too little for that.
func Abreast(all ...fyne.CanvasObject) *fyne.Container {
	return container.New(&abreast{usual}, all...)
}

type abreast struct{ width float32 } // it was laid out for last

// column is how wide each is, and how many stand beside each other.
func (a *abreast) column(all []fyne.CanvasObject) (wide float32, n int) {
	least := float32(0)
	for _, o := range all {
		least = max(least, o.MinSize().Width)
	}
	gaps := theme.Padding() * float32(len(all)-1)
	if wide = (a.width - gaps) / float32(len(all)); wide >= least {
		return wide, len(all)
	}
	return max(a.width, least), 1
}

// MinSize implements fyne.Layout: the height is that of the width it was laid out for.
func (a *abreast) MinSize(all []fyne.CanvasObject) (size fyne.Size) {
	_, n := a.column(all)
	for _, o := range all {
		m := o.MinSize()
		if size.Width = max(size.Width, m.Width); n > 1 {
			size.Height = max(size.Height, m.Height)
			continue
		}
		size.Height += m.Height
	}
	return size
}

// Layout implements fyne.Layout.
func (a *abreast) Layout(all []fyne.CanvasObject, size fyne.Size) {
	a.width = size.Width
	wide, n := a.column(all)
	x, y := float32(0), float32(0)
	for _, o := range all {
		high := o.MinSize().Height
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(wide, high))
		if n > 1 {
			x += wide + theme.Padding()
		} else {
			y += high
		}
	}
}
