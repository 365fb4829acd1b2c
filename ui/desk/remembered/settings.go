// Package remembered is what a desk remembers from one day to the next: its settings, and
// which keys its pedals send. Read Settings first.
package remembered

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/wholefile"
	"endpin/piece/words"
	"endpin/ui/desk/fingering"
	"endpin/ui/desk/room"
	"endpin/ui/desk/work"
)

// Settings are what the desk remembers from one day to the next, in one small
// JSON file.
type Settings struct {
	Version     int     `json:"version"`
	Microphone  string  `json:"microphone"`  // by its name; "" is the system's own choice
	Loudspeaker string  `json:"loudspeaker"` // likewise
	A4          float64 `json:"a4_hz"`
	Intonation  string  `json:"intonation"`
	Level       string  `json:"level"`
	CountIn     int     `json:"count_in_measures"`
	Silence     float64 `json:"silence_s"`
	Size        int     `json:"size"` // of the page: 0 small, 1 middle, 2 large
	Dark        bool    `json:"dark"`
	Pedals      Pedals  `json:"pedals"`
	CautionSeen bool    `json:"caution_seen"`
	Language    string  `json:"language,omitempty"` // by its tag; "" is the system's own
	Player      string  `json:"player"`             // whose takes these are; "" puts them into no diary

	Sounds     work.Sound `json:"sounds"`           // what sounds while one plays along
	Spoken     bool       `json:"spoken_count_in"`  // numbers, not clicks
	Headphones bool       `json:"headphones"`       // so that the microphone hears nothing of it
	Drone      string     `json:"drone"`            // see room.Drones
	DroneUp    int        `json:"drone_octaves_up"` // 0 to room.MostDroneUp
	CleanTimes int        `json:"clean_times"`      // that take a step of a bring-up
	Step       float64    `json:"step_qpm"`         // how much faster a step is
	LongestBow float64    `json:"longest_bow_s"`    // 0: as long as the level lets expect

	// Fingerings are those taken on the desk, by what a piece is known by (piece.Content).
	Fingerings map[string]fingering.Way `json:"fingerings,omitempty"`

	// Latency is the measured round trip, s, by pair of devices (see room.Pair).
	Latency map[string]float64 `json:"latency_s"`
}

// Sizes are how many sizes the page has.
const Sizes = 3

// What may be chosen of a bring-up.
const (
	MostCleanTimes = 5
	MostStep       = 20 // quarter notes a minute
	ShortestBow    = 1  // s
	MostBow        = 20
)

// Default are those of the first day.
func Default() Settings {
	return Settings{Version: 1, A4: 440, Intonation: finding.Equal.Name, Level: finding.Intermediate.Name,
		CountIn: 1, Silence: work.DefaultSilence, Size: 1, Latency: map[string]float64{}, Fingerings: map[string]fingering.Way{},
		Sounds: work.SoundClick, Drone: room.Drones[0].Name, DroneUp: room.MostDroneUp, CleanTimes: practice.Clean, Step: practice.Step}
}

// Load reads settings; where there are none yet it gives those of the
// first day. A file that cannot be read is put aside, not written over, and the
// error says so; the settings returned serve all the same.
func Load(path string) (Settings, error) {
	s := Default()
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	if err == nil {
		err = json.Unmarshal(data, &s)
	}
	if err != nil {
		aside := path + ".unreadable"
		if e := os.Rename(path, aside); e != nil {
			aside = path
		}
		return Default(), words.Fault("desk.settings.unreadable", "path", path, "err", err, "aside", filepath.Base(aside))
	}
	s.Mend()
	return s, nil
}

// Language is the one that settings name, "" for none; nothing else is looked at.
func Language(path string) string {
	var s struct{ Language string }
	if data, err := os.ReadFile(path); err == nil {
		_ = json.Unmarshal(data, &s) // what is wrong with it Load says
	}
	return s.Language
}

// Mend puts what is out of bounds back to the first day's.
func (s *Settings) Mend() {
	d := Default()
	if !(s.A4 >= finding.LowestA4 && s.A4 <= finding.HighestA4) {
		s.A4 = d.A4
	}
	if _, err := finding.IntonationByName(s.Intonation); err != nil {
		s.Intonation = d.Intonation
	}
	if _, err := finding.LevelByName(s.Level); err != nil {
		s.Level = d.Level
	}
	if !slices.Contains(words.Languages(), s.Language) {
		s.Language = d.Language
	}
	if !slices.Contains(AllPedals, s.Pedals) {
		s.Pedals = d.Pedals
	}
	if s.CountIn < work.LeastCountIn || s.CountIn > work.MostCountIn {
		s.CountIn = d.CountIn
	}
	if !(s.Silence >= 1 && s.Silence <= 60) {
		s.Silence = d.Silence
	}
	if !slices.Contains(work.AllSounds, s.Sounds) {
		s.Sounds = d.Sounds
	}
	if !slices.ContainsFunc(room.Drones, func(x room.Drone) bool { return x.Name == s.Drone }) {
		s.Drone = d.Drone
	}
	s.DroneUp = max(0, min(room.MostDroneUp, s.DroneUp))
	if s.CleanTimes < 1 || s.CleanTimes > MostCleanTimes {
		s.CleanTimes = d.CleanTimes
	}
	if !(s.Step >= 1 && s.Step <= MostStep) {
		s.Step = d.Step
	}
	if !(s.LongestBow >= ShortestBow && s.LongestBow <= MostBow) {
		s.LongestBow = 0
	}
	s.Size = max(0, min(Sizes-1, s.Size))
	if s.Fingerings == nil {
		s.Fingerings = map[string]fingering.Way{}
	}
	if s.Latency == nil {
		s.Latency = map[string]float64{}
	}
	s.Version = d.Version
}

// Save writes settings, whole or not at all.
func (s Settings) Save(path string) error {
	data, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return err
	}
	return wholefile.Write(path, append(data, '\n'))
}

// Bow is how long one bow lasts: as was set, or as the level lets expect.
func (s Settings) Bow() outline.Bow {
	if s.LongestBow > 0 {
		return outline.BowOf(s.LongestBow)
	}
	return outline.BowAt(s.Level)
}

// Judging is how a take of a piece of work is judged: what `endpin hear` would
// be told on its command line.
func (s Settings) Judging() finding.Options {
	var o finding.Options
	o.A4 = s.A4
	o.Level, _ = finding.LevelByName(s.Level)
	o.Intonation, _ = finding.IntonationByName(s.Intonation)
	return o
}
