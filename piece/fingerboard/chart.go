package fingerboard

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"endpin/piece/words"
)

// Chart draws the fingerboard: the positions from the nut down the page, the
// strings from the lowest to the highest across it, and under each the notes
// with their fingers. Reaches stand in brackets; fingers used only when marked
// are left out.
func (in Instrument) Chart() string {
	rows := [][]string{{"position", "hand at"}}
	for i := len(in.Strings) - 1; i >= 0; i-- {
		rows[0] = append(rows[0], in.Strings[i].Name+" = "+words.Pitch(in.Strings[i].MIDI).String())
	}
	table := in.System.Positions
	for n, p := range table {
		if n > 0 && p.Token == "thumb" && table[n-1].Token == "thumb" {
			continue // and so on by semitones
		}
		row := []string{p.Token, fmt.Sprintf("+%d", p.At)}
		for i := len(in.Strings) - 1; i >= 0; i-- {
			row = append(row, cell(p, in.Strings[i], in.Reach))
		}
		rows = append(rows, row)
	}
	last := table[len(table)-1]
	return in.Name.String() + ", " + in.System.Name + "\n" + columns(rows) +
		fmt.Sprintf("and so on by semitones up to %s at +%d\n", last.Token, last.At)
}

// String is the chart.
func (in Instrument) String() string { return in.Chart() }

func cell(p Position, s String, reach int) string {
	var notes []string
	for _, f := range p.Hand {
		h := p.At + f.Above
		if f.How == MarkedOnly || h < 1 || h > reach {
			continue
		}
		n := f.Name + " " + words.Pitch(s.MIDI+h).String()
		if f.How == Reaching {
			n = "(" + n + ")"
		}
		notes = append(notes, n)
	}
	return strings.Join(notes, "  ")
}

// columns sets rows in columns, widths counted in characters.
func columns(rows [][]string) string {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, c := range row {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		var line strings.Builder
		for i, c := range row {
			line.WriteString(c + strings.Repeat(" ", width[i]-utf8.RuneCountInString(c)+2))
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	return b.String()
}
