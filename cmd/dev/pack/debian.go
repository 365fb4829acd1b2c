package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"endpin/ui/ink"
	_ "endpin/ui/locale" // before the toolkit looks for a language
)

// id is how desktops and catalogues of programs call the desk: nobody has a domain for it yet.
const id = "local.endpin.desk"

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
	triplet, err := said("dpkg-architecture", "-a"+arch, "-qDEB_HOST_MULTIARCH")
	if err != nil {
		return "", err
	}
	t := laid{root: filepath.Join(b.work, "deb"), values: map[string]any{"version": b.version(), "day": b.day("2006-01-02"),
		"rev": b.rev, "date": b.day("Mon, 02 Jan 2006 15:04:05 -0700"), "arch": arch}}
	if err := os.MkdirAll(t.at("usr/bin"), 0o755); err != nil {
		return "", err
	}
	if err := b.build("endpin", t.at("usr/bin/endpin"), target{env: []string{"CGO_ENABLED=0"}}); err != nil {
		return "", err
	}
	old, err := b.oldSystem(arch, triplet)
	if err != nil {
		return "", err
	}
	if err := b.build("endpin-desk", t.at("usr/bin/endpin-desk"), old.target); err != nil {
		return "", err
	}
	for _, f := range []struct{ name, from string }{
		{"usr/share/applications/" + id + ".desktop", id + ".desktop"},
		{"usr/share/mime/packages/endpin.xml", "endpin-mime.xml"},
		{"usr/share/metainfo/" + id + ".metainfo.xml", id + ".metainfo.xml"},
		{"usr/share/lintian/overrides/endpin", "overrides"},
	} {
		t.filled(f.name, "debian/"+f.from)
	}
	for _, side := range iconSizes {
		t.write(fmt.Sprintf("usr/share/icons/hicolor/%dx%d/apps/endpin.png", side, side), ink.IconOf(side))
	}
	licences, err := b.licences([]string{t.at("usr/bin/endpin"), t.at("usr/bin/endpin-desk")})
	if err != nil {
		return "", err
	}
	t.packed("usr/share/doc/endpin/licences.gz", licences)
	own, err := os.ReadFile(filepath.Join(b.root, "LICENSE"))
	if err != nil {
		return "", err
	}
	t.write("usr/share/doc/endpin/copyright", fmt.Appendf(own, "\nThe libraries that stand in the programs, with the licence of each: licences.gz\n"))
	t.packed("usr/share/doc/endpin/changelog.gz", fmt.Appendf(nil, "endpin (%s) unstable; urgency=medium\n\n  * The source at commit %s.\n\n -- Endpin <endpin@localhost>  %s\n",
		b.version(), b.rev, t.values["date"]))
	t.manual(b, "endpin", "hear a double bass and say what was heard, measure by measure", "help", "--all")
	t.manual(b, "endpin-desk", "practise a piece, heard measure by measure", "--help")
	if t.values["depends"], err = old.dependencies(b, t.at("usr/bin/endpin-desk"), arch); err != nil {
		return "", err
	}
	t.values["size"] = (t.bytes() + 1023) / 1024
	t.filled("DEBIAN/control", "debian/control")
	if err := t.dated(b); err != nil {
		return "", err
	}
	glibc, err := needsGlibc(t.at("usr/bin/endpin-desk"))
	if err != nil {
		return "", err
	}
	b.remark("the desk needs a C library (glibc) of %s or later", glibc)
	name := fmt.Sprintf("endpin_%s_%s.deb", b.version(), arch)
	return name, b.do(b.work, nil, "dpkg-deb", "--root-owner-group", "-Zxz", "--build", t.root, filepath.Join(b.out, name))
}
