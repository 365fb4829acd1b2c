package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAVersionTellsTagCommitAndDay(t *testing.T) {
	built = "1.2 0123456789ab 2026-12-01"
	defer func() { built = "" }()
	assert.Regexp(t, `^endpin 1\.2 0123456789ab 2026-12-01, listening \d+$`, Version("endpin"))
}

func TestAProgramOfNoKnownStateSaysSoToAUserAndNothingToAProgram(t *testing.T) {
	assert.Empty(t, state(), "a test's own program has no revision in it")
	assert.Regexp(t, `^endpin of no known state, listening \d+$`, Version("endpin"))
}
