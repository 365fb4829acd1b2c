package job

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// A school that was chosen on the desk stands in no file: the diary keeps it with the take, so
// that the take is judged by it again.
func TestATakeIsKeptWithTheSchoolThatItWasFingeredBy(t *testing.T) {
	for _, school := range []string{"", "first-year"} {
		p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
		require.NoError(t, err)
		p.School = school
		d, err := diary.Open(filepath.Join(t.TempDir(), "diary.db"))
		require.NoError(t, err)
		defer d.Close()
		bass := fingerboard.DoubleBass()
		_, err = Remember(d, Heard{Player: "Mina", Piece: p, PieceFile: "demo.musicxml", PieceData: assets.DemoPiece, Recording: "../../assets/demo.flac",
			Options: finding.Options{Instrument: &bass, Level: finding.Intermediate}, Instrument: "bass", KeepSound: true,
			Hearing: &finding.Hearing{Version: 1, Intonation: "equal", Level: "intermediate"}}, time.Now())
		require.NoError(t, err)
		kept, err := d.KeptBefore(finding.Listening+1, "Mina")
		require.NoError(t, err)
		require.Len(t, kept, 1)
		assert.Equal(t, school, kept[0].Asked.School)
	}
}
