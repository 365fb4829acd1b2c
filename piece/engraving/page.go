package engraving

// Page is a piece laid out. Lengths are staff spaces, y down from the top.
type Page struct {
	Title         string
	Width, Height float64
	Systems       []System
	Items         []Item // in drawing order; those of a system stand together
}

// System is one line of music. Its boxes tile the staff from the left margin to
// the last barline; beyond it the next line's new signatures may be announced.
type System struct {
	Top, Height float64 // with all that stands over and under the staff
	StaffTop    float64 // the top staff line; the lowest is four below
	Measures    []Box
	Notes       []Anchor
	First, Last int // its items: Page.Items[First:Last]
}

// Box is where one measure stands: for choosing measures and for a cursor.
type Box struct {
	Measure  int // index into Piece.Measures
	X, Width float64
	Number   string // as printed, or as the file tells it where none is printed
	Title    string // the measure in words, with its remarks: "Measure 4: late by 140 ms"
}

// Anchor is where one note or rest stands: the middle of its head.
type Anchor struct {
	Measure, Note int // indexes into Piece.Measures and Measure.Notes
	X, Y          float64
}

// Item is one thing to draw.
type Item struct {
	Measure int // index into Piece.Measures; -1 for what belongs to a whole system
	Class   Class
	Shape   Shape
}

// Class says what an item is, so that a renderer can tone it.
type Class string

// The classes.
const (
	Staff     Class = "staff"     // staff lines, barlines
	Signature Class = "signature" // clef, key, time
	Notes     Class = "note"      // heads, stems, beams, rests, dots, accidentals, ledger lines
	Curves    Class = "curve"     // slurs and ties
	Articles  Class = "mark"      // staccato, fermata, bow marks, tuplets, words, tempo, voltas
	Fingers   Class = "finger"    // fingers, strings, harmonics
	Frames    Class = "frame"     // hand frames and their positions: light
	Sections  Class = "section"   // section labels and rehearsal marks
	Numbers   Class = "number"    // measure numbers
	Under     Class = "under"     // lines under a measure
)

// Shape is one of Glyph, Rect, Polygon, Curve and Text.
type Shape interface {
	// Bounds gives left, top, right and bottom; a text's are an estimate.
	Bounds() (left, top, right, bottom float64)
	move(dx, dy float64) Shape
}

// Point is a place on the page.
type Point struct{ X, Y float64 }

// Glyph is a character of the music font with its origin at X, Y. At Scale 1
// its em is four staff spaces.
type Glyph struct {
	Rune  rune
	X, Y  float64
	Scale float64
}

// Rect is a filled rectangle; a line is a thin one.
type Rect struct{ X, Y, Width, Height float64 }

// Polygon is filled.
type Polygon []Point

// Curve is a slur or tie: filled between a cubic from the first point to the
// fourth and one back through the last two; Edge is the width of a line along
// it that blunts the ends.
type Curve struct {
	P    [6]Point // start, control, control, end, control, control
	Edge float64
}

// Text is a line of words with its baseline at Y. Size is its em.
type Text struct {
	String string
	X, Y   float64
	Size   float64
	Align  Align
	Style  Style
}

// Align says where a text's X lies.
type Align int

// The alignments.
const (
	Start Align = iota
	Middle
	End
)

// Style is how a text looks.
type Style int

// The styles.
const (
	Roman Style = iota
	Italic
	Bold
)

// Bounds of the glyph, from the font.
func (g Glyph) Bounds() (l, t, r, b float64) {
	x := boxes[g.Rune]
	return g.X + g.Scale*x.left, g.Y + g.Scale*x.top, g.X + g.Scale*x.right, g.Y + g.Scale*x.bottom
}

// Bounds of the rectangle.
func (q Rect) Bounds() (l, t, r, b float64) { return q.X, q.Y, q.X + q.Width, q.Y + q.Height }

// Bounds of the polygon.
func (p Polygon) Bounds() (l, t, r, b float64) { return around(p) }

// Bounds of the curve: of points along it.
func (c Curve) Bounds() (l, t, r, b float64) {
	var all []Point
	for i := 0; i <= 16; i++ {
		u := float64(i) / 16
		all = append(all, cubic(c.P[0], c.P[1], c.P[2], c.P[3], u), cubic(c.P[3], c.P[4], c.P[5], c.P[0], u))
	}
	return around(all)
}

// Bounds of the text. Letters of another face than the one measured are to be
// pressed or drawn to this width.
func (x Text) Bounds() (l, t, r, b float64) {
	w := textWidth(x.String, x.Size, x.Style)
	l = x.X - w*[]float64{0, 0.5, 1}[x.Align]
	return l, x.Y - 0.72*x.Size, l + w, x.Y + 0.22*x.Size
}

func (g Glyph) move(dx, dy float64) Shape { g.X += dx; g.Y += dy; return g }
func (q Rect) move(dx, dy float64) Shape  { q.X += dx; q.Y += dy; return q }
func (x Text) move(dx, dy float64) Shape  { x.X += dx; x.Y += dy; return x }
func (c Curve) move(dx, dy float64) Shape {
	for i := range c.P {
		c.P[i].X += dx
		c.P[i].Y += dy
	}
	return c
}
func (p Polygon) move(dx, dy float64) Shape {
	moved := make(Polygon, len(p))
	for i := range p {
		moved[i] = Point{p[i].X + dx, p[i].Y + dy}
	}
	return moved
}

func around(points []Point) (l, t, r, b float64) {
	l, t, r, b = points[0].X, points[0].Y, points[0].X, points[0].Y
	for _, p := range points {
		l, t, r, b = min(l, p.X), min(t, p.Y), max(r, p.X), max(b, p.Y)
	}
	return l, t, r, b
}

func cubic(a, b, c, d Point, u float64) Point {
	v := 1 - u
	return Point{
		v*v*v*a.X + 3*v*v*u*b.X + 3*v*u*u*c.X + u*u*u*d.X,
		v*v*v*a.Y + 3*v*v*u*b.Y + 3*v*u*u*c.Y + u*u*u*d.Y,
	}
}
