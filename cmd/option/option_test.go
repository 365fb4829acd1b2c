package option

import (
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/words"
)

func TestLinesOfHelpAreFilledAndNoShortWordStandsAlone(t *testing.T) {
	assert.Equal(t, []string{"play", "it once"}, wrap("play it once", 12))
	assert.Equal(t, []string{"play it twice"}, wrap("play it twice", 14))
	assert.Equal(t, []string{"play", "measures", "21 and 22"}, wrap("play measures 21 and 22", 14))
	assert.Equal(t, []string{"contrabassophone", "in C"}, wrap("contrabassophone in C", 12))
	assert.Equal(t, []string{"contrabassophone"}, wrap("contrabassophone", 12))
	assert.Equal(t, []string{"ţĥé ƀåššéš", "ƀéĝîñ ñõŵ"}, wrap("ţĥé ƀåššéš ƀéĝîñ ñõŵ", 16), "letters count, not bytes")
}

func TestHelpSetsWhatAnOptionSaysInOneColumn(t *testing.T) {
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	f.SortFlags = false
	f.String("saite", "G", "auf welcher `SÄITE`")
	f.Bool("arco", false, "mit dem Bogen")
	f.Int("takt", 0, "ab diesem `TAKT`")
	f.String("diary", "", "in this `FILE`")
	f.Lookup("diary").NoOptDefVal = "\x00"
	assert.Equal(t, `
      --saite SÄITE               auf welcher SÄITE (default "G")
      --arco[=true|false]         mit dem Bogen
      --takt TAKT                 ab diesem TAKT
      --diary FILE[="your own"]   in this FILE
`, "\n"+Help(f))
}

func TestWhatIsWrongWithAnOptionNamesItAndTheMend(t *testing.T) {
	for given, want := range map[string]string{
		"--tempp 60":     "--tempp: there is no such option, did you mean --tempo? endpin hear --help lists the options",
		"--tuning 440":   "--tuning: there is no such option; endpin hear --help lists the options",
		"-tempo":         "-tempo: there is no such option; endpin hear --help lists the options",
		"--=60":          "--=60: there is no such option; endpin hear --help lists the options",
		"--tempo":        "--tempo: write a value after it, as in --tempo QPM; endpin hear --help lists the options",
		"--tempo fast":   `--tempo "fast": write a number; endpin hear --help lists the options`,
		"--minutes 1.5":  `--minutes "1.5": write a whole number; endpin hear --help lists the options`,
		"--afresh=maybe": `--afresh "maybe": write true or false; endpin hear --help lists the options`,
		`--positions 1"`: `--positions "1\"": write it as in --positions 1,3; endpin hear --help lists the options`,
	} {
		f := pflag.NewFlagSet("", pflag.ContinueOnError)
		f.Float64("tempo", 0, "in `QPM`")
		f.Int("minutes", 0, "so many `MINUTES`")
		f.Bool("afresh", false, "")
		f.StringSlice("positions", nil, "as in `1,3`")
		err := f.Parse(strings.Fields(given))
		require.Error(t, err, given)
		assert.EqualError(t, Fault(err, "endpin hear", f), want)
	}
}

func TestALanguageIsAskedForAnywhereOnTheCommandLine(t *testing.T) {
	for _, args := range [][]string{{"--language", "en", "hear", "a b"}, {"hear", "a b", "--language=en-GB"}, {"hear", "--language", "tlh", "a b", "--language", "en"}} {
		w, rest, err := Spoken(args)
		require.NoError(t, err)
		assert.Equal(t, "en", w.Tag())
		assert.Equal(t, []string{"hear", "a b"}, rest)
	}
	w, rest, err := Spoken([]string{"hear", "--", "--language", "en"})
	require.NoError(t, err)
	assert.Nil(t, w, "behind -- stand files")
	assert.Equal(t, []string{"hear", "--", "--language", "en"}, rest)
	for _, wrong := range []string{"tlh", "", "English", "?"} {
		_, _, err = Spoken([]string{"--language", wrong})
		assert.ErrorContains(t, err, `--language "`+wrong+`": no such language is here; there are en`)
	}
	_, _, err = Spoken([]string{"hear", "--language"})
	assert.ErrorContains(t, err, "--language: write one after it; there are en")
}

func TestTheLanguageIsTheSystemsWhereNoneIsAskedForAndEnglishWhereTheSystemHasNone(t *testing.T) {
	t.Setenv("LANGUAGE", "")
	for lang, want := range map[string]string{"C": "en", "": "en", "C.UTF-8": "en", "tlh_AQ.UTF-8": "en", "en_US.UTF-8": "en", "de_AT.UTF-8": "de", "fr_CA@euro": "fr", "es_MX": "es"} {
		if !slices.Contains(words.Languages(), want) {
			want = words.Source
		}
		t.Setenv("LC_ALL", lang)
		t.Setenv("LANG", "")
		t.Setenv("LC_MESSAGES", "")
		if runtime.GOOS == "linux" {
			assert.Equal(t, want, System().Tag(), lang)
		}
	}
}
