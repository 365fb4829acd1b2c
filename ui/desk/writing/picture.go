package writing

import (
	"bytes"
	"image"
	_ "image/jpeg" // a photograph
	_ "image/png"  // a scan
	"os"
	"path/filepath"

	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// The largest picture that is shown, and its file.
const (
	mostPixels = 80e6
	mostBytes  = 256 << 20
)

// SetPicture lays a picture of a printed page beside the one that is written; "" takes it
// away.
func (w *Writing) SetPicture(path string) {
	w.host.Say("")
	w.Picture, w.Scan = "", nil
	if path != "" {
		scan, err := readPicture(path)
		if err != nil {
			w.host.Fault(said.Sentence(err))
		} else {
			w.Picture, w.Scan = path, scan
		}
	}
	w.note()
	w.host.Changed()
}

func readPicture(path string) (image.Image, error) {
	none := words.Fault("desk.writing.no-picture", "file", filepath.Base(path))
	info, err := os.Stat(path)
	if err != nil || info.Size() > mostBytes {
		return nil, none
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, none
	}
	c, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || float64(c.Width)*float64(c.Height) > mostPixels {
		return nil, none
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, none
	}
	return upright(img, turned(data)), nil
}
