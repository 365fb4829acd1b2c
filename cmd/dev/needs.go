package main

import (
	"os/exec"
	"slices"
	"strings"
)

// job is one thing that this program can be asked to do.
type job string

const (
	demo    job = "demo"
	test    job = "test"
	measure job = "measure"
	pack    job = "package"
)

// need is one thing that jobs need beside Go.
type need struct {
	look   string // a program on the PATH; "/…" a file; "python3:…" a module of Python's
	debian string // its package on Debian and Ubuntu
	brew   string // on macOS; "" where we know of none
	choco  string // on Windows; "" where we know of none
	why    string
	jobs   []job
}

// needs is everything. A new row is all that a new need takes. The names for
// macOS and Windows are from memory; they are printed and never run.
var needs = []need{
	{"/etc/ssl/certs/ca-certificates.crt", "ca-certificates", "", "",
		"lets Go fetch the modules over https", []job{demo, test, measure, pack}},
	{"git", "git", "git", "git",
		"lists the repository's files for the test of its layout, and says which state of it a package is of", []job{test, pack}},
	{"gcc", "gcc", "gcc", "mingw",
		"links the race detector and the desk", []job{test, pack}},
	{"/usr/include/stdlib.h", "libc6-dev", "", "",
		"the C headers that both are built with", []job{test, pack}},
	{"fluidsynth", "fluidsynth", "fluid-synth", "fluidsynth",
		"renders takes with known truth", []job{test, measure}},
	{"/usr/share/sounds/sf2/FluidR3_GM.sf2", "fluid-soundfont-gm", "", "",
		"the sampled basses of those takes", []job{test, measure}},
	{"espeak-ng", "espeak-ng", "espeak-ng", "espeak-ng",
		"talks before the start of a take", []job{test, measure}},
	{"sox", "sox", "sox", "sox.portable",
		"makes and measures recordings, for a check from outside; with Debian's comes the encoder of AMR", []job{test, measure}},
	{"ffmpeg", "ffmpeg", "ffmpeg", "ffmpeg",
		"opens the formats that Endpin leaves to it, and checks the others", []job{test, measure}},
	{"chromium", "chromium", "chromium", "chromium",
		"opens the class's pages: they sort, play and print", []job{test}},
	{"abc2midi", "abcmidi", "abcmidi", "",
		"says what an ABC tune sounds, for a check from outside", []job{test}},
	{"sqlite3", "sqlite3", "sqlite", "sqlite",
		"opens the diary as any program may, for a check from outside", []job{test}},
	{"strace", "strace", "", "",
		"kills programs while they write, to look what is left", []job{test}},
	{"aubioonset", "aubio-tools", "aubio", "",
		"hears the same sounds, to be compared with", []job{test, measure}},
	{"python3:mir_eval", "python3-mir-eval", "", "",
		"scores what was heard: the reference implementation of its trade", []job{test, measure}},
	{"python3:scipy", "python3-scipy", "", "",
		"works out trends from the same numbers, for a check from outside", []job{test}},
	{"/usr/include/portaudio.h", "portaudio19-dev", "portaudio", "",
		"the microphone and the loudspeaker of the desk", []job{test, pack}},
	{"pkg-config", "pkg-config", "pkgconf", "pkgconfiglite",
		"finds PortAudio for the compiler", []job{test, pack}},
	{"/usr/include/GL/gl.h", "libgl-dev", "", "",
		"draws the desk's window", []job{test, pack}},
	{"/usr/include/X11/Xlib.h", "libx11-dev", "", "",
		"opens the desk's window", []job{test, pack}},
	{"/usr/include/X11/Xcursor/Xcursor.h", "libxcursor-dev", "", "",
		"belongs to that window", []job{test, pack}},
	{"/usr/include/X11/extensions/Xrandr.h", "libxrandr-dev", "", "",
		"belongs to that window", []job{test, pack}},
	{"/usr/include/X11/extensions/Xinerama.h", "libxinerama-dev", "", "",
		"belongs to that window", []job{test, pack}},
	{"/usr/include/X11/extensions/XInput2.h", "libxi-dev", "", "",
		"belongs to that window", []job{test, pack}},
	{"/usr/include/X11/extensions/xf86vmode.h", "libxxf86vm-dev", "", "",
		"belongs to that window", []job{test, pack}},
	{"xmllint", "libxml2-utils", "libxml2", "",
		"holds the MusicXML that Endpin writes against the schema", []job{test}},
	{"Xvfb", "xvfb", "", "",
		"a display that nobody sees, for the desk", []job{test}},
	{"/usr/lib/x86_64-linux-gnu/dri/swrast_dri.so", "libgl1-mesa-dri", "", "",
		"draws on that display", []job{test}},
	{"import", "imagemagick", "", "",
		"keeps a picture of the desk", []job{test}},
	{"xdotool", "xdotool", "", "",
		"presses keys at the desk", []job{test}},
	{"pulseaudio", "pulseaudio", "", "",
		"a microphone that is not there, for the tests of the real path", []job{test}},
	{"pactl", "pulseaudio-utils", "", "",
		"sets that microphone up and plays into it", []job{test}},
	{"/usr/share/alsa/alsa.conf.d/pulse.conf", "libasound2-plugins", "", "",
		"leads PortAudio to PulseAudio", []job{test}},
	{"dpkg-shlibdeps", "dpkg-dev", "", "",
		"finds what a package for Debian hangs on, and lays it together", []job{pack}},
	{"debootstrap", "debootstrap", "", "",
		"lays out an older Debian, so that the desk runs where the C library is older", []job{pack}},
	{"x86_64-w64-mingw32-gcc-posix", "gcc-mingw-w64-x86-64-posix", "", "",
		"builds the desk for Windows", []job{pack}},
	{"make", "make", "", "",
		"builds what sounds there and what opens a phone's recordings", []job{pack}},
	{"makensis", "nsis", "", "",
		"makes the installer for Windows", []job{pack}},
	{"praat", "praat", "praat", "praat",
		"hears the same sounds, to be compared with", []job{measure}},
}

// missing is what the job needs and this computer lacks.
func (h host) missing(j job) []need {
	var lacking []need
	for _, n := range needs {
		if j == pack && n.name(h.system) == "" {
			continue // what cannot be made without it is named then
		}
		if slices.Contains(n.jobs, j) && !h.has(n) {
			lacking = append(lacking, n)
		}
	}
	return lacking
}

// has looks for a need. Files lie elsewhere on other systems than Debian; there
// the jobs themselves say what they cannot find.
func (h host) has(n need) bool {
	if module, ok := strings.CutPrefix(n.look, "python3:"); ok {
		return h.module(module)
	}
	if n.look[0] == '/' {
		return !h.debian() || h.exists(n.look)
	}
	return h.onPath(n.look)
}

// debian reports whether packages come through apt-get.
func (h host) debian() bool { return h.system == "linux" && h.onPath("apt-get") }

// name is the need's package on that system, or "".
func (n need) name(system string) string {
	switch system {
	case "darwin":
		return n.brew
	case "windows":
		return n.choco
	}
	return n.debian
}

// hasModule asks Debian's Python and the one on the PATH for a module.
func hasModule(name string) bool {
	const ask = "import importlib.util, sys; sys.exit(importlib.util.find_spec(sys.argv[1]) is None)"
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", ask, name).Run() == nil {
			return true
		}
	}
	return false
}
