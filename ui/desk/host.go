package desk

import (
	"endpin/piece/finding"
	"endpin/ui/desk/closelook"
	"endpin/ui/desk/playback"
)

// host is what the parts of the desk may ask of it. Each part names those of these
// methods that it needs.
type host struct{ desk *Desk }

func (h host) Post(f func())       { h.desk.means.Post(f) }
func (h host) Changed()            { h.desk.tell() }
func (h host) Say(sentence string) { h.desk.say(sentence) }
func (h host) Playing() bool       { return h.desk.Running }

// Player plays recordings on the loudspeaker chosen.
func (h host) Player() playback.Player {
	m := h.desk.means
	return playback.Player{Card: m.Card, Name: h.desk.Settings.Loudspeaker, Open: m.Open}
}

// Page is the take shown, as the closer look sees it.
func (h host) Page() *closelook.Take {
	s := h.desk.Shown
	if s == nil {
		return nil
	}
	score := h.desk.Score
	return &closelook.Take{Piece: score.Piece, Line: score.Line, Played: score.Played, Hearing: s.Hearing, Heard: s.Heard,
		Sound: s.Take.Sound, Asides: len(s.Take.Dismissed), Aside: func(f *finding.Finding) bool { _, set := s.Take.dismissed(f); return set }}
}
