// Package recording opens a recording as a dsp.Source.
//
//	file ─ sniff ─┬─ WAV    ─ our own reader   ─┐
//	              ├─ FLAC   ─ mewkiz/flac       ─┤  interleaved
//	              ├─ MP3    ─ hajimehoshi/go-mp3 ┼─ samples ─ mix ─> Recording (mono)
//	              └─ others ─ ffmpeg, as WAV     ─┘
//	                          or a Mac's afconvert
//
// The content decides, never the extension. Nothing is held but a second of
// sound, so a recording of ten hours costs no more memory than one of ten
// seconds; Together alone holds a few short ones. How long is too long is for
// the caller to say. Read Open first, then Recording; mix.go says how channels
// become one without cancelling out.
//
// Errors are one line: the file, what is wrong with it, and the mend.
package recording
