package remembered

import "slices"

// Pedals are the two keys that a pair of pedals sends.
type Pedals string

// What pedals may send. Arrows scroll where they are no pedals.
const (
	PageKeys      Pedals = ""
	ArrowsAcross  Pedals = "left-right"
	ArrowsUpright Pedals = "up-down"
)

// AllPedals are all of them.
var AllPedals = []Pedals{PageKeys, ArrowsAcross, ArrowsUpright}

// Keys are the names of the key that does what stands ready, and of the one that goes on
// to the next deed.
func (p Pedals) Keys() [2]string {
	return [][2]string{{"Next", "Prior"}, {"Right", "Left"}, {"Down", "Up"}}[max(0, slices.Index(AllPedals, p))]
}
