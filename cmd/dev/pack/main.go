package main

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// product is one thing that people install.
type product struct {
	name   string
	needs  []string                        // programs that make it
	make   func(b builder) (string, error) // makes it in b.out and gives its file's name
	cannot func() string                   // why this computer never can; nil where it may
}

// products is all that there is.
var products = []product{
	{name: "Debian and Ubuntu", needs: []string{"gcc", "dpkg-deb", "dpkg-shlibdeps"}, make: debian, cannot: notDebian},
	{name: "Windows", needs: []string{crossed + "-gcc-posix", crossed + "-windres", "makensis", "make", "apt-get", "dpkg-source"}, make: windows},
	{name: "macOS, without the desk", make: macPrograms},
	{name: "macOS, the desk", needs: []string{"clang", "pkg-config", "otool", "install_name_tool", "codesign", "ditto"}, make: macApp, cannot: notMac},
}

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintf(os.Stderr, "pack: %v\n", err)
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	f := flag.NewFlagSet("pack", flag.ContinueOnError)
	folder := f.String("out", "packages", "the folder that the packages go into")
	only := f.String("only", "", "make only what its `name` begins with: debian, windows, macos")
	if err := f.Parse(args); err != nil {
		return err
	}
	if err := os.MkdirAll(*folder, 0o755); err != nil {
		return err
	}
	b, err := newBuilder(*folder)
	if err != nil {
		return err
	}
	defer b.done()
	b.remark = func(format string, args ...any) { fmt.Fprintf(out, "  "+format+"\n", args...) }
	var made []string
	var failed []string
	for _, p := range products {
		if !strings.HasPrefix(strings.ToLower(p.name), strings.ToLower(*only)) {
			continue
		}
		if why := p.lacking(onPath); why != "" {
			fmt.Fprintf(out, "%s: not made here: %s\n", p.name, why)
			continue
		}
		fmt.Fprintf(out, "%s:\n", p.name)
		name, err := p.make(b)
		if err != nil {
			fmt.Fprintf(out, "  not made: %v\n", err)
			failed = append(failed, p.name)
			continue
		}
		made = append(made, name)
		fmt.Fprintf(out, "  %s\n", filepath.Join(*folder, name))
	}
	if err := sums(*folder, made); err != nil {
		return err
	}
	if len(failed) > 0 {
		return fmt.Errorf("not made, see above: %s", strings.Join(failed, "; "))
	}
	return nil
}

// lacking says why the product cannot be made on this computer, or "".
func (p product) lacking(onPath func(string) bool) string {
	if p.cannot != nil {
		if why := p.cannot(); why != "" {
			return why
		}
	}
	var away []string
	for _, n := range p.needs {
		if !onPath(n) {
			away = append(away, n)
		}
	}
	if len(away) > 0 {
		return strings.Join(away, ", ") + " is not here"
	}
	return ""
}

// sums writes SHA256SUMS, as sha256sum --check reads it.
func sums(folder string, names []string) error {
	if len(names) == 0 {
		return nil
	}
	sort.Strings(names)
	var list strings.Builder
	for _, name := range names {
		content, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			return err
		}
		fmt.Fprintf(&list, "%x  %s\n", sha256.Sum256(content), name)
	}
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(list.String()), 0o644)
}
