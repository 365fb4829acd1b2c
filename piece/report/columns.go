package report

import (
	"slices"
	"strings"

	"github.com/rivo/uniseg"

	"endpin/piece/outside"
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

// wide counts the columns that a text takes on a terminal.
func wide(s string) int { return paper.Wide(s) }

// clean makes text from a file fit to stand in a line.
func clean(s string) string { return outside.Line(s) }

// wrap breaks text into lines of at most so many columns, between words where
// it can and inside a word that is longer than a line.
func wrap(text string, columns int) []string {
	columns = max(columns, 2)
	var lines []string
	line := ""
	for _, word := range words.Apart(text) {
		if line != "" && len(word) <= 8*columns && wide(line)+1+wide(word) <= columns {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; ; {
			head, tail := split(line, columns)
			if line = head; tail == "" {
				break
			}
			lines = append(lines, head)
			line = tail
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// split cuts a word after as many whole characters as fit, at least one.
func split(word string, columns int) (head, tail string) {
	used, at := 0, 0
	rest, state := word, -1
	for rest != "" {
		var cluster string
		var w int
		cluster, rest, w, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if at > 0 && used+w > columns {
			break
		}
		used, at = used+w, at+len(cluster)
	}
	return word[:at], word[at:]
}

// pad fills a text up to so many columns.
func pad(s string, columns int) string { return s + strings.Repeat(" ", max(0, columns-wide(s))) }

// grid sets rows in columns under a head. The column flexible gives way where
// the whole would be wider than columns, and after it the widest; they are broken into
// lines.
func grid(rows [][]string, flexible, columns int) string {
	const gap = 2
	width := make([]int, len(rows[0]))
	total := gap * (len(width) - 1)
	for c := range width {
		for _, row := range rows {
			width[c] = max(width[c], wide(row[c]))
		}
		total += width[c]
	}
	flex := max(12, min(width[flexible], width[flexible]-(total-columns)))
	total -= width[flexible] - flex
	for width[flexible] = flex; total > columns; total-- {
		width[slices.Index(width, slices.Max(width))]--
	}
	var b strings.Builder
	for _, row := range rows {
		broken := make([][]string, len(row))
		height := 1
		for c := range row {
			broken[c] = wrap(row[c], width[c])
			height = max(height, len(broken[c]))
		}
		for l := range height {
			line := ""
			for c := range row {
				cell := ""
				if l < len(broken[c]) {
					cell = broken[c][l]
				}
				line += pad(cell, width[c]+gap)
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
	return b.String()
}
