package heat

import (
	"math"
	"sync"

	"bottlecrop/cmd/internal/steam"
)

// Vapor adds the heat that vapor carries through pores to the conductivity of
// matter, by the law VaporConductivity, with the total pressure of the chamber:
// that of saturated steam at the chamber's temperature, or of the ambient air
// where that is higher. Below 282 K, where no diffusivity is claimed, it adds
// nothing, which leaves out less than 0.02 W/(m·K).
type Vapor struct {
	AirFilled  float64 // share of the volume
	Tortuosity float64 // DefaultTortuosity
	MostFactor float64 // bound of the mass flow factor, DefaultMostFactor
	Ambient    float64 // pressure of the air around the chamber, Pa
}

// The range of the diffusivity, K.
const (
	leastDiffusing = 282.0
	mostDiffusing  = 450.0
)

func (v *Vapor) check(hottest float64) error {
	for _, l := range []struct {
		quantity, unit     string
		found, least, most float64
		why                string
	}{
		{"air-filled share", "", v.AirFilled, 0, 1, "it is a share"},
		{"tortuosity", "", v.Tortuosity, 0.05, 1, "it is a share of the diffusivity in free air"},
		{"bound of the mass flow factor", "", v.MostFactor, 1, 50, "more is no diffusion"},
		{"pressure of the ambient air", "Pa", v.Ambient, 40e3, 120e3, ""},
		{"hottest temperature", "K", hottest, leastTemperature, mostDiffusing, "the diffusivity is known up to there"},
	} {
		if err := within(l.quantity, l.unit, l.found, l.least, l.most, l.why); err != nil {
			return err
		}
	}
	return nil
}

// pressure is the total pressure in Pa in a chamber at a temperature (K).
func (v *Vapor) pressure(chamber float64) float64 {
	return max(v.Ambient, pressureOfVapor().At(chamber))
}

// Conductivity is what the vapor adds, W/(m·K), in matter at a temperature (K)
// in a chamber at another.
func (v *Vapor) Conductivity(kelvin, chamber float64) float64 {
	total := v.pressure(chamber)
	return v.Tortuosity * v.AirFilled * carried().At(kelvin) /
		max(total-pressureOfVapor().At(kelvin), total/v.MostFactor)
}

// carried is L·D·P·dρ/dT of the law VaporConductivity, in Pa·W/(m·K): all of it
// that depends on the temperature alone. Worked out once, for steam's relations
// are too slow for every cell and step.
var carried = sync.OnceValue(func() *Property {
	return tabulated(func(t float64) (float64, error) {
		if t < leastDiffusing {
			return 0, nil
		}
		latent, err := steam.LatentHeat(t)
		if err != nil {
			return 0, err
		}
		slope, err := vaporSlope(t)
		if err != nil {
			return 0, err
		}
		diffusivity, err := VaporDiffusivity.At(map[string]float64{"T": t, "P": 1})
		return latent * diffusivity * slope, err
	})
})

// pressureOfVapor is the saturation pressure in Pa, as of water at 273.15 K
// where it is colder.
var pressureOfVapor = sync.OnceValue(func() *Property {
	return tabulated(func(t float64) (float64, error) {
		return steam.SaturationPressure(math.Max(t, 273.15))
	})
})

// tabulated is for functions that hold over the whole range.
func tabulated(f func(float64) (float64, error)) *Property {
	p, err := Varying(f, leastTemperature, mostTemperature)
	if err != nil {
		panic("heat: " + err.Error())
	}
	return &p
}
