package class

import (
	"path/filepath"
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endpin/piece/outside"
)

// What a phone, a mail program or a child adds to a name in a file's name
// (common practice, no source).
var (
	copies   = regexp.MustCompile(`(?i)^copy of |[ _-]*(\(\d+\)|[-–] ?(copy|kopie)( ?\d+)?|\bcopy( \d+)?$)`)
	dates    = regexp.MustCompile(`\b(19|20)\d\d[-._ ]?[01]\d[-._ ]?[0-3]\d([T _-]+\d\d[-.:h_ ]?\d\d([-.:m_ ]?\d\d)?)?\b|\b[0-3]?\d[-.][01]?\d[-.](20)?\d\d\b`)
	machine  = regexp.MustCompile(`(?i)^(img|mov|vid|video|audio|aud|rec|recording|new recording|voice|voice memo|memo|ptt|wa|pxl|dsc|mvi|clip|track|untitled|sprachaufnahme|aufnahme)?[ _\d-]*(wa)?[ _\d-]*$`)
	company  = regexp.MustCompile(`(?i)[ _-]*(\b(with|and)|[&+])?[ _]*\b(my |the )?(teacher|piano|metronome|backing track|backing|accompaniment)\b`)
	glued    = regexp.MustCompile(`(\p{L}{2})(\d{1,3})\b`)
	versions = regexp.MustCompile(`(?i)\b(v|take|ver|no|nr|period|per|p|hour|grade|gr)[ .]?\d+\b|#\d+|\b\d+ ?k(hz)?\b`)
	numbers  = regexp.MustCompile(`(^|\s)\d+(\s|$)`)
)

// Clean makes a student's name of the name of a file: what phones and mail
// programs add is taken away, and "Müller, Anna" becomes "Anna Müller". pieces are
// titles, which many put into the name. Where nothing
// of a name is left, the file's name without its extension serves.
func Clean(file string, pieces ...string) string {
	file = norm.NFC.String(filepath.Base(file))
	bare := strings.TrimSuffix(file, filepath.Ext(file))
	if ext := filepath.Ext(bare); media[strings.ToLower(ext)] {
		bare = strings.TrimSuffix(bare, ext)
	}
	whole := outside.Line(bare)
	if machine.MatchString(whole) {
		return orFile(whole, file)
	}
	s := copies.ReplaceAllString(whole, " ")
	s = dates.ReplaceAllString(strings.ReplaceAll(s, "_", " "), " ")
	for _, piece := range pieces {
		if piece == "" {
			continue
		}
		s = regexp.MustCompile(`(?i)`+strings.ReplaceAll(regexp.QuoteMeta(norm.NFC.String(piece)), " ", `[ _.-]*`)).ReplaceAllString(s, " - ")
	}
	s = company.ReplaceAllString(glued.ReplaceAllString(s, "$1 $2"), " - ")
	s = versions.ReplaceAllString(s, " ")
	s = withoutOrdinary(s)
	best := ""
	for _, part := range regexp.MustCompile(`\s[-–—]+\s|[-–—]{2,}|\s[-–—]+$|^[-–—]+\s|[()\[\]{}+]`).Split(s, -1) {
		if machine.MatchString(strings.TrimSpace(part)) && letters(part) > 0 {
			continue // the phone's own name for it, beside the student's
		}
		part = numbers.ReplaceAllString(" "+part+" ", " ")
		part = strings.TrimFunc(numbers.ReplaceAllString(part, " "), func(r rune) bool { return !unicode.IsLetter(r) && r != '.' || r == '.' })
		if letters(part) > 0 && best == "" {
			best = part
		}
	}
	if !strings.Contains(best, " ") {
		best = strings.NewReplacer(".", " ", "-", " ").Replace(best)
	}
	if last, first, ok := strings.Cut(best, ","); ok && letters(last) > 0 && letters(first) > 0 {
		best = strings.TrimSpace(first) + " " + strings.TrimSpace(last)
	}
	best = parted(strings.Join(strings.Fields(best), " "))
	if letters(best) == 0 {
		return orFile(whole, file)
	}
	return titled(best)
}

// withoutOrdinary leaves out the words that name nobody, and what stands between them
// and a name: "Devoir de Anna".
func withoutOrdinary(s string) string {
	for _, w := range ordinary().glued {
		s = strings.ReplaceAll(s, w, " ")
	}
	after := false
	return together.ReplaceAllStringFunc(s, func(w string) string {
		if after = !names(w) && (after || !particle(w)); after {
			return " "
		}
		return w
	})
}

// parted puts a space into "AnnaMüller".
func parted(s string) string {
	if strings.Contains(s, " ") {
		return s
	}
	return humps.ReplaceAllString(s, "$1 $2")
}

// titled gives small names capitals: "anna müller".
func titled(s string) string {
	if strings.ToLower(s) != s {
		return s
	}
	parts := strings.Fields(s)
	for i, w := range parts {
		r := []rune(w)
		r[0] = unicode.ToTitle(r[0])
		parts[i] = string(r)
	}
	return strings.Join(parts, " ")
}

func orFile(s, file string) string {
	if s == "" {
		return file
	}
	return s
}

// media are extensions of recordings, for telling "take.m4a.mp4" and files that
// were meant to be heard from others.
var media = map[string]bool{".wav": true, ".flac": true, ".mp3": true, ".m4a": true, ".mp4": true, ".mov": true, ".webm": true,
	".ogg": true, ".oga": true, ".opus": true, ".amr": true, ".3gp": true, ".3gpp": true, ".aac": true, ".aif": true, ".aiff": true,
	".caf": true, ".wma": true, ".mkv": true, ".avi": true, ".m4v": true, ".mpg": true, ".mpeg": true, ".3g2": true, ".mka": true, ".gsm": true}

// IsMedia reports whether a file is named as a recording is.
func IsMedia(file string) bool { return media[strings.ToLower(filepath.Ext(file))] }
