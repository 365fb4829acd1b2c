package sheets

import (
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"

	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/outside"
)

// ClassCSV writes one row a finding (RFC 4180), for a spreadsheet: with the mark
// that tells it UTF-8, and no cell that it would take for a formula. comma separates the cells; where
// that is a semicolon, decimals have a comma, as in the countries whose spreadsheets
// write so. Times are ISO 8601, and each value has its unit beside it. line is the teacher's own of a
// student; nil for none. A student without a finding has one row. The error is w's.
func ClassCSV(w io.Writer, sheets []*class.Sheet, comma rune, line func(name string) string) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if comma != 0 {
		out.Comma = comma
	}
	number := func(x float64) string {
		s := strconv.FormatFloat(x, 'f', -1, 64)
		if comma == ';' {
			s = strings.Replace(s, ".", ",", 1)
		}
		return s
	}
	_ = out.Write([]string{"name", "recording", "status", "reason", "measure", "to_measure", "time_round", "beat", "kind", "value", "unit", "trust", "at_s", "worth_fixing", "text",
		"piece", "played_at", "dated_by", "struck", "teacher"})
	for _, s := range sheets {
		for i := range s.Students {
			st := &s.Students[i]
			recording := ""
			if st.Recording != nil {
				recording = *st.Recording
			}
			own := ""
			if line != nil {
				own = line(st.Name)
			}
			head := []string{outside.Cell(st.Name), outside.Cell(recording), string(st.Status), outside.Cell(st.Reason)}
			tail := func(struck string) []string {
				return []string{outside.Cell(s.Piece), st.PlayedAt, string(st.DatedBy), struck, outside.Cell(own)}
			}
			if len(st.Findings) == 0 {
				_ = out.Write(slices.Concat(head, make([]string, 11), tail("")))
			}
			for k := range st.Findings {
				f := &st.Findings[k]
				first, struck := "", ""
				if n := slices.Index(st.WorthFixing, k); n >= 0 {
					first = strconv.Itoa(n + 1)
				}
				if slices.Contains(st.Struck, k) {
					struck = "yes"
				}
				_ = out.Write(slices.Concat(head, []string{outside.Cell(f.Measure), outside.Cell(f.ToMeasure), strconv.Itoa(f.Pass), number(f.Beat), string(f.Kind), number(f.Value),
					csvUnit(f.Kind), string(f.Trust), number(f.At), first, outside.Cell(f.Text)}, tail(struck)))
			}
		}
	}
	out.Flush()
	return out.Error()
}

// csvUnit is the unit of a kind's value, as the table writes it.
func csvUnit(k finding.Kind) string {
	row := k.Row()
	switch {
	case row.About == finding.WentBack:
		return "measure gone back to"
	case row.About == finding.Measures && row.Unit == finding.NoUnit:
		return "measures"
	}
	return map[finding.Unit]string{finding.Cents: "cents", finding.Milliseconds: "ms", finding.WrittenLengths: "times the written length", finding.BeatsOff: "beats",
		finding.Semitones: "semitones", finding.QuartersAMinute: "quarter notes a minute", finding.PaceShare: "times the rest's pace", finding.Seconds: "s"}[row.Unit]
}
