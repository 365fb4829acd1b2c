package engraving

import (
	"os"
	"path/filepath"
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

func read(t testing.TB, name string, data []byte) *piece.Piece {
	t.Helper()
	p, err := notation.Read(name, data)
	require.NoError(t, err)
	return p
}

// pieces are all pieces of testdata, the demo piece and the crowded one.
func pieces(t testing.TB) map[string]*piece.Piece {
	t.Helper()
	all := map[string]*piece.Piece{
		"demo":    read(t, assets.DemoPieceName, assets.DemoPiece),
		"crowded": read(t, "crowded.abc", []byte(crowded)),
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
	require.Len(t, all, 12)
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
