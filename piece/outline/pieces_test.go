package outline

import (
	"os"
	"path/filepath"
	"testing"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/notation"

	"github.com/stretchr/testify/require"
)

// tune reads one of testdata/pieces.
func tune(t testing.TB, name string) *piece.Piece {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "pieces", name))
	require.NoError(t, err)
	p, err := notation.Read(name, data)
	require.NoError(t, err)
	return p
}

func demoPiece(t testing.TB) *piece.Piece {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return p
}

func outlined(t testing.TB, p *piece.Piece, o Options) *Outline {
	t.Helper()
	out, err := Of(p, o)
	require.NoError(t, err)
	return out
}
