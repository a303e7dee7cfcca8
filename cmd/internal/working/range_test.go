package working_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/working"
)

func TestBetweenPassesOnWhatIsInRange(t *testing.T) {
	law := working.NewLaw("2 * share(x)", "definition", map[string]working.Function{
		"share": working.Between("share", "", 0, 1, "it is a part of a whole")})
	for _, x := range []float64{0, 0.3, 1} {
		v, err := law.At(map[string]float64{"x": x})
		require.NoError(t, err)
		assert.Equal(t, 2*x, v)
	}
	for _, x := range []float64{-1e-9, 1.01, math.NaN(), math.Inf(1)} {
		_, err := law.At(map[string]float64{"x": x})
		var r working.RangeError
		require.True(t, errors.As(err, &r), "%v: %v", x, err)
		assert.Equal(t, "share", r.Quantity)
	}
	_, err := law.At(map[string]float64{"x": 1.5})
	assert.EqualError(t, err, "2 * share(x): share: share is 1.5; 0 to 1 is taken (it is a part of a whole)")
	assert.EqualError(t, working.Within("height", "m", 9, 0, 1, ""), "height is 9 m; 0 to 1 is taken")
}

func TestExactlyCountsValues(t *testing.T) {
	law := working.NewLaw("share(x, 1)", "definition", map[string]working.Function{
		"share": working.Between("share", "", 0, 1, "")})
	_, err := law.At(map[string]float64{"x": 0})
	assert.ErrorContains(t, err, "takes 1 values, 2 were given")
}
