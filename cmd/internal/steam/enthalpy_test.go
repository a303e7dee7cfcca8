package steam

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The verification values of IAPWS R7-97(2012), Table 5 (region 1) and Table
// 15 (region 2), nine digits each (from memory). They touch states off the
// saturation line, where a wrong coefficient shows that no steam table of the
// trade would show.
func TestEnthalpyMeetsIAPWSVerification(t *testing.T) {
	for _, c := range []struct {
		name              string
		enthalpy          func(t, p float64) float64
		kelvin, MPa, want float64 // want in kJ/kg
	}{
		{"Table 5", enthalpyOfLiquid, 300, 3, 0.115331273e3},
		{"Table 5", enthalpyOfLiquid, 300, 80, 0.184142828e3},
		{"Table 5", enthalpyOfLiquid, 500, 3, 0.975542239e3},
		{"Table 15", enthalpyOfVapor, 300, 0.0035, 0.254991145e4},
		{"Table 15", enthalpyOfVapor, 700, 0.0035, 0.333568375e4},
		{"Table 15", enthalpyOfVapor, 700, 30, 0.263149474e4},
	} {
		got := c.enthalpy(c.kelvin, c.MPa*megapascal) / 1000
		assert.InEpsilonf(t, c.want, got, 5e-9, "IAPWS R7-97 %s, %v K, %v MPa", c.name, c.kelvin, c.MPa)
	}
}
