package fit

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
)

// Gap is room of a width.
func Gap(width float32) fyne.CanvasObject { return empty(width, 1) }

// Space is room of a height.
func Space(height float32) fyne.CanvasObject { return empty(1, height) }

func empty(width, height float32) fyne.CanvasObject {
	r := canvas.NewRectangle(color.Transparent)
	r.SetMinSize(fyne.NewSize(width, height))
	return r
}

// Hide hides an object, or shows it.
func Hide(o fyne.CanvasObject, yes bool) {
	if yes && o.Visible() {
		o.Hide()
	} else if !yes && !o.Visible() {
		o.Show()
	}
}

// Wide gives an object a width, and the height that it asks for now.
func Wide(o fyne.CanvasObject, width float32) *fyne.Container {
	return container.New(layout.NewGridWrapLayout(fyne.NewSize(width, o.MinSize().Height)), o)
}

// Across gives an object a width of its own, and the height there is.
func Across(o fyne.CanvasObject, width float32) *fyne.Container {
	return container.New(room(func(o fyne.CanvasObject) fyne.Size { return fyne.NewSize(width, o.MinSize().Height) }), o)
}

// Tall gives an object a height of its own, and the width there is.
func Tall(o fyne.CanvasObject, height float32) *fyne.Container {
	return container.New(room(func(o fyne.CanvasObject) fyne.Size { return fyne.NewSize(o.MinSize().Width, height) }), o)
}

// Column gives an object a width of its own and all the height there is, however
// much it asks for.
func Column(o fyne.CanvasObject, width float32) *fyne.Container {
	return container.New(room(func(fyne.CanvasObject) fyne.Size { return fyne.NewSize(width, 100) }), o)
}

// room asks for a size and gives its object all that there is.
type room func(o fyne.CanvasObject) fyne.Size

// MinSize implements fyne.Layout.
func (r room) MinSize(all []fyne.CanvasObject) fyne.Size { return r(all[0]) }

// Layout implements fyne.Layout.
func (r room) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(size)
}

// Amid gives an object the width there is and its own height, in the middle of what there is.
func Amid(o fyne.CanvasObject) *fyne.Container {
	return container.NewVBox(layout.NewSpacer(), o, layout.NewSpacer())
}

// Centred gives an object a width at most, in the middle, and all the height.
func Centred(o fyne.CanvasObject, width float32) *fyne.Container {
	return container.New(centred{width}, o)
}

type centred struct{ width float32 }

// MinSize implements fyne.Layout.
func (c centred) MinSize(all []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(all[0].MinSize().Width, max(100, all[0].MinSize().Height))
}

// Layout implements fyne.Layout.
func (c centred) Layout(all []fyne.CanvasObject, size fyne.Size) {
	w := min(c.width, size.Width)
	all[0].Move(fyne.NewPos((size.Width-w)/2, 0))
	all[0].Resize(fyne.NewSize(w, size.Height))
}

// Instead sets one object in the place of another, of which one at a time is seen, in
// room for either: of three rows of buttons at most, since more is dear in a narrow window.
func Instead(first, other fyne.CanvasObject) *fyne.Container {
	return container.New(&instead{}, first, other)
}

type instead struct{ asked fyne.Size } // by the first when it was seen last

// MinSize implements fyne.Layout. It is asked for whenever anything is painted, and while the
// first is not seen it asks for what it did.
func (x *instead) MinSize(all []fyne.CanvasObject) fyne.Size {
	if all[0].Visible() || x.asked.IsZero() {
		x.asked = all[0].MinSize()
	}
	asked := x.asked
	if !all[0].Visible() {
		asked.Height = min(asked.Height, threeRows)
	}
	return asked.Max(all[1].MinSize())
}

const threeRows = 138

// Layout implements fyne.Layout.
func (x *instead) Layout(all []fyne.CanvasObject, size fyne.Size) {
	for _, o := range all {
		o.Resize(size)
	}
}

// Close sets lines nearer together than labels stand by themselves.
func Close(lines ...fyne.CanvasObject) *fyne.Container { return container.New(near{}, lines...) }

type near struct{}

const nearer = 15 // of the padding that two labels have between them

// MinSize implements fyne.Layout.
func (near) MinSize(all []fyne.CanvasObject) fyne.Size {
	size := fyne.NewSize(0, nearer)
	for _, o := range all {
		m := o.MinSize()
		size.Width = max(size.Width, m.Width)
		size.Height += m.Height - nearer
	}
	return size
}

// Layout implements fyne.Layout.
func (near) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range all {
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, o.MinSize().Height))
		y += o.MinSize().Height - nearer // which may hang on its width
	}
}

// Beside sets two objects beside each other with a line between them, and Under
// the second below the first, which has a share of the room.
func Beside(share float32, first, line, second fyne.CanvasObject) *fyne.Container {
	return container.New(parts{share, false}, first, line, second)
}

// Under is Beside, downwards.
func Under(share float32, first, line, second fyne.CanvasObject) *fyne.Container {
	return container.New(parts{share, true}, first, line, second)
}

type parts struct {
	first float32
	down  bool
}

// MinSize implements fyne.Layout.
func (parts) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, 100) }

// Layout implements fyne.Layout.
func (p parts) Layout(all []fyne.CanvasObject, size fyne.Size) {
	const gap = 12
	turned := func(along, across float32) (float32, float32) {
		if p.down {
			return across, along
		}
		return along, across
	}
	whole, across := turned(size.Width, size.Height)
	first := (whole - gap) * p.first
	put := func(o fyne.CanvasObject, at, long float32) {
		o.Move(fyne.NewPos(turned(at, 0)))
		o.Resize(fyne.NewSize(turned(long, across)))
	}
	put(all[0], 0, first)
	put(all[1], first+gap/2, 1)
	put(all[2], first+gap, whole-first-gap)
}
