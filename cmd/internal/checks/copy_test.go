package checks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/checks"
)

type shelf struct {
	Name  string
	Width *float64
	Rows  [][]int
	By    map[string]*shelf
	Two   [2][]string
	None  []int
	label string
}

// A copy is equal, and nothing that is changed in it, however deep, shows in the other.
func TestCopySharesNothing(t *testing.T) {
	made := func() shelf {
		width := 2.5
		return shelf{
			Name: "a", Width: &width, Rows: [][]int{{1, 2}, nil}, Two: [2][]string{{"x"}, {}}, label: "l",
			By: map[string]*shelf{"in": {Name: "b", Rows: [][]int{{3}}}, "none": nil},
		}
	}
	one := made()
	two := checks.Copy(one)
	assert.Equal(t, one, two)
	assert.Nil(t, two.None)
	*two.Width = 1
	two.Rows[0][0] = 9
	two.By["in"].Rows[0][0] = 9
	two.By["more"] = nil
	two.Two[0][0] = "y"
	assert.Equal(t, made(), one)
}
