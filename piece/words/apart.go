package words

import (
	"strings"
	"unicode"
)

// Apart are the parts of a text between which a line may end: at spaces, and never at a no-break
// space, as French sets before ; : ! ? and inside « ».
func Apart(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' })
}
