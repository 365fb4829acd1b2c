package engraving

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// crowded is a page that asks for everything at once.
const crowded = `X:1
T:Crowded
M:4/4
L:1/8
Q:1/4=96
K:Eb clef=bass
P:A
|: E,,2F,,/G,,/A,,/B,,/ (C,D,E,F,) | [M:6/8] (3C,D,E, F,>G, ^F,2 | [M:4/4] !upbow!!4!A,2 !downbow!!1!B,2 (^C4 | C2) !fermata!z2 .D.E.F.G |1 {A,B,}C4 (3D2C2B,2 :|2 A,,8- | A,,4 z4 ||
[K:D] D,,2F,,2A,,2D,2 | (F,2A,2 D2F2) | z8 | =C_B,^A,G, F,/E,/D,/C,/ B,,A,, | [M:3/8] D,E,F, | G,3 | [M:2/2] [K:C] C,,4 G,,4 | C,8 |]
`

// signs are changes of clef and key, jumps and single marks, from measure 98 on.
const signs = `X:1
T:Signs
M:4/4
L:1/4
Q:1/4=80
K:E clef=bass
{F,}G,A,B,C | [K:E clef=tenor] E F G A | (B A G F | E2) z2 | [K:E clef=bass] B,3/2 A,/ G,2 | [K:Eb] B,,2 E,2 | [M:3/4] {D,/E,/}F,>G, A, | [Q:1/4=112] (3B,A,G, F,2 |
(E,F,G, | A,B,C) | {^C}D3/2 C/ B, | [K:Am] A,,/B,,/C,/D,/ E,/^F,/ | ^G,_B,=B, | C3 |[M:4/4] E,,/^F,,//^G,,// A,,/B,,//C,// D,/D,/ E,>F, | A,,4 |]
`

func signsPiece(t testing.TB) *piece.Piece {
	p := read(t, "signs.abc", []byte(signs))
	m := p.Measures
	for i := range m {
		m[i].Number = strconv.Itoa(98 + i)
	}
	m[2].Segno, m[8].ToCoda, m[11].Jump, m[12].Coda = true, true, piece.DalSegno, true
	m[11].DoubleBar = true
	m[2].Notes[0].Marks.Finger, m[2].Notes[1].Marks.Harmonic = "T", true
	m[8].Notes[0].Articulated.Pizz, m[8].Notes[1].Articulated.Pizz, m[8].Notes[2].Articulated.Pizz = true, true, true
	m[5].Notes[0].Articulated.Breath, m[5].Notes[1].Articulated.Fermata = true, true
	m[4].Rehearsal, m[9].Rehearsal = "B", "C"
	m[4].Texts = []piece.Text{{Says: "dolce"}, {At: m[4].Notes[1].Start, Says: "Sing the line first, then play it so softly that nobody next door can hear you"}}
	m[9].Texts = []piece.Text{{Says: strings.Repeat("over and over ", 12)}}
	return p
}

func read(t testing.TB, name string, data []byte) *piece.Piece {
	t.Helper()
	p, err := notation.Read(name, data)
	require.NoError(t, err)
	return p
}

// pieces are all pieces of testdata, the demo piece and the two above.
func pieces(t testing.TB) map[string]*piece.Piece {
	t.Helper()
	all := map[string]*piece.Piece{
		"demo":    read(t, assets.DemoPieceName, assets.DemoPiece),
		"crowded": read(t, "crowded.abc", []byte(crowded)),
		"signs":   signsPiece(t),
	}
	files, err := filepath.Glob("../../testdata/pieces/*.*")
	require.NoError(t, err)
	for _, f := range files {
		if strings.HasSuffix(f, ".md") {
			continue
		}
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		all[filepath.Base(f)] = read(t, f, data)
	}
	require.Len(t, all, 13)
	return all
}

// planned adds a fingering of the double bass, with brackets.
func planned(p *piece.Piece, o Options) Options {
	line, _ := p.Line()
	plan := fingerboard.DoubleBass().Finger(line, fingerboard.Options{})
	o.Plan, o.Line, o.Frames = &plan, line, true
	return o
}

// long is a piece of n measures.
func long(t testing.TB, n int) *piece.Piece {
	p := read(t, "long.abc", []byte("X:1\nT:Long\nM:4/4\nL:1/8\nK:G clef=bass\n"+
		strings.Repeat("G,,A,,B,,C, D,2E,2 | (F,G,) A,>B, ^C2 z2 |\n", n/2)))
	require.GreaterOrEqual(t, len(p.Measures), n)
	return p
}
