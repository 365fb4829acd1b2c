package writing

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table of orientations is that of Exif 2.32: where row 0 and column 0 lie as one looks.
func TestAPhotographLiesAsTheCameraSawIt(t *testing.T) {
	for tag, corner := range map[uint16]string{1: "top left", 2: "top right", 3: "bottom right", 4: "bottom left", 5: "top left", 6: "top right", 7: "bottom right", 8: "bottom left"} {
		for _, order := range []binary.ByteOrder{binary.BigEndian, binary.LittleEndian} {
			path := filepath.Join(t.TempDir(), "page.jpg")
			require.NoError(t, os.WriteFile(path, photograph(t, tag, order), 0o600))
			img, err := readPicture(path)
			require.NoError(t, err)
			w, h := img.Bounds().Dx(), img.Bounds().Dy()
			assert.Equal(t, tag >= 5, h > w, "orientation %d", tag)
			at := map[string]image.Point{"top left": {4, 4}, "top right": {w - 5, 4}, "bottom right": {w - 5, h - 5}, "bottom left": {4, h - 5}}
			for name, p := range at {
				r, _, _, _ := img.At(p.X, p.Y).RGBA()
				assert.Equal(t, name == corner, r < 0x8000, "orientation %d, %s", tag, name)
			}
		}
	}
}

func TestAPhotographWhoseTagIsDamagedIsShownAsItLies(t *testing.T) {
	whole := photograph(t, 6, binary.LittleEndian)
	for cut := 2; cut < 60; cut++ {
		assert.Contains(t, []int{1, 6}, turned(whole[:cut]))
	}
	wild := bytes.Clone(whole)
	copy(wild[16:], []byte{0xff, 0xff, 0xff, 0xff}) // where the directory lies
	assert.Equal(t, 1, turned(wild))
}

// photograph is wide and white, its first row's beginning black, as a JPEG with the tag.
func photograph(t *testing.T, tag uint16, order binary.ByteOrder) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 64, 32))
	for y := range 32 {
		for x := range 64 {
			if x >= 16 || y >= 16 {
				img.SetGray(x, y, color.Gray{255})
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, nil))
	var x bytes.Buffer
	x.WriteString("Exif\x00\x00")
	x.WriteString(map[bool]string{true: "MM", false: "II"}[order == binary.BigEndian])
	for _, field := range []any{uint16(42), uint32(8), uint16(1), uint16(0x0112), uint16(3), uint32(1), tag, uint16(0), uint32(0)} {
		require.NoError(t, binary.Write(&x, order, field))
	}
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(x.Len()+2))...)
	return append(append(out, x.Bytes()...), b.Bytes()[2:]...)
}
