package main

import (
	"bytes"
	"embed"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"text/template"
)

// laid is a tree of files as they will lie on somebody's disk. Its first error stays.
type laid struct {
	root   string
	err    error
	values map[string]any // what templates may name
}

//go:embed debian windows macos
var templates embed.FS

func (t *laid) at(name string) string { return filepath.Join(t.root, filepath.FromSlash(name)) }

func (t *laid) write(name string, content []byte) {
	if t.err != nil {
		return
	}
	if t.err = os.MkdirAll(filepath.Dir(t.at(name)), 0o755); t.err == nil {
		t.err = os.WriteFile(t.at(name), content, 0o644)
	}
}

// filled writes one of the templates with what they may name.
func (t *laid) filled(name, from string) {
	if t.err != nil {
		return
	}
	of, err := template.New(filepath.Base(from)).Option("missingkey=error").ParseFS(templates, from)
	if err != nil {
		t.err = err
		return
	}
	var text bytes.Buffer
	t.err = of.Execute(&text, t.values)
	t.write(name, text.Bytes())
}

// packed writes content through gzip.
func (t *laid) packed(name string, content []byte) {
	small, err := packed(content)
	if t.err == nil {
		t.err = err
	}
	t.write(name, small)
}

// manual writes a program's manual page.
func (t *laid) manual(b builder, program, about string, helps ...string) {
	if t.err != nil {
		return
	}
	help, err := said(append([]string{t.at("usr/bin/" + program)}, helps...)...)
	t.err = err
	t.packed("usr/share/man/man1/"+program+".1.gz", page(program, about, help, b.from))
}

// bytes is how much lies in the tree.
func (t *laid) bytes() (n int64) {
	_ = filepath.WalkDir(t.root, func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
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
		if d.IsDir() || strings.Contains(filepath.ToSlash(path), "/bin/") || strings.HasSuffix(path, ".sh") {
			rights = 0o755
		}
		if err := os.Chmod(path, rights); err != nil {
			return err
		}
		return os.Chtimes(path, b.from, b.from)
	})
}
