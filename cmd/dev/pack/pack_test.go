package main

import (
	"bytes"
	"image/png"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/ui/ink"
)

// What stands in this test's own program serves as a package's: the window's toolkit and all below it.
func TestEveryLibraryInAProgramBringsItsLicence(t *testing.T) {
	program, err := os.Executable()
	require.NoError(t, err)
	modules, err := linked(program)
	require.NoError(t, err)
	require.NotEmpty(t, modules)
	root, err := said("go", "list", "-m", "-f", "{{.Dir}}")
	require.NoError(t, err)
	text, err := builder{root: root}.licences([]string{program})
	require.NoError(t, err)
	for _, m := range append(modules, module{"Endpin", ""}, module{"Bravura", ""}) {
		assert.True(t, bytes.Contains(text, []byte(m.path)), "the licence of %s is not there", m.path)
	}
	var fyne bool
	for _, m := range modules {
		fyne = fyne || m.path == "fyne.io/fyne/v2"
	}
	assert.True(t, fyne, "this looks at the window's toolkit")
}

func TestNothingInAManualPageIsTakenForARequest(t *testing.T) {
	text := string(page("endpin", "hear", ".so /etc/passwd\n'br\n--help \\fB\n", time.Unix(0, 0).UTC()))
	assert.Contains(t, text, "\\&.so /etc/passwd\n\\&'br\n\\-\\-help \\efB\n")
	assert.Contains(t, text, ".TH ENDPIN 1 1970-01-01 Endpin\n")
}

func TestAPackageWithoutATagSortsByDayAndBeforeAnyTag(t *testing.T) {
	b := builder{from: time.Date(2026, 11, 30, 7, 0, 0, 0, time.UTC), rev: "7f31213ab12c"}
	assert.Equal(t, "0~20261130.7f31213ab12c", b.version())
	b.tag = "1.0"
	assert.Equal(t, "1.0", b.version())
}

func TestWhatCannotBeMadeHereSaysWhy(t *testing.T) {
	p := product{needs: []string{"gcc", "nobodys-packer"}}
	here := func(name string) bool { return name == "gcc" }
	assert.Equal(t, "nobodys-packer is not here", p.lacking(here))
	p.needs = p.needs[:1]
	assert.Empty(t, p.lacking(here))
	p.cannot = func() string { return "it is made on Debian" }
	assert.Equal(t, "it is made on Debian", p.lacking(here))
}

func TestTheIconIsDrawnInEverySizeOfATheme(t *testing.T) {
	for _, side := range iconSizes {
		picture, err := png.Decode(bytes.NewReader(ink.IconOf(side)))
		require.NoError(t, err)
		assert.Equal(t, side, picture.Bounds().Dx())
	}
}
