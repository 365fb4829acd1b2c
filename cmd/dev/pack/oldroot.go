package main

import (
	"debug/elf"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// oldest is the release of Debian that the desk is linked against, so that it starts
// wherever the C library is no older: the oldest that Debian's mirrors still serve
// beside those it supports. In its headers and libraries is nothing of ours.
const oldest = "bullseye"

// linkedWith are that release's packages that the desk is built with, and what finds those that
// it hangs on.
var linkedWith = []string{"libc6-dev", "libgl-dev", "libx11-dev", "libxcursor-dev", "libxrandr-dev", "libxinerama-dev", "libxi-dev", "libxxf86vm-dev", "portaudio19-dev", "dpkg-dev"}

// system is what the desk is linked against.
type system struct {
	target
	root string // its folder; "" for this system's own
}

// oldSystem is the oldest release, or this system where nobody may lay another out.
func (b builder) oldSystem(arch, triplet string) (system, error) {
	s := system{target: target{env: []string{"CGO_ENABLED=1"}, flags: []string{"-buildmode=pie"}}}
	if os.Geteuid() != 0 || !onPath("debootstrap") {
		b.remark("the desk is linked against this system; as root, and with debootstrap, against an older one")
		return s, nil
	}
	root, err := b.keep(oldest+"-"+arch, func(dir string) error {
		if err := b.do(dir, nil, "debootstrap", "--variant=minbase", "--arch="+arch, oldest, dir); err != nil {
			return err
		}
		// apt's choice among alternatives, where debootstrap takes two that exclude each other.
		install := append([]string{"chroot", dir, "apt-get", "-q", "install", "--yes", "--no-install-recommends"}, linkedWith...)
		if err := b.do(dir, []string{"DEBIAN_FRONTEND=noninteractive", "LC_ALL=C"}, install...); err != nil {
			return err
		}
		return within(dir)
	})
	if err != nil {
		return s, err
	}
	s.root = root
	lib := filepath.Join(root, "usr/lib", triplet)
	s.env = append(s.env, "CC=gcc --sysroot="+root, "PKG_CONFIG_SYSROOT_DIR="+root,
		"PKG_CONFIG_LIBDIR="+filepath.Join(lib, "pkgconfig")+":"+filepath.Join(root, "usr/share/pkgconfig"))
	return s, nil
}

// dependencies are the packages that hold the shared libraries of a program, as
// dpkg-shlibdeps finds them there.
func (s system) dependencies(b builder, program, arch string) (string, error) {
	const folder = "/tmp/endpin"
	at := filepath.Join(s.root, folder)
	if s.root == "" {
		at = filepath.Join(b.work, "shlibs")
	}
	defer os.RemoveAll(at)
	if err := os.MkdirAll(filepath.Join(at, "debian"), 0o755); err != nil {
		return "", err
	}
	stub := fmt.Sprintf("Source: endpin\n\nPackage: endpin\nArchitecture: %s\n", arch)
	if err := os.WriteFile(filepath.Join(at, "debian/control"), []byte(stub), 0o644); err != nil {
		return "", err
	}
	if err := b.do(at, nil, "cp", program, "program"); err != nil {
		return "", err
	}
	find := []string{"dpkg-shlibdeps", "-O", "-eprogram"}
	if s.root != "" {
		find = append([]string{"chroot", s.root, "env", "-C", folder, "LC_ALL=C"}, find...)
	} else {
		find = append([]string{"env", "-C", at}, find...)
	}
	vars, err := said(find...)
	if err != nil {
		return "", err
	}
	_, list, ok := strings.Cut(vars, "shlibs:Depends=")
	if !ok {
		return "", fmt.Errorf("dpkg-shlibdeps found no library of %s", program)
	}
	return list, nil
}

// within turns links to the root's own files, which as they stand lead to this
// system's, into such as stay inside from wherever they are looked at.
func within(root string) error {
	return filepath.WalkDir(filepath.Join(root, "usr"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.Type()&fs.ModeSymlink == 0 {
			return err
		}
		to, err := os.Readlink(path)
		if err != nil || !filepath.IsAbs(to) {
			return err
		}
		if err := os.Remove(path); err != nil {
			return err
		}
		if to, err = filepath.Rel(filepath.Dir(path), filepath.Join(root, to)); err != nil {
			return err
		}
		return os.Symlink(to, path)
	})
}

// needsGlibc is the version of the C library that a program asks for.
func needsGlibc(program string) (string, error) {
	file, err := elf.Open(program)
	if err != nil {
		return "", err
	}
	defer file.Close()
	symbols, err := file.ImportedSymbols()
	if err != nil {
		return "", err
	}
	var newest, minor int
	for _, s := range symbols {
		if v, ok := strings.CutPrefix(s.Version, "GLIBC_2."); ok {
			v, _, _ = strings.Cut(v, ".")
			if minor, err = strconv.Atoi(v); err == nil {
				newest = max(newest, minor)
			}
		}
	}
	return fmt.Sprintf("2.%d", newest), nil
}
