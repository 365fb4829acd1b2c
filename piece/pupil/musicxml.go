package pupil

import (
	"encoding/xml"
	"fmt"
	"strings"

	"endpin/piece"
)

// MusicXML writes a composed tune as a MusicXML 4.0 file (partwise), as a
// notation program would for the double bass: written an octave above its
// sound, with the transposition told. Position marks have no element there;
// finger and string tell the same.
func (t *Tune) MusicXML() []byte {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="4.0">
`)
	fmt.Fprintf(&b, "<work><work-title>%s</work-title></work>\n", escape(t.Piece.Title))
	b.WriteString("<part-list><score-part id=\"P1\"><part-name>Double Bass</part-name></score-part></part-list>\n<part id=\"P1\">\n")
	for i, m := range t.Piece.Measures {
		implicit := ""
		if m.Implicit {
			implicit = ` implicit="yes"`
		}
		fmt.Fprintf(&b, "<measure number=\"%s\"%s>\n", escape(m.Number), implicit)
		if i == 0 {
			fmt.Fprintf(&b, "<attributes><divisions>%d</divisions><key><fifths>%d</fifths></key><time><beats>%d</beats><beat-type>%d</beat-type></time>"+
				"<clef><sign>F</sign><line>4</line></clef><transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>\n",
				piece.Quarter, m.Key.Fifths, m.Time.Beats, m.Time.Unit)
			fmt.Fprintf(&b, "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>%g</per-minute></metronome></direction-type><sound tempo=\"%g\"/></direction>\n", t.QPM, t.QPM)
		}
		for _, n := range m.Notes {
			writeNote(&b, n)
		}
		b.WriteString("</measure>\n")
	}
	b.WriteString("</part>\n</score-partwise>\n")
	return []byte(b.String())
}

func writeNote(b *strings.Builder, n piece.Note) {
	b.WriteString("<note>")
	if n.Rest {
		b.WriteString("<rest/>")
	} else {
		b.WriteString("<pitch><step>" + n.Step + "</step>")
		if n.Alter != 0 {
			fmt.Fprintf(b, "<alter>%d</alter>", n.Alter)
		}
		fmt.Fprintf(b, "<octave>%d</octave></pitch>", n.Octave)
	}
	fmt.Fprintf(b, "<duration>%d</duration><type>%s</type>%s", n.Length, n.Value, strings.Repeat("<dot/>", n.Dots))
	if n.Tuplet.Actual != 0 {
		fmt.Fprintf(b, "<time-modification><actual-notes>%d</actual-notes><normal-notes>%d</normal-notes></time-modification>", n.Tuplet.Actual, n.Tuplet.Normal)
	}
	var notations strings.Builder
	if n.SlurFrom {
		notations.WriteString(`<slur type="stop" number="1"/>`)
	}
	if n.SlurTo {
		notations.WriteString(`<slur type="start" number="1"/>`)
	}
	if n.Marks.Finger != "" {
		notations.WriteString("<technical>")
		if n.Marks.Open {
			notations.WriteString("<open-string/>")
		} else {
			notations.WriteString("<fingering>" + n.Marks.Finger + "</fingering>")
		}
		fmt.Fprintf(&notations, "<string>%d</string></technical>", n.Marks.String)
	}
	if notations.Len() > 0 {
		b.WriteString("<notations>" + notations.String() + "</notations>")
	}
	b.WriteString("</note>\n")
}

func escape(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s))
	return b.String()
}
