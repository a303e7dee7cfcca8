package draw

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A label that is too long for its place breaks at blanks, the same however often it is
// asked to, and takes the room of its lines; one that fits stays as it is.
func TestLabelsBreak(t *testing.T) {
	short := Label{"62 mm", "rim to fill line"}
	assert.Equal(t, short, short.within(137))
	long := Label{"62 mm", "del borde a la línea de llenado"}.within(137)
	assert.Equal(t, "del borde a la línea\nde llenado", long.Words)
	assert.Equal(t, long, long.within(137))
	assert.Equal(t, 3*lineHeight+breath, int(long.high()))
	assert.LessOrEqual(t, fuller*long.long(), 137.0)
	one := Label{"", "unbreakable" + strings.Repeat("x", 40)}
	assert.Equal(t, one, one.within(10))
	assert.Equal(t, float64(lineHeight+breath), Label{}.high())
}
