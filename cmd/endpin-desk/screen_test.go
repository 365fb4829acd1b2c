package main

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWithoutAScreenOneLineSaysSo(t *testing.T) {
	err := spared(errors.New("NotInitialized: The GLFW library is not initialized"), nil)
	assert.EqualError(t, err, "no screen can be reached: start it where there is one; endpin hear needs none")
	assert.NoError(t, spared(nil, nil))
	assert.ErrorContains(t, spared("a slip", nil), "is offered at the next start")
}
