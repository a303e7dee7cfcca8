package book_test

import (
	"fmt"
	"math"
	"strings"

	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/sterilizer"
)

// heated is what the names in printed formulas mean that stand for a heated
// vessel or load: what the solver says of the printed values. The solver itself
// is held to exact series in package heat. A name tells the assumption last.
func heated(name string, a []float64) (float64, error) {
	if name == "places" && len(a) == 4 { // of the printed tray; how they stand is tested with the tray
		return float64(len(sterilizer.Tray{Width: a[0], Depth: a[1], Diameter: a[2]}.Spots(a[3], sterilizer.Gap))), nil
	}
	of, assumed := name, run.Quick // which is what a load's course is worked out under
	for _, x := range run.Assumptions() {
		if head, found := strings.CutSuffix(name, "_"+x.Name); found {
			of, assumed = head, x
		}
	}
	if len(a) < 15 {
		return 0, fmt.Errorf("no function %s of %d values", name, len(a))
	}
	c := run.Case{
		Radius: a[0], Height: a[1], BoreRadius: a[2], BoreDepth: a[3], HeatCapacity: a[4], AirFilled: a[5],
		Side: a[6], Base: a[7], Start: a[8], Boiling: a[9], Chamber: a[10], Ambient: a[11],
		ComeUp: a[12], Vent: a[13], Hold: a[14],
	}
	rest := a[15:]
	switch of {
	case "F0", "core", "F0_wall":
		s, err := run.Solve(c, assumed)
		if err != nil {
			return 0, err
		}
		return map[string]float64{"F0": s.Least, "core": s.Core, "F0_wall": s.Most}[of], nil
	case "hold": // raised to a minute, and 12 h where nothing is enough
		h, err := run.HoldFor(c, assumed, rest[0])
		if err != nil {
			return 0, err
		}
		return math.Min(60*math.Ceil(h/60-1e-9), 12*3600), nil
	case "up_to_boiling", "up_to_hold", "heat_of_run", "heat_of_substrate":
		if len(rest) != 12 {
			return 0, fmt.Errorf("%s of %d values", name, len(a))
		}
		vessels, walls, wallHeat, metal, metalHeat, water, waterHeat := rest[0], rest[1], rest[2], rest[3], rest[4], rest[5], rest[6]
		boiler := run.Boiler{Power: rest[7], Loss: rest[8] * rest[9], Room: rest[10], Leak: rest[11], Metal: metal * metalHeat, Water: water * waterHeat}
		course, err := run.Heat(c, assumed, boiler, run.Load{Vessels: int(vessels), Walls: walls * wallHeat})
		if err != nil {
			return 0, err
		}
		return map[string]float64{
			"up_to_boiling": course.ToBoiling, "up_to_hold": course.ToHold,
			"heat_of_run": course.Account.Input, "heat_of_substrate": course.Account.Substrate,
		}[of], nil
	}
	return 0, fmt.Errorf("no function %s", name)
}
