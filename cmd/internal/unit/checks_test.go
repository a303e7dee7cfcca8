package unit_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/unit"
)

// Conversion factors as printed in NIST SP 811, Appendix B.8, and bulk
// densities as printed by extension services, read the way a farm writes them.
func TestPrintedConversions(t *testing.T) {
	table := checks.Open(t, "substrate")
	for _, c := range []struct {
		id   string
		kind unit.Kind
		text string
		in   string // unit of the printed figure
	}{
		{"S022", unit.MassOf, "1 lb", "kg"},
		{"S023", unit.MassOf, "1 oz", "g"},
		{"S024", unit.VolumeOf, "1 ft3", "m3"},
		{"S025", unit.LengthOf, "1 in", "mm"},
		{"S026", unit.MassOf, "1 short ton", "kg"},
		{"S027", unit.LightOf, "1 fc", "lx"},
		{"S028", unit.VolumeOf, "1 gal", "L"},
		{"S029", unit.GaugePressureOf, "1 psi", "kPa"},
		{"S030", unit.TemperatureOf, "72 F", "°C"},
		{"S031", unit.VolumeOf, "16 fl oz", "mL"},
		{"S032", unit.VolumeOf, "32 fl oz", "mL"},
		{"S033", unit.DensityOf, "410 lb/yd3", "kg/m3"},
		{"S035", unit.DensityOf, "28 lb/ft3", "kg/m3"},
	} {
		v, err := unit.Parse(c.kind, c.text)
		require.NoError(t, err, c.id)
		table.Row(t, c.id).Meet(t, unit.In(c.kind, v, c.in))
	}
}
