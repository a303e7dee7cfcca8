package checks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/checks"
)

// The check of drawings can fail, in each way that it knows.
func TestDrawing(t *testing.T) {
	picture := func(inside string) []string {
		return checks.Drawing(`<svg class="x" role="img" viewBox="0 0 100 50"><title>T</title><desc>D</desc>`+inside+`</svg>`, 10)
	}
	assert.Empty(t, picture(`<path class="a" d="M1 1H90V20L5 5Z"/><text x="0" y="40">word</text>`))
	for _, c := range []struct{ name, inside, want string }{
		{"outside", `<path class="a" d="M1 1H101"/>`, "a line of class a goes to 101.0, 1.0 in a picture of 100 by 50"},
		{"relative", `<path class="a" d="M1 1l5-3"/>`, "a line of class a goes to 6.0, -2.0 in a picture of 100 by 50"},
		{"lettering outside", `<text x="90" y="40">word</text>`, `"word" goes from 90.0, 33.0 to 112.0, 42.2 in a picture of 100 by 50`},
		{"anchored", `<text x="10" y="40" text-anchor="end">word</text>`, `"word" goes from -12.0, 33.0 to 10.0, 42.2 in a picture of 100 by 50`},
		{"letterings", `<text x="9" y="40">one</text><text x="20" y="44">two</text>`, `"two" lies over "one"`},
		{"through", `<path class="a" d="M0 30L40 45"/><text x="9" y="40">one</text>`, `a line of class a runs through "one"`},
		{"another on a ground", `<path class="a" d="M0 36.5H40"/><path class="b" d="M12 0V50"/><path class="ground" d="M8 32H27V43H8Z"/><text x="9" y="40">one</text>`, `a line of class b runs through "one"`},
		{"style", `<path class="a" style="fill:red" d="M0 0H1"/>`, "path has the attribute style"},
		{"no number", `<path class="a" d="M0 NaN"/>`, `"NaN" in a path of class a is no number`},
	} {
		assert.Equal(t, []string{c.want}, picture(c.inside), c.name)
	}
	assert.Empty(t, picture(`<path class="a" d="M0 36.5H40"/><path class="ground" d="M8 32H27V43H8Z"/><text x="9" y="40">one</text>`), "on its own line")
	assert.NotEmpty(t, checks.Drawing(`<svg role="img" viewBox="0 0 1 1"><desc>D</desc></svg>`, 10))
	assert.NotEmpty(t, checks.Drawing(`<svg`, 10))
}
