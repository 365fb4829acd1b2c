package player

import (
	"strings"
	"testing"

	"endpin/piece/words/pseudo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOnePlayerMayBeTypedInManyWays(t *testing.T) {
	for _, typed := range []string{"Zoé Müller", "zoé müller", "ZOÉ MÜLLER", " Zoé  Müller\t", "Zoe\u0301 Mu\u0308ller", "Zoé\u00a0Müller"} {
		assert.True(t, Same("Zoé Müller", typed), "%q", typed)
	}
	for _, other := range []string{"Zoe Müller", "Zoé", "Zoé Müllers", "", " "} {
		assert.False(t, Same("Zoé Müller", other), "%q", other)
	}
	assert.False(t, Same("", ""), "nobody is no player")
	assert.True(t, Same("Ωmega", "ωmega"))
	assert.True(t, Same("李小龍", " 李小龍"))
}

func TestANameIsKeptAsItWasTyped(t *testing.T) {
	name, err := Name("  Mu\u0308ller   Zoe\u0301 ")
	require.NoError(t, err)
	assert.Equal(t, "Müller Zoé", name)
	for _, bad := range []string{"", " \t", "a\x07b", string(make([]byte, 0)) + "\x00"} {
		_, err := Name(bad)
		assert.Error(t, err, "%q", bad)
	}
}

func TestWhatIsNoNameIsSaidFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	for _, bad := range []string{"", "a\x07b", strings.Repeat("x", 2000), "\u202e"} {
		_, err := Name(bad)
		require.Error(t, err, "%q", bad)
		assert.Empty(t, pseudo.Plain(err.Error(), `"a\ab"`), err.Error())
	}
}
