package page

// Excerpt shows so many measures alone, from one on; count 0 for all that follow. Measures keep
// their indexes.
func (v *View) Excerpt(first, count int) {
	v.excerpt = [2]int{first, count}
	v.lay()
	v.sheet.Refresh()
}

// HeightFor is how high all of it is at a width (fit.Folding), for a page that is to be seen
// whole.
func (v *View) HeightFor(width float32) float32 {
	if width > 50 && width != v.wide {
		v.wide = width
		v.lay()
	}
	return v.sheet.MinSize().Height + v.over.high()
}
