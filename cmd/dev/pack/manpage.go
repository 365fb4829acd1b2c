package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"strings"
	"time"
)

// page is a manual page of section 1 made of what a program says of itself: what its
// --help prints, as it stands.
func page(name, about, help string, day time.Time) []byte {
	var out strings.Builder
	fmt.Fprintf(&out, ".TH %s 1 %s Endpin\n.SH NAME\n%s \\- %s\n.SH DESCRIPTION\n.nf\n",
		strings.ToUpper(roff(name)), day.Format("2006-01-02"), roff(name), roff(about))
	for line := range strings.Lines(help) {
		out.WriteString(roff(strings.TrimRight(line, "\n")) + "\n")
	}
	out.WriteString(".fi\n")
	return []byte(out.String())
}

// roff is text in which nothing is taken for a request.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		return `\&` + text
	}
	return text
}

// packed is content through gzip, the same each time.
func packed(content []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	err = w.Close()
	return out.Bytes(), err
}
