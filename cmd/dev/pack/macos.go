package main

import (
	"archive/tar"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// macPrograms makes what runs on a Mac in a terminal, for both kinds of processor.
func macPrograms(b builder) (string, error) {
	t := laid{root: filepath.Join(b.work, "macos/endpin")}
	var programs []string
	for _, arch := range []string{"arm64", "amd64"} {
		name := t.at("bin/endpin-" + arch)
		if err := b.build("endpin", name, target{env: []string{"CGO_ENABLED=0", "GOOS=darwin", "GOARCH=" + arch}}); err != nil {
			return "", err
		}
		programs = append(programs, name)
	}
	licences, err := b.licences(programs)
	if err != nil {
		return "", err
	}
	t.write("licences.txt", licences)
	if err := t.dated(b); err != nil {
		return "", err
	}
	name := "endpin_" + strings.ReplaceAll(b.version(), "~", "-") + "_macos.tar.gz"
	return name, archive(t.root, filepath.Join(b.out, name), b)
}

// archive packs a folder, the same to the byte each time.
func archive(root, to string, b builder) error {
	file, err := os.Create(to)
	if err != nil {
		return err
	}
	defer file.Close()
	small := gzip.NewWriter(file)
	out := tar.NewWriter(small)
	if err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		name, err := filepath.Rel(filepath.Dir(root), path)
		if err != nil {
			return err
		}
		if err := out.WriteHeader(&tar.Header{Name: filepath.ToSlash(name), Mode: int64(info.Mode().Perm()), Size: info.Size(), ModTime: b.from}); err != nil {
			return err
		}
		in, err := os.Open(path)
		if err != nil {
			return err
		}
		defer in.Close()
		_, err = io.Copy(out, in)
		return err
	}); err != nil {
		return err
	}
	for _, c := range []io.Closer{out, small, file} {
		if err := c.Close(); err != nil {
			return err
		}
	}
	return nil
}

// notMac says why this computer makes no Endpin.app, or "".
func notMac() string {
	if runtime.GOOS != "darwin" {
		return "it needs Apple's headers and libraries, and is made on a Mac"
	}
	return ""
}

// macApp makes Endpin.app on a Mac. No Mac has run it yet: neither the linking, nor the
// library beside the program, nor the signing.
func macApp(b builder) (string, error) {
	t := laid{root: filepath.Join(b.work, "Endpin.app")}
	if err := os.MkdirAll(t.at("Contents/MacOS"), 0o755); err != nil {
		return "", err
	}
	program := t.at("Contents/MacOS/endpin-desk")
	if err := b.build("endpin-desk", program, target{env: []string{"CGO_ENABLED=1"}}); err != nil {
		return "", err
	}
	if err := b.build("endpin", t.at("Contents/MacOS/endpin"), target{env: []string{"CGO_ENABLED=0"}}); err != nil {
		return "", err
	}
	licences, err := b.licences([]string{program})
	if err != nil {
		return "", err
	}
	t.write("Contents/Resources/licences.txt", licences)
	b.dress(&t)
	if t.err != nil {
		return "", t.err
	}
	if err := b.besides(&t, program); err != nil {
		return "", err
	}
	// "-" signs without a name, which the processors of newer Macs ask for.
	if err := b.do(b.work, nil, "codesign", "--force", "--deep", "--sign", "-", t.root); err != nil {
		return "", err
	}
	name := "endpin_" + strings.ReplaceAll(b.version(), "~", "-") + "_macos_" + runtime.GOARCH + ".zip"
	return name, b.do(b.work, nil, "ditto", "-c", "-k", "--keepParent", t.root, filepath.Join(b.out, name))
}

// dress lays what makes a folder an app: what it is called, opens, and asks the
// microphone for; its icon.
func (b builder) dress(t *laid) {
	t.values = map[string]any{"id": id, "version": b.version(), "numbers": b.numbers()}
	t.filled("Contents/Info.plist", "macos/Info.plist")
	t.write("Contents/PkgInfo", []byte("APPL????"))
	t.write("Contents/Resources/endpin.icns", icns())
}

// besides takes PortAudio into the app, where the program finds it without Homebrew.
func (b builder) besides(t *laid, program string) error {
	list, err := said("otool", "-L", program)
	if err != nil {
		return err
	}
	for line := range strings.Lines(list) {
		path, _, _ := strings.Cut(strings.TrimSpace(line), " ")
		if !strings.Contains(path, "libportaudio") {
			continue
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		name := filepath.Base(path)
		t.write("Contents/Frameworks/"+name, content)
		if t.err != nil {
			return t.err
		}
		return b.do(b.work, nil, "install_name_tool", "-change", path, "@executable_path/../Frameworks/"+name, program)
	}
	return fmt.Errorf("otool -L names no libportaudio in %s", program)
}
