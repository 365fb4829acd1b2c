package diary

import (
	"sync"
	"time"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Take is one recording that was heard, as it is put into the diary.
type Take struct {
	Player  string
	Piece   *piece.Piece
	Copy    Copy      // the file that the piece was read from
	Content string    // SoundContent of the recording
	At      time.Time // when it was played; its location is the player's zone
	Dated   bool      // the player says so; else the file does
	Now     time.Time
	Asked   Asked
	Level   finding.Level
	Hearing *finding.Hearing
	Sound   *Sound // the recording; nil where it is not to be kept
}

// Copy is a piece as it lies in a file.
type Copy struct {
	Name string // the file's, without its folder: it tells the format
	Part string // the part asked for; empty for none
	Data []byte
}

// Asked are the options that a take was judged by, so that kept sound can be
// judged by them again.
type Asked struct {
	Measures   string   `json:"measures,omitempty"`
	QPM        float64  `json:"tempo,omitempty"`
	A4         float64  `json:"a4,omitempty"`
	Intonation string   `json:"intonation"`
	Level      string   `json:"level"`
	Instrument string   `json:"instrument"`
	Positions  []string `json:"positions,omitempty"`
	School     string   `json:"school,omitempty"` // as it was asked for; empty for the piece's own, or the instrument's
}

// Added says what became of a take.
type Added struct {
	Take     int64
	Player   string // as the diary spells the name
	Already  bool   // the diary had it, and nothing was added
	At       time.Time
	Warnings []string // sentences: a date that cannot be right, a fingering that is new, sound let go
}

// zoned is a moment as the diary keeps it.
func zoned(t time.Time) (ms int64, zone int, day string) {
	_, seconds := t.Zone()
	return t.UnixMilli(), seconds / 60, t.Format(time.DateOnly)
}

// moment is a moment that the diary kept, in the player's zone as it was then.
func moment(ms int64, zone int) time.Time {
	return time.UnixMilli(ms).In(zones(zone))
}

// zones gives one location for each offset, so that moments of one zone can be
// compared as they are.
func zones(minutes int) *time.Location {
	if l, there := zoneOf.Load(minutes); there {
		return l.(*time.Location)
	}
	l, _ := zoneOf.LoadOrStore(minutes, time.FixedZone("", 60*minutes))
	return l.(*time.Location)
}

var zoneOf sync.Map // minutes east of Greenwich -> *time.Location

// Dates that a clock set wrong gives.
const (
	Ahead    = time.Hour // a take may be dated after now by: clocks differ
	earliest = 1990      // year before which nobody recorded into such a file
)

// doubt says why the date of a take cannot be right, "" where it can.
func doubt(at, now time.Time) string {
	switch {
	case at.After(now.Add(Ahead)):
		return words.Say("diary.date.to-come", "date", words.Day(at).WithHour())
	case at.Year() < earliest:
		return words.Say("diary.date.long-ago", "date", words.Day(at))
	}
	return ""
}
