package rig

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"os/exec"
)

// Speak lets espeak-ng say words, at Rate and with a peak of db.
func Speak(words string, db float64) ([]float32, error) {
	var stderr bytes.Buffer
	cmd := exec.Command("espeak-ng", "--stdout", words)
	cmd.Stderr = &stderr
	wav, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("espeak-ng (Debian: apt install espeak-ng): %w %s", err, stderr.String())
	}
	at := bytes.Index(wav, []byte("data"))
	if at < 0 || len(wav) < 44 {
		return nil, fmt.Errorf("espeak-ng gave no WAV")
	}
	rate := int(binary.LittleEndian.Uint32(wav[24:]))
	pcm := wav[at+8:]
	spoken := make([]float64, len(pcm)/2)
	for i := range spoken {
		spoken[i] = float64(int16(binary.LittleEndian.Uint16(pcm[2*i:]))) / 32768
	}
	ratio := float64(rate) / Rate
	out := make([]float32, int(float64(len(spoken)-1)/ratio))
	for i := range out {
		from := float64(i) * ratio
		whole := int(from)
		part := from - float64(whole)
		out[i] = float32(spoken[whole]*(1-part) + spoken[whole+1]*part)
	}
	scaleToPeak(out, db)
	return out, nil
}
