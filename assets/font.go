package assets

import _ "embed"

// MusicFont is Bravura, a music font laid out by SMuFL, OpenType; its licence
// stands in bravura-OFL.txt.
//
//go:embed bravura.otf
var MusicFont []byte
