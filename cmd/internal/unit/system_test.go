package unit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/unit"
)

func TestDecimalComma(t *testing.T) {
	comma := unit.Metric.WithComma()
	assert.NotEqual(t, unit.Metric, comma)
	assert.Equal(t, comma, comma.WithComma())
	assert.False(t, comma.IsUS())
	assert.Equal(t, "us", unit.US.WithComma().String())
	for want, got := range map[string]string{
		"41,23\u00a0kg":        unit.Amount{Kind: unit.MassOf, Value: 41.234, Step: 0.01}.Show(comma),
		"537,2\u00a0g":         unit.Show(unit.MassOf, 0.5372, comma, 6),
		"−0,5\u00a0%":          unit.Show(unit.ShareOf, -0.005, comma, 4),
		"12,35\u00a0USD":       comma.Money(12.345, "USD"),
		"0,50":                 comma.Number(0.5, 0.01),
		"12":                   comma.Number(12, 1),
		"15,0\u00a0psi":        comma.ShowIn(unit.GaugePressureOf, 103421.36, "psi", unit.SizeOf(unit.GaugePressureOf, "psi")/2),
		"5,5\u00a0lb":          unit.Amount{Kind: unit.MassOf, Value: 5.5 * unit.SizeOf(unit.MassOf, "lb")}.Show(unit.US.WithComma()),
		"<\u00a00,01\u00a0min": unit.Amount{Kind: unit.TimeOf, Value: 0.001, Unit: "min"}.Show(comma),
	} {
		assert.Equal(t, want, got)
	}
}

// SI Brochure, 9th edition, 5.4.4: groups of three by a thin space, never by a comma or
// a point; four digits may stand together.
func TestGrouped(t *testing.T) {
	for digits, want := range map[string]string{
		"0": "0", "999": "999", "1234": "1234", "12345": "12\u00a0345", "123456": "123\u00a0456", "1000000": "1\u00a0000\u00a0000",
	} {
		assert.Equal(t, want, unit.Grouped(digits))
	}
}
