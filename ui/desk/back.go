package desk

import (
	"endpin/ui/desk/errand"
	"endpin/ui/desk/listening"
)

// Listened is the take shown, to be listened to.
func (h host) Listened() *listening.Take {
	s := h.desk.Shown
	if s == nil {
		return nil
	}
	return &listening.Take{Score: h.desk.Score, Hearing: s.Hearing, Heard: s.Heard, Sound: s.Take.Sound, Name: s.Take.Called()}
}

// Others are the takes of the piece but the one shown.
func (h host) Others() (all []listening.Choice) {
	for _, t := range h.desk.Takes {
		if s := h.desk.Shown; (s == nil || s.Take != t) && t.Complete {
			all = append(all, listening.Choice{Sound: t.Sound, Name: t.Called()})
		}
	}
	return all
}

// HearOther hears a take beside the one shown.
func (h host) HearOther(sound string, then func(*listening.Take, error)) *errand.Errand {
	d := h.desk
	t, s := d.Known(sound), d.Score
	if t == nil {
		return nil
	}
	o := d.optionsOf(t)
	return errand.Send(d.means.Post, func(e *errand.Errand) func() {
		x, heard, err := d.means.Take(e, s, t.Sound, t.Held, nil, o, func(float64) {})
		return func() {
			then(&listening.Take{Score: s, Hearing: x, Heard: heard, Sound: t.Sound, Name: t.Called()}, err)
		}
	})
}
