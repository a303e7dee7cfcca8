package heat

import (
	"fmt"
	"math"
)

// Property is a property of matter, constant or a function of temperature. The
// zero value is no property.
type Property struct {
	constant float64
	table    []float64 // values at least, least+spacing, ..., most
	integral []float64 // of the table from least on
	least    float64   // K
	most     float64   // K
	spacing  float64   // K
	inverse  float64   // 1/spacing
}

// widest spacing of the tables in K. Between its points a property is a
// straight line, wrong by at most spacing²/8 times its second derivative.
const widest = 0.25

// Constant is a property that does not depend on temperature.
func Constant(value float64) Property { return Property{constant: value} }

// Varying tabulates a property as a function of temperature (K) from least to
// most. An error of the function, as outside its range, is returned.
func Varying(f func(kelvin float64) (float64, error), least, most float64) (Property, error) {
	if err := within("lower end of a property", "K", least, leastTemperature, mostTemperature, ""); err != nil {
		return Property{}, err
	}
	if err := within("upper end of a property", "K", most, least+widest, mostTemperature, "it must be above the lower end"); err != nil {
		return Property{}, err
	}
	n := int(math.Ceil((most - least) / widest))
	p := Property{
		table: make([]float64, n+1), integral: make([]float64, n+1),
		least: least, most: most, spacing: (most - least) / float64(n),
		inverse: float64(n) / (most - least),
	}
	for i := range p.table {
		v, err := f(min(least+p.spacing*float64(i), most))
		if err != nil {
			return Property{}, err
		}
		p.table[i] = v
		if i > 0 {
			p.integral[i] = p.integral[i-1] + p.spacing*(p.table[i-1]+v)/2
		}
	}
	return p, nil
}

func (p *Property) varies() bool { return p.table != nil }

// At is the value at a temperature (K); outside the table it is that of the
// nearer end, which only the last digits of a solution ever ask for.
func (p *Property) At(kelvin float64) float64 {
	if p.table == nil {
		return p.constant
	}
	x := (kelvin - p.least) * p.inverse
	// Written so that NaN ends here.
	if !(x > 0) {
		return p.table[0]
	}
	i := int(x)
	if i >= len(p.table)-1 {
		return p.table[len(p.table)-1]
	}
	return p.table[i] + (p.table[i+1]-p.table[i])*(x-float64(i))
}

// integralTo is the integral of the property from the table's lower end, or
// from 0 K for a constant, to a temperature (K).
func (p *Property) integralTo(kelvin float64) float64 {
	if p.table == nil {
		return p.constant * kelvin
	}
	last := len(p.table) - 1
	x := (kelvin - p.least) * p.inverse
	switch {
	case x <= 0:
		return p.table[0] * p.spacing * x
	case x >= float64(last):
		return p.integral[last] + p.table[last]*p.spacing*(x-float64(last))
	}
	i := int(x)
	rest := x - float64(i)
	return p.integral[i] + p.spacing*rest*(p.table[i]+(p.table[i+1]-p.table[i])*rest/2)
}

// check looks at the values and at the temperatures that the table covers.
func (p *Property) check(name, unit string, least, most, coldest, hottest float64) error {
	if p.table == nil {
		return within(name, unit, p.constant, least, most, "")
	}
	for i, v := range p.table {
		at := fmt.Sprintf("%s at %v K", name, p.least+p.spacing*float64(i))
		if err := within(at, unit, v, least, most, ""); err != nil {
			return err
		}
	}
	why := "the " + name + " is known for these temperatures"
	if err := within("coldest temperature", "K", coldest, p.least, p.most, why); err != nil {
		return err
	}
	return within("hottest temperature", "K", hottest, p.least, p.most, why)
}
