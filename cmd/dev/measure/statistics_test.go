package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp/robust"
)

func TestQuantilesAreThoseOfNumPy(t *testing.T) {
	values := []float64{3, 1, 2, 10} // numpy.quantile, linear
	assert.Equal(t, 2.5, robust.Median(values))
	assert.InDelta(t, 8.95, quantile(values, 0.95), 1e-9)
	assert.Equal(t, []float64{3, 1, 2, 10}, values, "the values keep their order")
	assert.Equal(t, 10.0, quantile(values, 1))
	assert.True(t, math.IsNaN(robust.Median(nil)))
	lost := math.Inf(1)
	assert.Equal(t, lost, quantile([]float64{1, lost, lost, lost}, 0.95))
}

func TestSpreadIsTheSampleDeviation(t *testing.T) {
	assert.InDelta(t, 1, deviation([]float64{1, 2, 3}), 1e-12)
	assert.InDelta(t, 0.8, f1(1, 2.0/3), 1e-12)
}

func TestOtherPeoplesOutputIsRead(t *testing.T) {
	assert.Equal(t, []float64{0.5, 1.25}, numbers([]byte("0.5\n\n1.25 x\n")))
	assert.Equal(t, []pitched{{0.9, 41.2}, {1.9, 0}}, pairs([]byte("1.0 41.2\n2.0 0\nnoise\n"), -0.1))
}
