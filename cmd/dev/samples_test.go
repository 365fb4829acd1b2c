package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The piece may name what was heard, never the samples.
func TestThePieceNeverTouchesSamples(t *testing.T) {
	sound := withSamples(t)
	assert.Subset(t, sound, []string{"Source", "Samples", "Listen", "Listener"})
	for _, name := range []string{"Heard", "Note", "Frame", "Onset", "Trust"} {
		assert.NotContains(t, sound, name)
	}
	files := 0
	for path, file := range goFiles(t, filepath.Join(root(t), "piece")) {
		files++
		for _, name := range named(file) {
			assert.NotContains(t, sound, name, "%s names dsp.%s", path, name)
		}
	}
	assert.Greater(t, files, 5)

	const guilty = "package p\nimport sound \"endpin/dsp\"\nvar _ = sound.Samples{}\nvar _ sound.Note"
	file, err := parser.ParseFile(token.NewFileSet(), "p.go", guilty, 0)
	require.NoError(t, err)
	assert.Equal(t, []string{"Samples", "Note"}, named(file))
}

// goFiles reads the Go files in and below the folder, tests aside.
func goFiles(t *testing.T, folder string) map[string]*ast.File {
	t.Helper()
	files := map[string]*ast.File{}
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files[path], err = parser.ParseFile(token.NewFileSet(), path, nil, 0)
		return err
	})
	require.NoError(t, err)
	return files
}

// withSamples lists what package dsp exports that has to do with samples: whose
// declaration, or that of a method, names []float32 or something that does.
func withSamples(t *testing.T) (names []string) {
	t.Helper()
	touches := func(n ast.Node) (yes bool) {
		ast.Inspect(n, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ArrayType:
				of, ok := n.Elt.(*ast.Ident)
				yes = yes || ok && of.Name == "float32"
			case *ast.Ident:
				yes = yes || slices.Contains(names, n.Name)
			}
			return !yes
		})
		return yes
	}
	add := func(name string, of ast.Node) {
		if ast.IsExported(name) && !slices.Contains(names, name) && touches(of) {
			names = append(names, name)
		}
	}
	files := goFiles(t, filepath.Join(root(t), "dsp"))
	for before := -1; before != len(names); {
		before = len(names)
		for path, file := range files {
			if filepath.Base(filepath.Dir(path)) != "dsp" {
				continue
			}
			for _, d := range file.Decls {
				switch d := d.(type) {
				case *ast.GenDecl:
					for _, spec := range d.Specs {
						if is, ok := spec.(*ast.TypeSpec); ok {
							add(is.Name.Name, is.Type)
						}
					}
				case *ast.FuncDecl:
					name := d.Name.Name
					if d.Recv != nil {
						name = receiver(d)
					}
					add(name, d.Type)
				}
			}
		}
	}
	return names
}

// receiver is the type that the method belongs to.
func receiver(method *ast.FuncDecl) string {
	of := method.Recv.List[0].Type
	if star, ok := of.(*ast.StarExpr); ok {
		of = star.X
	}
	name, _ := of.(*ast.Ident)
	return fmt.Sprint(name)
}

// named lists what a file names of package dsp.
func named(file *ast.File) (names []string) {
	dsp := ""
	for _, i := range file.Imports {
		if i.Path.Value == `"`+module+`/dsp"` {
			dsp = "dsp"
			if i.Name != nil {
				dsp = i.Name.Name
			}
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok {
			if x, ok := s.X.(*ast.Ident); ok && dsp != "" && x.Name == dsp {
				names = append(names, s.Sel.Name)
			}
		}
		return true
	})
	return names
}
