package words

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// said is one message that the code names, with the places it fills; places is nil
// where they are not all told in the call.
type said struct {
	at     string
	key    string
	places []string
	many   bool
}

// named finds what the code of the whole repository says by a key that stands there
// as it is, and every string in it that begins like a key.
func named(t *testing.T) (calls []said, strs map[string]bool) {
	t.Helper()
	strs = map[string]bool{}
	root, err := filepath.Abs(filepath.Join("..", ".."))
	require.NoError(t, err)
	require.FileExists(t, filepath.Join(root, "go.mod"))
	err = filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() && strings.HasPrefix(e.Name(), ".") && path != root {
			return errOr(err, fs.SkipDir)
		}
		switch {
		case strings.HasSuffix(path, ".gohtml"):
			text, err := os.ReadFile(path)
			for _, m := range regexp.MustCompile(`"([a-z]+\.[^"\s]+)"`).FindAllStringSubmatch(string(text), -1) {
				strs[m[1]] = true
			}
			return err
		case !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if s, err := strconv.Unquote(lit.Value); err == nil {
					strs[s] = true
				}
			}
			if c, ok := call(n); ok {
				c.at = fmt.Sprint(set.Position(n.Pos()))
				calls = append(calls, c)
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	return calls, strs
}

func errOr(err, or error) error {
	if err != nil {
		return err
	}
	return or
}

// call reads one call of Of, Say, Many, ManyOf or Fault with a key written in it.
func call(n ast.Node) (s said, ok bool) {
	c, isCall := n.(*ast.CallExpr)
	if !isCall || len(c.Args) == 0 {
		return s, false
	}
	name := ""
	switch f := c.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	first := map[string]int{"Of": 1, "Say": 1, "Fault": 1, "Many": 2, "ManyOf": 2}[name]
	if s.key, ok = literal(c.Args[0]); first == 0 || !ok || !isKey.MatchString(s.key) {
		return s, false
	}
	s.many = first == 2
	if c.Ellipsis.IsValid() {
		return s, true
	}
	s.places = []string{}
	for i := first; i < len(c.Args); i += 2 {
		place, ok := literal(c.Args[i])
		if !ok {
			s.places = nil
			return s, true
		}
		s.places = append(s.places, place)
	}
	return s, true
}

var isKey = regexp.MustCompile(`^[a-z]+(\.[\w-]+)+$`)

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(lit.Value)
	return s, err == nil
}

var place = regexp.MustCompile(`{{\s*\.(\w+)\s*}}`)

// places are those of a message, in any of its plurals.
func placesOf(message map[string]string) map[string]bool {
	all := map[string]bool{}
	for _, text := range message {
		for _, m := range place.FindAllStringSubmatch(text, -1) {
			all[m[1]] = true
		}
	}
	return all
}

func TestEveryMessageThatIsSaidStandsInTheCatalogueWithItsPlaces(t *testing.T) {
	all, err := Messages(Source)
	require.NoError(t, err)
	rooms := Rooms()
	calls, _ := named(t)
	require.NotEmpty(t, calls)
	for _, c := range calls {
		if room, _, _ := strings.Cut(c.key, "."); !slices.Contains(rooms, room) {
			continue // no key of ours
		}
		message, ok := all[c.key]
		if !assert.True(t, ok, "%s: %q is not in the catalogue", c.at, c.key) || c.places == nil {
			continue
		}
		for p := range placesOf(message) {
			assert.True(t, slices.Contains(c.places, p) || c.many && p == "n", "%s: %q has a place %q that nothing fills", c.at, c.key, p)
		}
		assert.True(t, c.many || len(message) == 1, "%s: %q goes by a number: say it by Many", c.at, c.key)
	}
}

func TestNothingStandsInTheCatalogueThatNobodySays(t *testing.T) {
	all, err := Messages(Source)
	require.NoError(t, err)
	_, strs := named(t)
	var parts []string // of keys that the code joins, long enough to mean one room
	for s := range strs {
		if strings.ContainsRune(s, '.') && strings.HasSuffix(s, ".") || strings.HasSuffix(s, "-") && strings.ContainsRune(s, '.') {
			parts = append(parts, s)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(all)) {
		used := strs[key]
		for _, p := range parts {
			used = used || strings.HasPrefix(key, p)
		}
		for end := key; !used && strings.ContainsRune(end, '.'); { // a key with an end that says how it is put
			end = end[:strings.LastIndexByte(end, '.')]
			used = strs[end]
		}
		assert.True(t, used, "%q", key)
	}
}

func TestEachFileHoldsTheKeysOfItsRoomInEveryLanguage(t *testing.T) {
	files, err := fs.Glob(catalogue, "catalogue/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	rooms := Rooms()
	for _, f := range files {
		base := strings.Split(strings.TrimSuffix(filepath.Base(f), ".json"), ".")
		require.Len(t, base, 2, "%s: ROOM.LANGUAGE.json", f)
		assert.Contains(t, rooms, base[0], "%s: a room that the source language has not", f)
	}
	source, err := Messages(Source)
	require.NoError(t, err)
	for key, message := range source {
		room, _, found := strings.Cut(key, ".")
		assert.True(t, found && slices.Contains(rooms, room), "%q: its room is no file", key)
		for plural, text := range message {
			assert.NotEmpty(t, text, "%q %s", key, plural)
			assert.Equal(t, strings.Count(text, "{{"), len(place.FindAllString(text, -1)), "%q: %s", key, text)
		}
	}
}

func TestWhatIsHeardNamesTheInstrumentAtHandAndNoBass(t *testing.T) {
	for _, room := range []string{"align", "class", "finding", "gist", "job", "practice", "report", "sound"} {
		text, err := os.ReadFile(filepath.Join("catalogue", room+".en.json"))
		require.NoError(t, err)
		assert.NotRegexp(t, `(?i)\b(bass|cello|viola|violin)\b`, string(text), room)
	}
}
