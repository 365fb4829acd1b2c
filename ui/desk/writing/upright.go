package writing

import (
	"bytes"
	"encoding/binary"
	"image"
)

// turned is how a camera was held, as its photograph says: the tag Orientation of Exif 2.32
// (CIPA DC-008), 1 to 8; 1 where nothing is said. data is a JPEG file.
func turned(data []byte) int {
	if !bytes.HasPrefix(data, []byte{0xff, 0xd8}) {
		return 1
	}
	for at := 2; at+4 <= len(data) && data[at] == 0xff && data[at+1] != 0xda; { // up to the picture itself
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + size
		if size < 2 || end > len(data) {
			break
		}
		if text, is := bytes.CutPrefix(data[at+4:end], []byte("Exif\x00\x00")); is && data[at+1] == 0xe1 {
			return orientation(text)
		}
		at = end
	}
	return 1
}

// orientation reads the tag from the first directory of a TIFF block.
func orientation(x []byte) int {
	const tag, entry = 0x0112, 12
	var order binary.ByteOrder = binary.BigEndian
	if bytes.HasPrefix(x, []byte("II")) {
		order = binary.LittleEndian
	}
	if len(x) < 8 {
		return 1
	}
	at := int64(order.Uint32(x[4:]))
	if at+2 > int64(len(x)) {
		return 1
	}
	n := int(order.Uint16(x[at:]))
	for x = x[at+2:]; n > 0 && len(x) >= entry; n, x = n-1, x[entry:] {
		if order.Uint16(x) != tag {
			continue
		}
		if o := int(order.Uint16(x[8:])); o >= 1 && o <= 8 {
			return o
		}
		break
	}
	return 1
}

// upright gives a picture as it was seen, taken as its tag says.
func upright(img image.Image, orientation int) image.Image {
	if orientation == 1 {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if orientation >= 5 { // its sides change places
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			to := [...]image.Point{2: {w - 1 - x, y}, 3: {w - 1 - x, h - 1 - y}, 4: {x, h - 1 - y},
				5: {y, x}, 6: {h - 1 - y, x}, 7: {h - 1 - y, w - 1 - x}, 8: {y, w - 1 - x}}[orientation]
			out.Set(to.X, to.Y, img.At(b.Min.X+x, b.Min.Y+y))
		}
	}
	return out
}
