package shelf

import (
	"io/fs"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words/pseudo"
)

func TestEveryWordOfTheShelfIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	reads := func(text string, own ...string) {
		t.Helper()
		assert.NotEmpty(t, text)
		assert.Empty(t, pseudo.Plain(text, own...), text)
	}
	for _, r := range Reasons() {
		reads(r)
	}
	for _, why := range []error{errFolder, fs.ErrNotExist, fs.ErrPermission, syscall.ENOSPC} {
		reads(notWritten("take.wav", why), "take.wav")
	}
	own := &Take{Sound: "take.wav", kept: true}
	reads(own.Trouble(dsp.Fault("recording.empty").Of("take.wav")))
	for n := range 3 {
		reads(found(&piece.Piece{}, &finding.Hearing{Findings: make([]finding.Finding, n)}, nil))
	}
	reads(found(&piece.Piece{}, &finding.Hearing{HeardATrust: dsp.NotSure}, nil))
	late := []finding.Finding{{Kind: finding.Late}}
	aside := &Shown{Take: &Take{Dismissed: []Dismiss{{Kind: finding.Late}}}, Hearing: &finding.Hearing{Findings: late}}
	reads(aside.Agreed().Remarks[0])
}
