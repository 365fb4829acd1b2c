package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// crossed begins the names of the compilers that build for Windows.
const crossed = "x86_64-w64-mingw32"

// windows makes the installer: both programs, a small ffmpeg for what phones send, and
// the licences. It is built on Debian or Ubuntu, from Debian's own sources.
func windows(b builder) (string, error) {
	sound, err := b.keep("portaudio-windows", b.portaudio)
	if err != nil {
		return "", err
	}
	ffmpeg, err := b.keep("ffmpeg-windows", b.ffmpeg)
	if err != nil {
		return "", err
	}
	t := laid{root: filepath.Join(b.work, "windows"), values: map[string]any{"version": b.version(), "numbers": b.numbers(),
		"commas": strings.ReplaceAll(b.numbers(), ".", ","), "out": filepath.Join(b.out, b.windowsName())}}
	t.write("endpin.ico", ico())
	t.filled("endpin.manifest", "windows/endpin.manifest")
	t.filled("endpin.nsi", "windows/endpin.nsi")
	if t.err != nil {
		return "", t.err
	}
	if b.root, err = b.copied(); err != nil {
		return "", err
	}
	for _, program := range []string{"endpin", "endpin-desk"} {
		if err := b.badge(&t, program); err != nil {
			return "", err
		}
	}
	env := []string{"GOOS=windows", "GOARCH=amd64"}
	if err := b.build("endpin", t.at("endpin.exe"), target{env: append(env, "CGO_ENABLED=0")}); err != nil {
		return "", err
	}
	env = append(env, "CGO_ENABLED=1", "CC="+crossed+"-gcc-posix", "CGO_CFLAGS_ALLOW=-mthreads", "PKG_CONFIG_LIBDIR="+filepath.Join(sound, "lib/pkgconfig"))
	link := "-H windowsgui -linkmode external -extldflags '-static -Wl,--no-insert-timestamp'"
	if err := b.build("endpin-desk", t.at("endpin-desk.exe"), target{env: env, link: link}); err != nil {
		return "", err
	}
	if err := b.do(t.root, nil, "cp", filepath.Join(ffmpeg, "ffmpeg.exe"), t.at("ffmpeg.exe")); err != nil {
		return "", err
	}
	licences, err := b.licences([]string{t.at("endpin.exe"), t.at("endpin-desk.exe")},
		licence{"PortAudio, the sound of the desk", filepath.Join(sound, "LICENSE.txt")},
		licence{"MinGW-w64, the C library of the desk", "/usr/share/doc/mingw-w64-x86-64-dev/copyright"},
		licence{"GCC, whose own library stands in the desk", "/usr/share/doc/gcc-mingw-w64-base/copyright"},
		licence{"ffmpeg.exe, a program of its own", filepath.Join(ffmpeg, "LICENCE")})
	if err != nil {
		return "", err
	}
	t.write("licences.txt", []byte(strings.ReplaceAll(string(licences), "\n", "\r\n")))
	if err := t.dated(b); err != nil {
		return "", err
	}
	return b.windowsName(), b.do(t.root, nil, "makensis", "-V2", "-INPUTCHARSET", "UTF8", "endpin.nsi")
}

// badge puts icon, version and manifest of a program beside its source, where Go's linker takes
// them from.
func (b builder) badge(t *laid, program string) error {
	t.values["program"] = program
	if t.filled(program+".rc", "windows/endpin.rc"); t.err != nil {
		return t.err
	}
	return b.do(t.root, nil, crossed+"-windres", "--codepage=65001", "-O", "coff", program+".rc", "-o", filepath.Join(b.root, "cmd", program, "badge_windows_amd64.syso"))
}

func (b builder) windowsName() string {
	return "endpin_" + strings.ReplaceAll(b.version(), "~", "-") + "_windows.exe"
}

// numbers is the version as Windows wants it, four numbers: the tag's, or the day.
func (b builder) numbers() string {
	of := []any{0, 0, 0, 0}
	if b.tag == "" {
		of[1], of[2] = b.from.Year(), int(b.from.Month())*100+b.from.Day()
	}
	for i, part := range strings.SplitN(b.tag, ".", 4) {
		var n int
		if _, err := fmt.Sscanf(part, "%d", &n); err == nil {
			of[i] = n
		}
	}
	return fmt.Sprintf("%d.%d.%d.%d", of...)
}

// source unpacks the source of one of Debian's packages into dir and gives its folder.
// apt-get lists sources only where somebody asked for it, so that a list of our own is made of
// where this system has its packages from.
func (b builder) source(name, dir string) (string, error) {
	from, err := said("apt-get", "indextargets", "--format", "deb-src $(REPO_URI) $(RELEASE) $(COMPONENT)", "Created-By: Packages", "Origin: Debian")
	if err != nil {
		return "", err
	}
	if from == "" {
		return "", fmt.Errorf("the source of %s comes from Debian, and this system has its packages from elsewhere", name)
	}
	if err := os.MkdirAll(filepath.Join(dir, "lists/partial"), 0o755); err != nil {
		return "", err
	}
	list := filepath.Join(dir, "sources.list")
	if err := os.WriteFile(list, []byte(from+"\n"), 0o644); err != nil {
		return "", err
	}
	for _, args := range [][]string{{"-q", "update"}, {"-q", "source", name}} {
		args = append([]string{"apt-get", "-o", "Dir::Etc::SourceList=" + list, "-o", "Dir::Etc::SourceParts=/dev/null",
			"-o", "Dir::State::Lists=" + filepath.Join(dir, "lists"), "-o", "APT::Sandbox::User=root"}, args...)
		if err := b.do(dir, nil, args...); err != nil {
			return "", err
		}
	}
	found, err := filepath.Glob(filepath.Join(dir, name+"-*", "configure"))
	if err != nil || len(found) != 1 {
		return "", fmt.Errorf("apt-get source %s: %d folders with a configure", name, len(found))
	}
	return filepath.Dir(found[0]), nil
}

// portaudio builds PortAudio over the two ways to sound that every Windows has. Its third,
// WASAPI, does not compile against Debian's headers.
func (b builder) portaudio(into string) error {
	dir, err := b.source("portaudio19", filepath.Join(b.work, "portaudio"))
	if err != nil {
		return err
	}
	for _, step := range [][]string{
		{"./configure", "--host=" + crossed, "--with-winapi=wmme,directx", "--disable-shared", "--enable-static", "--prefix=" + into, "CFLAGS=-O2"},
		{"make", "lib/libportaudio.la"}, {"make", "install"}, {"cp", "LICENSE.txt", into},
	} {
		if err := b.do(dir, nil, step...); err != nil {
			return err
		}
	}
	return nil
}
