package class

import (
	"regexp"
	"strconv"
	"time"
)

// By is what tells when a recording was made.
type By string

// In order of what is believed first: a name goes with its file wherever it is copied, what a
// recorder wrote into it with all but what an app sends on, and the file's own time with neither.
const (
	ByName      By = "name"
	ByRecording By = "recording"
	ByFile      By = "file"
)

// dateInName is a day, and perhaps a time, as phones, recorders and the desk write
// them into a name: 2026-11-02 17-30-05, 20261102_1730, 2026.11.02.
var dateInName = regexp.MustCompile(`(?:^|\D)((?:19|20)\d\d)([-_.]?)(0[1-9]|1[0-2])([-_.]?)(0[1-9]|[12]\d|3[01])(?:[-_. T]{1,2}(?:at )?([01]\d|2[0-3])[-_.:h]?([0-5]\d)(?:[-_.:m]?([0-5]\d))?)?(?:\D|$)`)

// dayInName is a day as people write it: 20.11.2026, 20-11-26; in a country that writes the
// month first it is told only where the day is above twelve.
var dayInName = regexp.MustCompile(`(?:^|\D)(0?[1-9]|[12]\d|3[01])([-_.])(0?[1-9]|[12]\d|3[01])([-_.])((?:20)?\d\d)(?:\D|$)`)

// Played is when a recording was made: by the date in its name, else by what the recorder
// wrote into it, zero where it wrote nothing, else by when the file was written. A name with a
// day alone has the time of that day from the others, or noon.
func Played(name string, recorded, written time.Time) (time.Time, By) {
	at, by := written, ByFile
	if !recorded.IsZero() {
		at, by = recorded.In(written.Location()), ByRecording
	}
	year, month, day, clock := inName(name)
	if year == 0 {
		return at, by
	}
	if clock == nil {
		for _, other := range []time.Time{at, written} {
			if y, m, d := other.Date(); y == year && int(m) == month && d == day {
				return other, ByName
			}
		}
		clock = []int{12, 0, 0}
	}
	return time.Date(year, time.Month(month), day, clock[0], clock[1], clock[2], 0, written.Location()), ByName
}

// inName is the day in a name, and the time where it stands there; year 0 for none.
func inName(name string) (year, month, day int, clock []int) {
	number := func(s string) int { n, _ := strconv.Atoi(s); return n }
	is := func(y, m, d int) bool {
		return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC).Day() == d && m <= 12
	}
	if m := dateInName.FindStringSubmatch(name); m != nil && m[2] == m[4] && is(number(m[1]), number(m[3]), number(m[5])) {
		if m[6] != "" {
			clock = []int{number(m[6]), number(m[7]), number(m[8])}
		}
		return number(m[1]), number(m[3]), number(m[5]), clock
	}
	m := dayInName.FindStringSubmatch(name)
	if m == nil || m[2] != m[4] {
		return 0, 0, 0, nil
	}
	day, month, year = number(m[1]), number(m[3]), number(m[5])
	if year < 100 {
		year += 2000
	}
	if m[2] != "." && day <= 12 && month <= 12 && day != month { // the eleventh of December, or the twelfth of November
		return 0, 0, 0, nil
	}
	if month > 12 {
		day, month = month, day
	}
	if !is(year, month, day) {
		return 0, 0, 0, nil
	}
	return year, month, day, nil
}
