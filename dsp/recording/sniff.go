package recording

import (
	"bufio"
	"bytes"
	"io"
	"unicode/utf8"

	"endpin/dsp"
)

type kind int

const (
	isOther kind = iota
	isWAV
	isFLAC
	isMP3
)

// sniffed is how many bytes the decision may rest on.
const sniffed = 64 << 10

// sniff tells what r holds by its content, and leaves r at the start of it:
// ID3v2 tags, which may stand before anything, and what stands before the first
// frame of an MP3 are read over.
func sniff(r *bufio.Reader) (kind, error) {
	tagged, err := skipID3(r)
	if err != nil {
		return isOther, err
	}
	head, err := r.Peek(sniffed)
	if err != nil && err != io.EOF && err != bufio.ErrBufferFull {
		return isOther, err
	}
	first := firstMP3(head, tagged)
	switch {
	case len(head) == 0 && tagged:
		return isOther, dsp.Fault("recording.only-tag")
	case len(head) == 0:
		return isOther, dsp.Fault("recording.empty")
	case isRIFF(head) && string(head[8:12]) == "WAVE":
		return isWAV, nil
	case bytes.HasPrefix(head, []byte("fLaC")):
		return isFLAC, nil
	case first >= 0:
		_, err := r.Discard(first)
		return isMP3, err
	case looksLikeText(head):
		return isOther, dsp.Fault("recording.text")
	}
	return isOther, nil
}

func isRIFF(head []byte) bool {
	if len(head) < 12 {
		return false
	}
	id := string(head[:4])
	return id == "RIFF" || id == "RF64" || id == "BW64"
}

// skipID3 reads over the ID3v2 tags at the front: ten bytes of header with the
// length in four bytes of seven bits each, and a footer if a flag says so
// (ID3v2.4.0, section 3).
func skipID3(r *bufio.Reader) (found bool, err error) {
	for {
		head, err := r.Peek(10)
		if err != nil || string(head[:3]) != "ID3" {
			return found, nil // a short file is for the caller to judge
		}
		found = true
		if _, err := r.Discard(id3Length(head)); err != nil && err != io.EOF {
			return found, err
		}
	}
}

func id3Length(head []byte) int {
	const footer = 0x10
	length := 10
	if head[5]&footer != 0 {
		length += 10
	}
	size := 0
	for _, b := range head[6:10] {
		size = size<<7 | int(b&0x7f)
	}
	return length + size
}

// firstMP3 finds the first frame of an MP3, or gives -1. It wants frames that
// follow one another, for their sync word alone is only eleven bits. After a tag
// anything may stand; without one the first frame, or zeros before it, must open
// the file.
func firstMP3(head []byte, tagged bool) int {
	const frames = 3
	for at := range head {
		if chained(head[at:], frames) {
			return at
		}
		if !tagged && head[at] != 0 {
			return -1
		}
	}
	return -1
}

// chained reports whether b begins with that many frames of one stream, or
// with fewer, but whole ones, and then ends.
func chained(b []byte, frames int) bool {
	first := mp3Header{}
	for i := range frames {
		if len(b) == 0 && i > 0 {
			return true
		}
		h, ok := parseMP3Header(b)
		if !ok || h.size > len(b) || i > 0 && !h.follows(first) {
			return false
		}
		if i == 0 {
			first = h
		}
		b = b[h.size:]
	}
	return true
}

// looksLikeText is true for anything that a person could have typed, in any
// common encoding.
func looksLikeText(head []byte) bool {
	head = head[:min(len(head), 4096)]
	if bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff}) {
		return true // UTF-16
	}
	foreign := 0
	for i := 0; i < len(head); {
		c, size := utf8.DecodeRune(head[i:])
		switch {
		case c < ' ' && c != '\n' && c != '\r' && c != '\t' && c != '\f', c == 0x7f:
			return false
		case c == utf8.RuneError && size == 1:
			foreign++ // Latin-1 and the like
		}
		i += size
	}
	return foreign*5 <= len(head)
}
