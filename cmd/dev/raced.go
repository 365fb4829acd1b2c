package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// withoutRace is what the race detector leaves out although something runs
// alongside in it: it makes them ten times slower.
var withoutRace = map[string]string{
	"endpin/cmd/dev":         "runs go list and go build",
	"endpin/cmd/dev/measure": "measures",
	"endpin/dsp/voice":       "computes; a test of it takes a transform from a library",
}

// alongside are the libraries that run something alongside whoever imports them.
var alongside = []string{
	"database/sql", "net/http", "net/http/httptest",
	"fyne.io/fyne/v2", "github.com/mjibson/go-dsp", "github.com/gordonklaus/portaudio",
}

// starters are calls that have a function run alongside the caller.
var starters = []string{"Go", "AfterFunc", "Parallel", "RunParallel"}

// raced reports whether something can race in the package whose files, tests
// included, lie in dir: whether one of them starts a goroutine or imports a library
// that does. Nothing can where one thing follows another, as in all that merely
// computes, and the race detector would take ten times as long to say so.
func raced(dir string) (bool, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false, err
	}
	for _, e := range entries {
		if e.IsDir() || filepath.Ext(e.Name()) != ".go" {
			continue
		}
		path := filepath.Join(dir, e.Name())
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return false, fmt.Errorf("%s: %w", path, err)
		}
		if startsSomething(file) {
			return true, nil
		}
	}
	return false, nil
}

func startsSomething(file *ast.File) (starts bool) {
	for _, i := range file.Imports {
		path, _ := strconv.Unquote(i.Path.Value)
		if slices.ContainsFunc(alongside, func(l string) bool { return path == l || strings.HasPrefix(path, l+"/") }) {
			return true
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			starts = true
		case *ast.CallExpr:
			if s, ok := n.Fun.(*ast.SelectorExpr); ok && slices.Contains(starters, s.Sel.Name) {
				starts = true
			}
		}
		return !starts
	})
	return starts
}
