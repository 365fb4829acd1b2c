package recording

import (
	"bytes"
	"encoding/binary"
	"io"
	"os"
	"strings"
	"time"
)

// Made is when the recording in a file was made, as far as the recorder wrote it into it: the
// day at least; zero where it did not, or where the file cannot be read. A day without a time is
// noon, a time without a zone this computer's.
//
// Sources: EBU Tech 3285 (bext of WAV), RIFF's INFO list (ICRD), RFC 9639 and the Ogg
// containers' comments (DATE), ID3v2.4 (TDRC), ISO/IEC 14496-12 (mvhd). Nothing of it needs ffmpeg,
// whose start costs more than hearing ten seconds.
func Made(path string) time.Time {
	file, err := os.Open(path)
	if err != nil {
		return time.Time{}
	}
	defer file.Close()
	if info, err := file.Stat(); err != nil || !info.Mode().IsRegular() {
		return time.Time{}
	}
	head := make([]byte, 12)
	if _, err := io.ReadFull(file, head); err != nil {
		return time.Time{}
	}
	switch {
	case string(head[:4]) == "RIFF" || string(head[:4]) == "RF64" || string(head[:4]) == "BW64":
		return madeWAV(file)
	case string(head[:4]) == "fLaC":
		return madeFLAC(file)
	case string(head[:4]) == "OggS":
		return madeComments(beginning(file))
	case string(head[:3]) == "ID3":
		return madeID3(beginning(file))
	case string(head[4:8]) == "ftyp" || string(head[4:8]) == "moov" || string(head[4:8]) == "mdat":
		return madeMP4(file)
	}
	return time.Time{}
}

// mostTags is where in a file tags are looked for, bytes: a picture may lie among them.
const mostTags = 1 << 20

func beginning(file *os.File) []byte {
	data := make([]byte, mostTags)
	n, _ := file.ReadAt(data, 0)
	return data[:n]
}

// dated reads a date as tags have it.
func dated(text string) time.Time {
	text = strings.Trim(strings.TrimSpace(text), "\x00")
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02T15:04:05-0700"} {
		if t, err := time.Parse(form, text); err == nil {
			return t
		}
	}
	for _, form := range []string{"2006-01-02T15:04:05", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(form, text, time.Local); err == nil {
			return t
		}
	}
	if t, err := time.ParseInLocation(time.DateOnly, text, time.Local); err == nil {
		return t.Add(12 * time.Hour)
	}
	return time.Time{}
}

// tagChunks bounds the search through hostile headers.
const tagChunks = 1000

func madeWAV(file *os.File) (at time.Time) {
	place := int64(12)
	for range tagChunks {
		var head [8]byte
		if _, err := file.ReadAt(head[:], place); err != nil {
			return at
		}
		size := int64(binary.LittleEndian.Uint32(head[4:]))
		body := make([]byte, min(size, 1<<16))
		switch string(head[:4]) {
		case "bext":
			if n, _ := file.ReadAt(body, place+8); n >= 338 {
				day, clock := string(body[320:330]), strings.NewReplacer("-", ":", ".", ":").Replace(string(body[330:338]))
				day = strings.NewReplacer(":", "-", "/", "-", ".", "-").Replace(day)
				if t := dated(day + " " + clock); !t.IsZero() {
					return t
				}
			}
		case "LIST":
			n, _ := file.ReadAt(body, place+8)
			if n < 4 || string(body[:4]) != "INFO" {
				break
			}
			for list := body[4:n]; len(list) > 8; {
				long := int(binary.LittleEndian.Uint32(list[4:]))
				if long < 0 || long > len(list)-8 {
					break
				}
				if string(list[:4]) == "ICRD" {
					at = dated(string(list[8 : 8+long]))
				}
				list = list[min(len(list), 8+long+long%2):]
			}
		}
		place += 8 + size + size%2
	}
	return at
}

func madeFLAC(file *os.File) time.Time {
	place := int64(4)
	for range tagChunks {
		var head [4]byte
		if _, err := file.ReadAt(head[:], place); err != nil {
			break
		}
		size := int64(head[1])<<16 | int64(head[2])<<8 | int64(head[3])
		if head[0]&0x7F == 4 {
			body := make([]byte, min(size, mostTags))
			n, _ := file.ReadAt(body, place+4)
			return comment(body[:n])
		}
		if head[0]&0x80 != 0 {
			break
		}
		place += 4 + size
	}
	return time.Time{}
}

// madeComments finds the comments of an Ogg stream.
func madeComments(data []byte) time.Time {
	for _, begin := range []string{"OpusTags", "\x03vorbis"} {
		if at := bytes.Index(data, []byte(begin)); at >= 0 {
			return comment(data[at+len(begin):])
		}
	}
	return time.Time{}
}

// comment reads the date among Vorbis comments.
func comment(data []byte) time.Time {
	text := func() (string, bool) {
		if len(data) < 4 {
			return "", false
		}
		n := binary.LittleEndian.Uint32(data)
		if int64(n) > int64(len(data)-4) {
			return "", false
		}
		s := string(data[4 : 4+n])
		data = data[4+n:]
		return s, true
	}
	if _, ok := text(); !ok || len(data) < 4 { // who wrote it
		return time.Time{}
	}
	n := binary.LittleEndian.Uint32(data)
	data = data[4:]
	for range min(n, tagChunks) {
		s, ok := text()
		if !ok {
			break
		}
		name, value, _ := strings.Cut(s, "=")
		switch strings.ToUpper(name) {
		case "DATE", "CREATION_TIME", "CREATIONTIME":
			if t := dated(value); !t.IsZero() {
				return t
			}
		}
	}
	return time.Time{}
}

func madeID3(data []byte) time.Time {
	for _, frame := range []string{"TDRC", "TDEN", "TDTG"} {
		at := bytes.Index(data, []byte(frame))
		if at < 0 || at+11 > len(data) {
			continue
		}
		long := int(binary.BigEndian.Uint32(data[at+4:]))
		if long < 1 || long > 64 || at+10+long > len(data) {
			continue
		}
		text := bytes.Map(func(r rune) rune { // UTF-16 of ASCII is ASCII and nothing
			if r < ' ' || r > '~' {
				return -1
			}
			return r
		}, data[at+11:at+10+long])
		if t := dated(string(text)); !t.IsZero() {
			return t
		}
	}
	return time.Time{}
}

// since1904 is from where MP4 counts its seconds.
var since1904 = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)

func madeMP4(file *os.File) time.Time {
	place, end := int64(0), int64(1)<<62
	for range tagChunks {
		var head [16]byte
		n, _ := file.ReadAt(head[:], place)
		if n < 8 || place >= end {
			break
		}
		size, body := int64(binary.BigEndian.Uint32(head[:])), int64(8)
		if size == 1 && n == 16 {
			size, body = int64(binary.BigEndian.Uint64(head[8:])), 16
		}
		switch string(head[4:8]) {
		case "moov":
			end = place + size
			if size == 0 { // to the end of the file
				end = int64(1) << 62
			}
			place += body
			continue
		case "mvhd":
			var box [12]byte
			if _, err := file.ReadAt(box[:], place+body); err != nil {
				return time.Time{}
			}
			seconds := int64(binary.BigEndian.Uint32(box[4:]))
			if box[0] == 1 {
				seconds = int64(binary.BigEndian.Uint64(box[4:]))
			}
			if at := since1904.Add(time.Duration(seconds) * time.Second); seconds > 0 && seconds < 1<<33 && at.Year() > 1990 {
				return at.Local()
			}
			return time.Time{}
		}
		if size < body {
			break
		}
		place += size
	}
	return time.Time{}
}
