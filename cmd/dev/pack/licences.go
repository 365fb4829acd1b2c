package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"
)

// module is a library that stands in a program.
type module struct {
	path, version string
}

// linked are the modules in a program, as go version -m lists them.
func linked(program string) ([]module, error) {
	out, err := said("go", "version", "-m", program)
	if err != nil {
		return nil, err
	}
	var all []module
	for line := range strings.Lines(out) {
		if f := strings.Fields(line); len(f) >= 3 && f[0] == "dep" {
			all = append(all, module{f[1], f[2]})
		}
	}
	return all, nil
}

// licence is what is brought along that no module is.
type licence struct{ what, file string }

// licences is the text of every licence under which something stands in the programs:
// Endpin's own, that of the music font, Go's, and each module's. A module without one
// is an error, since it could not be given to anybody.
func (b builder) licences(programs []string, brought ...licence) ([]byte, error) {
	found := map[module]bool{}
	for _, p := range programs {
		modules, err := linked(p)
		if err != nil {
			return nil, err
		}
		for _, m := range modules {
			found[m] = true
		}
	}
	var all []module
	for m := range found {
		all = append(all, m)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].path < all[j].path })
	var out bytes.Buffer
	text := func(what string, files ...string) error {
		fmt.Fprintf(&out, "%s\n%s\n\n", what, strings.Repeat("=", len([]rune(what))))
		for _, file := range files {
			content, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			out.Write(bytes.TrimSpace(bytes.ReplaceAll(content, []byte("\r"), nil)))
			out.WriteString("\n\n")
		}
		return nil
	}
	root, err := said("go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	if err := text("Endpin", filepath.Join(b.root, "LICENSE")); err != nil {
		return nil, err
	}
	if err := text("Bravura, the music font", filepath.Join(b.root, "assets", "bravura-OFL.txt")); err != nil {
		return nil, err
	}
	if err := text("Signs out of DejaVu Sans, in the window", filepath.Join(b.root, "ui", "ink", "signs-LICENSE.txt")); err != nil {
		return nil, err
	}
	if err := text("Go and its standard library", filepath.Join(root, "LICENSE")); err != nil {
		return nil, err
	}
	for _, more := range brought {
		if err := text(more.what, more.file); err != nil {
			return nil, err
		}
	}
	for _, m := range all {
		dir, err := b.folder(m)
		if err != nil {
			return nil, err
		}
		files := licenceFiles(dir)
		if len(files) == 0 {
			return nil, fmt.Errorf("%s %s has no licence in its folder", m.path, m.version)
		}
		if err := text(m.path+" "+m.version, files...); err != nil {
			return nil, err
		}
	}
	return out.Bytes(), nil
}

// folder is where a module's source lies.
func (b builder) folder(m module) (string, error) {
	c := exec.Command("go", "mod", "download", "-json", m.path+"@"+m.version)
	c.Dir = b.root
	out, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("the source of %s %s, for its licence: %w", m.path, m.version, err)
	}
	var at struct{ Dir string }
	err = json.Unmarshal(out, &at)
	return at.Dir, err
}

// licenceFiles are the files of a module that tell its licence and those of what it
// brings along from others: fonts, C sources. Programs and examples that a module has
// for itself are not linked.
func licenceFiles(dir string) (files []string) {
	_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if slices.Contains([]string{"cmd", "example", "examples", "testdata"}, d.Name()) && path != dir {
				return filepath.SkipDir
			}
			return nil
		}
		if tellsLicence.MatchString(d.Name()) && filepath.Ext(path) != ".go" {
			files = append(files, path)
		}
		return nil
	})
	return files
}

var tellsLicence = regexp.MustCompile(`(?i)^(un)?(licen[cs]e|copying|notice|patents|copyright)([-_.].*)?$`)
