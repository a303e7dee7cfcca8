package crop_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/crop"
)

// Nothing is lost: as many are filled as are wanted. Half is lost, and one good one is
// wanted with a confidence of 90 %: three leave none with 1/8, four with 1/16, by hand.
func TestToFillByHand(t *testing.T) {
	assert.Equal(t, 48.0, checks.Eval(t, crop.ToFill, values{"good": 48, "confidence": 0.9, "lost": 0, "clustering": 0}))
	assert.Equal(t, 4.0, checks.Eval(t, crop.ToFill, values{"good": 1, "confidence": 0.9, "lost": 0.5, "clustering": 0}))
	_, err := crop.ToFill.At(values{"good": 47.5, "confidence": 0.9, "lost": 0, "clustering": 0})
	require.ErrorContains(t, err, "no whole number")
	_, err = crop.ToFill.At(values{"good": 48, "confidence": 0.9, "lost": 1, "clustering": 0})
	require.Error(t, err, "all of it is lost")
	_, err = crop.ExpectedUses.At(values{"p": 1.1, "N": 60})
	require.ErrorContains(t, err, "outside 0 to 1")
}
