package closelook

import "math"

// rung is a pitch and its height, in cents of a drawing that is short of the
// room between the lanes.
type rung struct{ pitch, height float64 }

const (
	leastReach = 55.0  // cents either side of a lane that are drawn at full size
	mostReach  = 130.0 // where a note lies further off
	beyondNote = 20.0  // cents that are drawn beyond it
	between    = 24.0  // cents of height that all that lies between two lanes gets
)

// rungs lays the lanes one over the other. A cent is a cent anywhere near a
// lane, so that what is off can be seen; between two lanes far apart the height is
// cut short.
func (c *Look) rungs() {
	if len(c.Lanes) == 0 {
		return
	}
	reach := leastReach
	for _, n := range c.Notes {
		reach = math.Max(reach, math.Min(mostReach, math.Abs(n.Cents)+beyondNote))
	}
	r := reach / 100
	c.scale = []rung{{c.Lanes[0].At - r, 0}}
	add := func(pitch, height float64) {
		c.scale = append(c.scale, rung{pitch, c.scale[len(c.scale)-1].height + height})
	}
	for i, l := range c.Lanes {
		if i > 0 {
			low := c.scale[len(c.scale)-1].pitch
			if room := 100 * (l.At - r - low); room > between {
				add(l.At-r, between)
			}
		}
		add(l.At+r, 100*(l.At+r-c.scale[len(c.scale)-1].pitch))
	}
}

// Height is where a pitch lies, from 0 below to 1 above.
func (c *Look) Height(pitch float64) float64 {
	if len(c.scale) < 2 {
		return 0.5
	}
	all := c.scale[len(c.scale)-1].height
	for i := 1; i < len(c.scale); i++ {
		a, b := c.scale[i-1], c.scale[i]
		if pitch <= b.pitch || i == len(c.scale)-1 {
			share := math.Max(0, math.Min(1, (pitch-a.pitch)/(b.pitch-a.pitch)))
			return (a.height + share*(b.height-a.height)) / all
		}
	}
	return 1
}

// Cents is how high a cent is near a lane, as a share of the whole.
func (c *Look) Cents() float64 {
	if len(c.scale) < 2 {
		return 0
	}
	return 1 / c.scale[len(c.scale)-1].height
}

// Cuts are the places between lanes where the height is cut short, from 0 to 1.
func (c *Look) Cuts() (cuts [][2]float64) {
	all := 1.0
	if n := len(c.scale); n > 0 {
		all = c.scale[n-1].height
	}
	for i := 1; i < len(c.scale); i++ {
		a, b := c.scale[i-1], c.scale[i]
		if 100*(b.pitch-a.pitch) > b.height-a.height+1 {
			cuts = append(cuts, [2]float64{a.height / all, b.height / all})
		}
	}
	return cuts
}
