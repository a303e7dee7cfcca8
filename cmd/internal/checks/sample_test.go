package checks_test

import (
	"flag"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
)

func TestSamples(t *testing.T) {
	list := []int{0, 1, 2, 3, 4, 5, 6, 7}
	t.Setenv("CI", "")
	assert.Equal(t, []int{0, 3, 6}, checks.Every(3, list))
	assert.Equal(t, 2, checks.Rounds(2, 40))
	t.Setenv("CI", "true")
	assert.Equal(t, list, checks.Every(3, list))
	assert.Equal(t, 40, checks.Rounds(2, 40))
}

// A costly property is tried less often until its test ends, and as often as ever in CI.
func TestCases(t *testing.T) {
	tried := func(t *testing.T) (n int) {
		rapid.Check(t, func(*rapid.T) { n++ })
		return n
	}
	t.Setenv("CI", "")
	flag.Visit(func(f *flag.Flag) {
		if f.Name == "rapid.checks" {
			t.Skip("the command line says how often")
		}
	})
	usual := tried(t)
	t.Run("few", func(t *testing.T) {
		checks.Cases(t, 7)
		assert.Equal(t, 7, tried(t))
	})
	assert.Equal(t, usual, tried(t))
	t.Setenv("CI", "true")
	t.Run("all", func(t *testing.T) {
		checks.Cases(t, 7)
		assert.Equal(t, usual, tried(t))
	})
}
