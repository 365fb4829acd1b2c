package notation_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/midi"
	"endpin/piece/notation"
	"endpin/piece/scoretest"
)

// Source: abc2midi 4.84 for pitches and times; the octave between the page and
// the double bass, which it does not know, is taken off again.
func TestABCTunesSoundAsABC2MIDIPlaysThem(t *testing.T) {
	head := func(m, l, k string) string {
		return fmt.Sprintf("X:1\nT:Test\nM:%s\nL:%s\nQ:1/4=120\nK:%s\n", m, l, k)
	}
	for name, abc := range map[string]string{
		"lengths":                           head("4/4", "1/8", "C bass") + "C,2 D, E,/ F,/ G,3/2 A,/ B,, |C,4 z2 D,// E,// F,/4 G,/4 A,|\n",
		"every octave":                      head("4/4", "1/4", "C bass") + "E,, E, E e|e, e' E' C|\n",
		"accidentals last a bar":            head("4/4", "1/4", "C bass") + "^F, F, =F, F,|F, _B, B, B,|B, ^^C, C, __E,|\n",
		"accidentals reach octaves":         head("4/4", "1/4", "C bass") + "^F, F f F,|F F, f F|\n",
		"keys":                              head("4/4", "1/4", "Eb bass") + "E, F, G, A,|B, C D =E|\n[K:F#m] F, G, A, B,|C D E F|\n[K:Ador] F, C G, B,|[K:D mix] F, C G, B,|[K:Bb lyd] E B, A, F,|[K:E phr] F, C G, B,|[K:Bloc] F, C G, B,|\n",
		"a bagpipe key":                     head("4/4", "1/4", "HP") + "F C G B|\n",
		"a key with accidentals of its own": head("4/4", "1/4", "D exp _b ^f") + "F C G B|[K:Dmaj _b =c] F C G B|\n",
		"broken rhythm":                     head("4/4", "1/8", "G bass") + "G,>A, B,<C D>>E F<<G|G,>>>A, B,<<<C D2>E2|\n",
		"tuplets":                           head("4/4", "1/8", "G bass") + "(3G,A,B, (3C2D2E2 z2|(5:4:5G,A,B,CD (3:2:2G,2A, G,2|(6G,A,B,CDE (7:4:7G,A,B,CDEF|\n",
		"tuplets in 6/8":                    head("6/8", "1/8", "G bass") + "(2G,A, (4CDEF|(3G,A,B, G,4|(5G,A,B,CD G,3|\n",
		"a tuplet with rests and chords":    head("2/4", "1/8", "C bass") + "(3C,zE, (3[E,G,]C,z|\n",
		"repeats":                           head("4/4", "1/1", "C bass") + "C,|D,:|E,|:F,:|G,::A,:|\n",
		"endings":                           head("4/4", "1/1", "C bass") + "|:C,|D,|1 E,:|2 F,|G,|]\n",
		"endings in brackets":               head("4/4", "1/1", "C bass") + "|:C,|D,|[1 E,:|[2 F,||G,|]\n",
		"ties":                              head("4/4", "1/4", "C bass") + "C, D, E, F,-|F, F, G,2-|G,4-|G,2 ^F,2-|F,F,G,A,|\n",
		"rests of measures":                 head("3/4", "1/4", "C bass") + "C,3|Z2|z C,2|Z|C,3|\n",
		"a pickup":                          head("3/4", "1/4", "F bass") + "C,|F,2G,|A,3|\n",
		"meter and unit change":             head("4/4", "1/8", "C bass") + "C,2D,2E,2F,2|[M:3/4][L:1/4]C,D,E,|\nM:6/8\nL:1/8\nC,D,E, F,G,A,|\n",
		"no unit, short meter":              "X:1\nM:2/4\nK:C bass\nC,4D,4|E,8|\n",
		"no unit, long meter":               "X:1\nM:3/4\nK:C bass\nC,2D,2E,2|\n",
		"octave":                            head("4/4", "1/4", "C clef=bass octave=-2") + "E A c e|\n",
		"lines run on":                      head("4/4", "1/4", "C bass") + "C, D, \\\nE, F,|% a comment\n%%stretchlast\nw: la la\nG, A, B, C|\n",
		"decorations and words":             head("4/4", "1/4", "C bass") + "!upbow!C, uD, \"^III\"!4!E, .F,|\"^Am\"A, LB, HC2|\n",
	} {
		t.Run(name, func(t *testing.T) {
			p, err := notation.Read("tune.abc", []byte(abc))
			require.NoError(t, err)
			line, _ := p.Line()
			theirs := scoretest.ABC2MIDI(t, abc)
			if name == "a tuplet with rests and chords" { // we play one note of a chord
				theirs = slices.DeleteFunc(theirs, func(n midi.Note) bool { return n.Pitch == 55 })
			}
			require.Len(t, line, len(theirs))
			// abc2midi begins each note a tick after its place, and counts
			// 480 ticks to a quarter note: round both to that.
			for i, n := range line {
				assert.Equal(t, theirs[i].Pitch, n.MIDI-p.Transposed, "note %d", i)
				assert.InDelta(t, theirs[i].On, n.Onset.Quarters(), 1./240, "note %d", i)
			}
		})
	}
}

func TestTheFixturesSoundAsABC2MIDIPlaysThem(t *testing.T) {
	for f, data := range scoretest.Files(t, "testdata/pieces/*.abc") {
		p, err := notation.Read(f, data)
		require.NoError(t, err)
		page := -p.Transposed
		if strings.Contains(string(data), "bass-8") {
			page = 0 // which abc2midi knows
		}
		line, _ := p.Line()
		theirs := scoretest.ABC2MIDI(t, string(data))
		require.Len(t, line, len(theirs), f)
		for i, n := range line {
			assert.Equal(t, theirs[i].Pitch, n.MIDI+page, "%s measure %s", f, n.Number)
			assert.InDelta(t, theirs[i].On, n.Onset.Quarters(), 1./240, "%s measure %s", f, n.Number)
		}
	}
}
