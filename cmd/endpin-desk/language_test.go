package main

import (
	"bytes"
	"slices"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"

	"endpin/piece/fingerboard"
	"endpin/piece/words/pseudo"
	"endpin/ui/desk/work"
)

func TestWhatIsSaidAtTheStartIsInTheLanguageOfTheProgram(t *testing.T) {
	defer pseudo.Speak()()
	own := []string{"endpin-desk", "true|false", "first-year", "intermediate", "advanced", "absent", "Listen", "instrument"}
	for _, n := range fingerboard.Instruments() {
		own = append(own, n.Word)
	}
	for _, w := range work.Ways {
		own = append(own, string(w))
	}
	flags(&opts{}).VisitAll(func(f *pflag.Flag) { own = append(own, "--"+f.Name) })
	slices.SortFunc(own, func(a, b string) int { return len(b) - len(a) }) // no name is taken for the beginning of another
	for _, args := range [][]string{
		{"--help"},
		{"Listen", "Listen"}, {"--Listen"}, {"--tempo"}, {"--width", "Listen"}, {"--tempo", "1"}, {"--silence", "99"}, {"--a4", "1"},
		{"--level", "Listen"}, {"--work", "Listen"}, {"--findings-json", "Listen"}, {"--instrument", "Listen"}, {"absent", "--work", "echo"},
	} {
		var out, errOut bytes.Buffer
		code := run(args, &out, &errOut)
		assert.Equal(t, args[0] == "--help", code == 0, "%s", args)
		assert.NotEmpty(t, out.String()+errOut.String(), "%s", args)
		assert.Empty(t, pseudo.Plain(out.String()+errOut.String(), own...), "%s: %s%s", args, &out, &errOut)
	}
	assert.Empty(t, pseudo.Plain(spared("GLFW", nil).Error()))
	assert.Empty(t, pseudo.Plain(opts{}.tell(nil).Error()))
}
