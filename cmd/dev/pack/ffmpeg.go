package main

import (
	"os"
	"path/filepath"
)

// Of ffmpeg the Windows package brings what opens recordings: the demuxers that
// dsp/recording lets it use, the decoders of sound in them, and nothing that writes
// but WAV, shows a picture or reaches a network. All of it is under the LGPL.
const (
	demuxers = "aac,ac3,aiff,amr,amrnb,amrwb,ape,asf,au,avi,caf,dsf,eac3,flac,flv,iff,loas,matroska,mov,mp3,mpc,mpc8,mpegps,mpegts,ogg,spdif,tak,tta,voc,w64,wav,wsd,wv"
	decoders = "aac,aac_latm,ac3,adpcm_ima_qt,adpcm_ima_wav,adpcm_ms,adpcm_swf,alac,amrnb,amrwb,ape,dca,dsd_lsbf,dsd_lsbf_planar,dsd_msbf,dsd_msbf_planar,eac3," +
		"flac,gsm,gsm_ms,mace3,mace6,mp1float,mp2float,mp3float,mpc7,mpc8,nellymoser,opus,pcm_alaw,pcm_bluray,pcm_dvd,pcm_f32be,pcm_f32le,pcm_f64be,pcm_f64le,pcm_mulaw," +
		"pcm_s16be,pcm_s16le,pcm_s24be,pcm_s24le,pcm_s32be,pcm_s32le,pcm_s8,pcm_u8,qdm2,qdmc,speex,tak,truehd,tta,vorbis,wavpack,wmalossless,wmapro,wmav1,wmav2,wmavoice"
	parsers = "aac,aac_latm,ac3,amr,dca,flac,gsm,mlp,mpegaudio,opus,tak,vorbis"
)

// ffmpeg builds that of Debian's source, for Windows.
func (b builder) ffmpeg(into string) error {
	dir, err := b.source("ffmpeg", filepath.Join(b.work, "ffmpeg"))
	if err != nil {
		return err
	}
	if err := b.do(dir, nil, "./configure", "--enable-cross-compile", "--target-os=mingw32", "--arch=x86_64", "--cross-prefix="+crossed+"-", "--cc="+crossed+"-gcc-posix",
		"--pkg-config=false", "--extra-ldflags=-static -Wl,--no-insert-timestamp", "--disable-everything", "--disable-autodetect", "--disable-doc", "--disable-debug", "--disable-network",
		"--disable-ffplay", "--disable-ffprobe", "--disable-avdevice", "--disable-postproc", "--disable-swscale", "--disable-x86asm", "--enable-small",
		"--enable-protocol=file,pipe", "--enable-muxer=wav", "--enable-encoder=pcm_f32le", "--enable-filter=aformat,anull,aresample,atrim",
		"--enable-demuxer="+demuxers, "--enable-decoder="+decoders, "--enable-parser="+parsers); err != nil {
		return err
	}
	for _, step := range [][]string{{"make", "-j2", "ffmpeg.exe"}, {"cp", "ffmpeg.exe", into}} {
		if err := b.do(dir, nil, step...); err != nil {
			return err
		}
	}
	terms, err := os.ReadFile(filepath.Join(dir, "COPYING.LGPLv2.1"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(into, "LICENCE"), append([]byte("ffmpeg.exe is built, with nothing changed, from the source of Debian's package "+filepath.Base(dir)+
		", which\nDebian keeps; the options it is built with stand in\ncmd/dev/pack/ffmpeg.go. Whoever gave you this gives you that source too, on asking, for three years.\n\n"), terms...), 0o644)
}
