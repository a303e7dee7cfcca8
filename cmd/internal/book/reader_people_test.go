package book_test

import "math"

// ofPeople is what the names in printed formulas about people and the air of a room
// mean; known is false for a name that is none of them.
func ofPeople(name string, a []float64) (v float64, known bool) {
	switch name {
	case "liquid", "share", "strength", "thin", "flow", "time", "level", "kelvin", "pressure", "changes", "work", "volume", "growth", "mass",
		"given_off", "skin", "activity", "conductance", "factor", "living", "warmth", "ratio", "end", "transpired": // refused outside of a range, and else itself
		return a[0], true
	case "excess", "colder", "dry":
		return a[0] - a[1], true
	case "saturation":
		return hylandWexler(a[0]), true
	case "dew_point":
		low, high := 200.0, 400.0
		for range 100 {
			if mid := (low + high) / 2; hylandWexler(mid) < a[0] {
				low = mid
			} else {
				high = mid
			}
		}
		return low, true
	case "body": // the hands are 25 cm from the ankles near the floor, else 20 cm
		if a[0] < 0.25 {
			return 0.25, true
		}
		return 0.20, true
	case "up_to": // as far as a body can
		if a[0] > a[1]*(1+1e-9) {
			return 0, true
		}
		return 1, true
	case "frequency_multiplier":
		return lifts(a[0]*60, a[1]/3600, a[2] >= a[3]-1e-9), true
	case "filling":
		if a[0] == 0 {
			return 1, true
		}
		return -math.Expm1(-a[0]) / a[0], true
	case "lagging": // which runs out of digits where x is small: there a series
		if math.Abs(a[0]) < 1e-4 {
			return 0.5 - a[0]/6, true
		}
		return (1 + math.Expm1(-a[0])/a[0]) / a[0], true
	}
	return 0, false
}

// hylandWexler is the saturation pressure in Pa over water, and over ice below the
// triple point: ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 and 6.
func hylandWexler(t float64) float64 {
	if t < 273.16 {
		return math.Exp(-5.6745359e3/t + 6.3925247 - 9.6778430e-3*t + 6.2215701e-7*t*t + 2.0747825e-9*t*t*t - 9.4840240e-13*t*t*t*t + 4.1635019*math.Log(t))
	}
	return math.Exp(-5.8002206e3/t + 1.3914993 - 4.8640239e-2*t + 4.1764768e-5*t*t - 1.4452093e-8*t*t*t + 6.5459673*math.Log(t))
}

// lifts is table 5 of NIOSH 94-110 for up to 8 lifts a minute, where it does not
// matter how high the hands are.
func lifts(perMinute, hours float64, _ bool) float64 {
	rows := []struct{ f, one, two, eight float64 }{
		{0.2, 1, .95, .85}, {0.5, .97, .92, .81}, {1, .94, .88, .75}, {2, .91, .84, .65}, {3, .88, .79, .55},
		{4, .84, .72, .45}, {5, .80, .60, .35}, {6, .75, .50, .27}, {7, .70, .42, .22}, {8, .60, .35, .18},
	}
	of := func(i int) float64 {
		switch {
		case hours <= 1:
			return rows[i].one
		case hours <= 2:
			return rows[i].two
		}
		return rows[i].eight
	}
	if perMinute <= rows[0].f {
		return of(0)
	}
	for i := 1; i < len(rows); i++ {
		if perMinute <= rows[i].f+1e-9 {
			at := (perMinute - rows[i-1].f) / (rows[i].f - rows[i-1].f)
			return of(i-1) + at*(of(i)-of(i-1))
		}
	}
	return math.NaN() // more than a farm's crates are lifted
}
