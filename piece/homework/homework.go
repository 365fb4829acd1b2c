package homework

import (
	"encoding/json"
	"errors"
	"path"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"endpin/piece/finding"
	"endpin/piece/outside"
	"endpin/piece/player"
	"endpin/piece/words"
)

// version is that of the JSON written here; what has a higher one is not read.
const version = 1

// Homework is what is asked. What is empty, or 0, is left to the student's desk.
type Homework struct {
	Version  int       `json:"version"`
	Title    string    `json:"title"`               // of the piece
	File     string    `json:"piece"`               // the name of its file at the teacher's, for people
	Part     string    `json:"part,omitempty"`      // its name, or its number from 1
	Measures string    `json:"measures,omitempty"`  // as printed: "5-8"; empty for all
	QPM      float64   `json:"tempo_qpm,omitempty"` // quarter notes a minute; 0 for the piece's
	Work     string    `json:"work,omitempty"`      // one of Ways
	Level    string    `json:"level,omitempty"`     // by its name: "first-year"
	Text     string    `json:"text,omitempty"`      // one instruction in the teacher's words
	Until    string    `json:"until,omitempty"`     // a day: "2026-12-06"
	Made     time.Time `json:"made"`
	Example  string    `json:"example,omitempty"` // the entry with the teacher's recording
}

// Take is one that was handed in.
type Take struct {
	Version  int       `json:"version"`
	Player   string    `json:"player"`
	Played   time.Time `json:"played"`
	Measures string    `json:"measures,omitempty"` // those played, as printed; empty for all
	QPM      float64   `json:"tempo_qpm,omitempty"`
	Work     string    `json:"work,omitempty"`
}

// Ways are the ways to work that homework may ask for, by the desk's words.
var Ways = []string{"play-along", "play-alone", "echo", "bow-silently", "bring-up"}

// The tempos that may be asked for, quarter notes a minute.
const (
	LowestQPM  = 15
	HighestQPM = 400
)

// LongestText is how many characters an instruction may have: what is read in large
// words in one look.
const LongestText = 280

const longestName = 200 // of a title, a part, a player, in characters

// Check says what is wrong with what is asked, and gives it as it is fit to be shown.
func (h Homework) Check() (Homework, error) {
	for _, line := range []*string{&h.Title, &h.File, &h.Part, &h.Measures} {
		*line = outside.Short(*line, longestName)
	}
	h.Text = outside.Line(h.Text)
	switch n := utf8.RuneCountInString(h.Text); {
	case n > LongestText:
		return h, words.Fault("homework.text.long", "n", n, "most", LongestText)
	case h.QPM != 0 && !(h.QPM >= LowestQPM && h.QPM <= HighestQPM):
		return h, words.Fault("homework.tempo", "typed", h.QPM, "least", LowestQPM, "most", HighestQPM)
	case h.Work != "" && !slices.Contains(Ways, h.Work):
		return h, words.Fault("homework.work", "typed", words.QuotedHead(h.Work, longestName), "ways", words.Row(Ways...))
	}
	if h.Level != "" {
		if _, err := finding.LevelByName(h.Level); err != nil {
			return h, words.Fault("homework.level", "typed", words.QuotedHead(h.Level, longestName))
		}
	}
	if _, err := h.Day(); err != nil {
		return h, err
	}
	if name := h.Example; name != "" && (path.Base(name) != name || !strings.HasPrefix(name, exampleName+".")) {
		return h, words.Fault("homework.example.name", "name", words.QuotedHead(name, longestName))
	}
	return h, nil
}

// Day is the day until which it is to be done; zero where none is said.
func (h Homework) Day() (time.Time, error) {
	if h.Until == "" {
		return time.Time{}, nil
	}
	day, err := time.Parse(time.DateOnly, h.Until)
	if err != nil {
		return day, words.Fault("homework.until", "typed", words.QuotedHead(h.Until, longestName))
	}
	return day, nil
}

// check is Check of a take.
func (t Take) check() (Take, error) {
	name, err := player.Name(outside.Short(t.Player, longestName))
	if err != nil {
		return t, err
	}
	t.Player, t.Measures = name, outside.Short(t.Measures, longestName)
	if t.QPM != 0 && !(t.QPM >= LowestQPM && t.QPM <= HighestQPM) || !slices.Contains(Ways, t.Work) {
		t.QPM, t.Work = 0, "" // told of the take, and asked of nobody
	}
	return t, nil
}

// ofJSON says what is wrong with JSON: at which byte, or in which field.
func ofJSON(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &kind):
		return words.Fault("homework.json.field", "field", kind.Field, "is", kind.Value)
	case errors.As(err, &syntax):
		return words.Fault("homework.json.syntax", "at", syntax.Offset)
	}
	return words.Fault("homework.json", "err", err)
}

// Lines tell what is asked, each a sentence: for the text in the file, and the desk.
func (h Homework) Lines() (lines []words.Sentence) {
	what := words.Of("homework.says.whole", "title", h.Title)
	if h.Measures != "" {
		what = words.Of("homework.says.measures", "title", h.Title, "measures", h.Measures)
	}
	lines = append(lines, what)
	if h.Work != "" {
		lines = append(lines, words.Of("homework.says."+h.Work))
	}
	if h.QPM > 0 {
		lines = append(lines, words.Of("homework.says.tempo", "tempo", words.Significant(h.QPM, 4)))
	}
	if h.Level != "" {
		lines = append(lines, words.Of("homework.says.level", "level", words.Of("window.level."+h.Level)))
	}
	if day, err := h.Day(); err == nil && !day.IsZero() {
		lines = append(lines, words.Of("homework.says.until", "day", words.DayOfWeek(day)))
	}
	return lines
}
