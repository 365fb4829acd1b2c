package writing

import (
	"image"
	_ "image/jpeg" // a photograph
	_ "image/png"  // a scan
	"os"
	"path/filepath"

	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// mostPixels is the largest picture that is shown.
const mostPixels = 80e6

// SetPicture lays a picture of a printed page beside the one that is written; "" takes it
// away.
func (w *Writing) SetPicture(path string) {
	w.host.Say("")
	w.Picture, w.Scan = "", nil
	if path != "" {
		scan, err := readPicture(path)
		if err != nil {
			w.host.Say(said.Sentence(err))
		} else {
			w.Picture, w.Scan = path, scan
		}
	}
	w.note()
	w.host.Changed()
}

func readPicture(path string) (image.Image, error) {
	none := words.Fault("desk.writing.no-picture", "file", filepath.Base(path))
	f, err := os.Open(path)
	if err != nil {
		return nil, none
	}
	defer f.Close()
	c, _, err := image.DecodeConfig(f)
	if err != nil || float64(c.Width)*float64(c.Height) > mostPixels {
		return nil, none
	}
	if _, err = f.Seek(0, 0); err != nil {
		return nil, none
	}
	img, _, err := image.Decode(f)
	if err != nil {
		return nil, none
	}
	return img, nil
}
