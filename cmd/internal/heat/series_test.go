package heat_test

import (
	"fmt"
	"math"
)

// The exact solutions that the solver is held to, as series. Their roots and
// first coefficients are themselves held to published tables in laws_test.go.
// All give θ = (T − T_surroundings)/(T_start − T_surroundings), 1 at the start,
// for a diffusivity alpha (m²/s) at the time t (s).

// terms is more than any case needs: the first times looked at are Fo 0.04.
const terms = 60

// known remembers roots and coefficients, which take longer to find than to use.
var known = map[string][][2]float64{}

func termsOf(body string, parameter float64, term func(n int, parameter float64) (float64, float64)) [][2]float64 {
	key := fmt.Sprint(body, parameter)
	for n := len(known[key]) + 1; n <= terms; n++ {
		root, c := term(n, parameter)
		known[key] = append(known[key], [2]float64{root, c})
	}
	return known[key]
}

// bisect finds the root of f between two places where its signs differ.
func bisect(f func(float64) float64, low, high float64) float64 {
	rising := f(low) < 0
	for range 200 {
		middle := (low + high) / 2
		if (f(middle) < 0) == rising {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// zeroJ0 and zeroJ1 are the n-th zeros of J0 and J1, n from 1; J1 has another
// at 0, its zeroth.
func zeroJ0(n int) float64 {
	return bisect(math.J0, (float64(n)-0.5)*math.Pi, float64(n)*math.Pi)
}

func zeroJ1(n int) float64 {
	if n == 0 {
		return 0
	}
	return bisect(math.J1, float64(n)*math.Pi, (float64(n)+0.5)*math.Pi)
}

// cylinderTerm is the n-th root of ζ·J1(ζ) = Bi·J0(ζ) and its coefficient
// 2·J1/(ζ·(J0²+J1²)): Incropera, equations 5.50. The equation is scaled by
// 1/(1+Bi), so that an endless Bi is no special case.
func cylinderTerm(n int, bi float64) (root, coefficient float64) {
	root = bisect(func(x float64) float64 { return (x*math.J1(x) - bi*math.J0(x)) / (1 + bi) }, zeroJ1(n-1), zeroJ0(n))
	a, b := math.J0(root), math.J1(root)
	return root, 2 * b / (root * (a*a + b*b))
}

// slabTerm is the n-th root of ζ·tan ζ = Bi and its coefficient
// 4·sin ζ/(2ζ + sin 2ζ): Incropera, equations 5.42.
func slabTerm(n int, bi float64) (root, coefficient float64) {
	root = bisect(func(x float64) float64 { return (x*math.Sin(x) - bi*math.Cos(x)) / (1 + bi) },
		float64(n-1)*math.Pi, (float64(n)-0.5)*math.Pi)
	return root, 4 * math.Sin(root) / (2*root + math.Sin(2*root))
}

// cylinder is an endless cylinder of radius a at r.
func cylinder(bi, a, alpha, t, r float64) float64 {
	sum := 0.0
	for _, term := range termsOf("cylinder", bi, cylinderTerm) {
		root, c := term[0], term[1]
		sum += c * math.Exp(-root*root*alpha*t/(a*a)) * math.J0(root*r/a)
	}
	return sum
}

// slab is an endless slab of half thickness l at x from its middle.
func slab(bi, l, alpha, t, x float64) float64 {
	sum := 0.0
	for _, term := range termsOf("slab", bi, slabTerm) {
		root, c := term[0], term[1]
		sum += c * math.Exp(-root*root*alpha*t/(l*l)) * math.Cos(root*x/l)
	}
	return sum
}

// annulusRoot is the n-th root of J0(x)·Y0(kx) = Y0(x)·J0(kx).
func annulusRoot(n int, k float64) float64 {
	f := func(x float64) float64 { return math.J0(x)*math.Y0(k*x) - math.Y0(x)*math.J0(k*x) }
	return bisect(f, (float64(n)-0.5)*math.Pi/(k-1), (float64(n)+0.5)*math.Pi/(k-1))
}

// annulus has both walls, at radii a and b, at the temperature of the
// surroundings: Carslaw and Jaeger, section 13.4.
func annulus(a, b, alpha, t, r float64) float64 {
	sum := 0.0
	for _, term := range termsOf("annulus", b/a, func(n int, k float64) (float64, float64) { return annulusRoot(n, k), 0 }) {
		x := term[0] / a
		u := math.J0(r*x)*math.Y0(b*x) - math.J0(b*x)*math.Y0(r*x)
		sum += math.J0(a*x) * u / (math.J0(a*x) + math.J0(b*x)) * math.Exp(-alpha*x*x*t)
	}
	return math.Pi * sum
}

// ramp is how far (K) an endless cylinder of radius a has warmed at r when its
// surface warms at beta (K/s): Carslaw and Jaeger, section 7.6.
func ramp(beta, a, alpha, t, r float64) float64 {
	sum := 0.0
	for _, term := range termsOf("ramp", 0, func(n int, _ float64) (float64, float64) { return zeroJ0(n), 0 }) {
		x := term[0]
		sum += math.Exp(-alpha*x*x*t/(a*a)) * math.J0(x*r/a) / (x * x * x * math.J1(x))
	}
	return beta*(t-(a*a-r*r)/(4*alpha)) + 2*beta*a*a/alpha*sum
}
