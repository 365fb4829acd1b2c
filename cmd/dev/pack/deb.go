package main

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"text/template"

	"endpin/ui/ink"
	_ "endpin/ui/locale" // before the toolkit looks for a language
)

//go:embed debian
var debianFiles embed.FS

// notDebian says why this computer makes no package for Debian, or "".
func notDebian() string {
	if runtime.GOOS != "linux" {
		return "it is made on Debian or Ubuntu"
	}
	return ""
}

// iconSizes are the sides, in pixels, that the icon theme specification of freedesktop.org
// names for applications.
var iconSizes = []int{16, 22, 24, 32, 48, 64, 128, 256, 512}

// debian makes the package: both programs, what a desktop needs to open pieces and
// homework with them, manual pages, and the licences of all that is in them.
func debian(b builder) (string, error) {
	arch, err := said("dpkg", "--print-architecture")
	if err != nil {
		return "", err
	}
	tree := filepath.Join(b.work, "deb")
	t := laid{root: tree}
	for _, program := range []string{"endpin", "endpin-desk"} {
		if err := os.MkdirAll(filepath.Join(tree, "usr/bin"), 0o755); err != nil {
			return "", err
		}
		env := []string{"CGO_ENABLED=0"}
		if program == "endpin-desk" {
			env = []string{"CGO_ENABLED=1"}
		}
		if err := b.build(program, t.at("usr/bin/"+program), env...); err != nil {
			return "", err
		}
	}
	t.files("usr/share/applications/endpin.desktop", "debian/endpin.desktop")
	t.files("usr/share/mime/packages/endpin.xml", "debian/endpin-mime.xml")
	t.files("usr/share/metainfo/endpin.metainfo.xml", "debian/endpin.metainfo.xml")
	for _, side := range iconSizes {
		t.write(fmt.Sprintf("usr/share/icons/hicolor/%dx%d/apps/endpin.png", side, side), ink.IconOf(side))
	}
	licences, err := b.licences(t.at("usr/bin/endpin"), t.at("usr/bin/endpin-desk"))
	if err != nil {
		return "", err
	}
	full, err := packed(licences)
	if err != nil {
		return "", err
	}
	t.write("usr/share/doc/endpin/licences.gz", full)
	own, err := os.ReadFile(filepath.Join(b.root, "LICENSE"))
	if err != nil {
		return "", err
	}
	t.write("usr/share/doc/endpin/copyright", fmt.Appendf(own, "\nThe libraries that stand in the programs, with the licence of each: licences.gz\n"))
	t.files("usr/share/lintian/overrides/endpin", "debian/overrides")
	changes, err := packed(fmt.Appendf(nil, "endpin (%s) unstable; urgency=medium\n\n  * The source at commit %s.\n\n -- Endpin <endpin@localhost>  %s\n",
		b.version(), b.rev, b.from.Format("Mon, 02 Jan 2006 15:04:05 -0700")))
	if err != nil {
		return "", err
	}
	t.write("usr/share/doc/endpin/changelog.gz", changes)
	for program, about := range map[string]string{
		"endpin":      "hear a double bass and say what was heard, measure by measure",
		"endpin-desk": "practise a piece, heard measure by measure",
	} {
		help, err := said(append([]string{t.at("usr/bin/" + program)}, helpOf[program]...)...)
		if err != nil {
			return "", err
		}
		manual, err := packed(page(program, about, help, b.from))
		if err != nil {
			return "", err
		}
		t.write("usr/share/man/man1/"+program+".1.gz", manual)
	}
	if t.err != nil {
		return "", t.err
	}
	depends, err := b.libraries(tree, arch)
	if err != nil {
		return "", err
	}
	control, err := template.ParseFS(debianFiles, "debian/control")
	if err != nil {
		return "", err
	}
	var text bytes.Buffer
	if err := control.Execute(&text, map[string]any{
		"version": b.version(), "arch": arch, "depends": depends, "size": (t.bytes() + 1023) / 1024,
	}); err != nil {
		return "", err
	}
	t.write("DEBIAN/control", text.Bytes())
	name := fmt.Sprintf("endpin_%s_%s.deb", b.version(), arch)
	if err := t.dated(b); err != nil {
		return "", err
	}
	return name, b.do(b.work, nil, "dpkg-deb", "--root-owner-group", "-Zxz", "--build", tree, filepath.Join(b.out, name))
}

// helpOf is how each program is asked to say all of itself.
var helpOf = map[string][]string{"endpin": {"help", "--all"}, "endpin-desk": {"--help"}}

// libraries are the packages that hold the shared libraries of the window's program,
// as dpkg-shlibdeps finds them.
func (b builder) libraries(tree, arch string) (string, error) {
	source := filepath.Join(b.work, "shlibs")
	if err := os.MkdirAll(filepath.Join(source, "debian"), 0o755); err != nil {
		return "", err
	}
	stub := fmt.Sprintf("Source: endpin\n\nPackage: endpin\nArchitecture: %s\n", arch)
	if err := os.WriteFile(filepath.Join(source, "debian/control"), []byte(stub), 0o644); err != nil {
		return "", err
	}
	if err := b.do(source, nil, "dpkg-shlibdeps", "-Tvars", "-e"+filepath.Join(tree, "usr/bin/endpin-desk")); err != nil {
		return "", err
	}
	vars, err := os.ReadFile(filepath.Join(source, "vars"))
	if err != nil {
		return "", err
	}
	_, list, ok := strings.Cut(strings.TrimSpace(string(vars)), "shlibs:Depends=")
	if !ok {
		return "", fmt.Errorf("dpkg-shlibdeps found no library of endpin-desk")
	}
	return list, nil
}

// laid is a tree of files as they will lie on somebody's disk. Its first error stays.
type laid struct {
	root string
	err  error
}

func (t *laid) at(name string) string { return filepath.Join(t.root, filepath.FromSlash(name)) }

func (t *laid) write(name string, content []byte) {
	if t.err != nil {
		return
	}
	if t.err = os.MkdirAll(filepath.Dir(t.at(name)), 0o755); t.err == nil {
		t.err = os.WriteFile(t.at(name), content, 0o644)
	}
}

// files writes one of the embedded files.
func (t *laid) files(name, embedded string) {
	content, err := debianFiles.ReadFile(embedded)
	if err != nil && t.err == nil {
		t.err = err
	}
	t.write(name, content)
}

// bytes is how much lies in the tree.
func (t *laid) bytes() (n int64) {
	_ = filepath.WalkDir(t.root, func(_ string, d fs.DirEntry, err error) error {
		if info, e := d.Info(); err == nil && e == nil && !d.IsDir() {
			n += info.Size()
		}
		return err
	})
	return n
}

// dated gives everything the commit's date, and rights that do not hang on who makes it.
func (t *laid) dated(b builder) error {
	if t.err != nil {
		return t.err
	}
	return filepath.WalkDir(t.root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rights := fs.FileMode(0o644)
		if d.IsDir() || strings.Contains(filepath.ToSlash(path), "/usr/bin/") {
			rights = 0o755
		}
		if err := os.Chmod(path, rights); err != nil {
			return err
		}
		return os.Chtimes(path, b.from, b.from)
	})
}
