package people

import "bottlecrop/cmd/internal/working"

// frequencies holds table 5 of NIOSH 94-110: by lifts a minute, for lifting up
// to 1 h, 2 h and 8 h, each below and from the knuckles' height on. The manual's
// page was not seen; all six columns stand alike in several public programs.
var frequencies = []struct {
	lifts float64
	fm    [3][2]float64
}{
	{0.2, [3][2]float64{{1.00, 1.00}, {.95, .95}, {.85, .85}}},
	{0.5, [3][2]float64{{.97, .97}, {.92, .92}, {.81, .81}}},
	{1, [3][2]float64{{.94, .94}, {.88, .88}, {.75, .75}}},
	{2, [3][2]float64{{.91, .91}, {.84, .84}, {.65, .65}}},
	{3, [3][2]float64{{.88, .88}, {.79, .79}, {.55, .55}}},
	{4, [3][2]float64{{.84, .84}, {.72, .72}, {.45, .45}}},
	{5, [3][2]float64{{.80, .80}, {.60, .60}, {.35, .35}}},
	{6, [3][2]float64{{.75, .75}, {.50, .50}, {.27, .27}}},
	{7, [3][2]float64{{.70, .70}, {.42, .42}, {.22, .22}}},
	{8, [3][2]float64{{.60, .60}, {.35, .35}, {.18, .18}}},
	{9, [3][2]float64{{.52, .52}, {.30, .30}, {0, .15}}},
	{10, [3][2]float64{{.45, .45}, {.26, .26}, {0, .13}}},
	{11, [3][2]float64{{.41, .41}, {0, .23}, {0, 0}}},
	{12, [3][2]float64{{.37, .37}, {0, .21}, {0, 0}}},
	{13, [3][2]float64{{0, .34}, {0, 0}, {0, 0}}},
	{14, [3][2]float64{{0, .31}, {0, 0}, {0, 0}}},
	{15, [3][2]float64{{0, .28}, {0, 0}, {0, 0}}},
}

// frequencyMultiplier is FM for lifts a second over a time in s of lifting, with
// the hands at the origin from the knuckles' height on or below it. Between rows
// it is linear; up to 0.2 lifts a minute it stays, above 15 it is 0.
func frequencyMultiplier(frequency, duration float64, high bool) (float64, error) {
	if err := working.Within("frequency of lifts", "1/s", frequency, 0, 10, ""); err != nil {
		return 0, err
	}
	if err := working.Within("duration of lifting", "s", duration, 0, 8*3600, "the table ends at 8 h"); err != nil {
		return 0, err
	}
	column, side := 2, 0
	switch {
	case duration <= 3600:
		column = 0
	case duration <= 2*3600:
		column = 1
	}
	if high {
		side = 1
	}
	lifts := frequency * 60
	last := frequencies[0]
	if lifts <= last.lifts {
		return last.fm[column][side], nil
	}
	for _, row := range frequencies[1:] {
		// The slack keeps a whole number of lifts a minute, which is no whole
		// number a second, in its row.
		if lifts <= row.lifts+1e-9 {
			low, high := last.fm[column][side], row.fm[column][side]
			return low + (high-low)*min(1, (lifts-last.lifts)/(row.lifts-last.lifts)), nil
		}
		last = row
	}
	return 0, nil
}
