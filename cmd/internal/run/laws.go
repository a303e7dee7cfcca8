package run

import (
	"errors"
	"math"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// caseArguments are the symbols of a case in the order in which the functions of
// laws take them.
const caseArguments = "R, H, r_bore, d_bore, C, a, U_side, U_base, T_0, T_boil, T_hold, p_air, t_up, t_vent, t_hold"

// CaseOf reads a case from the arguments of a law.
func CaseOf(a []float64) (Case, error) {
	if len(a) != 15 {
		return Case{}, errors.New("takes the 15 values of a case")
	}
	kept := make([]float64, len(a))
	for i, x := range a {
		kept[i] = rounded(x, digitsOfCase)
	}
	a = kept
	return Case{
		Radius: a[0], Height: a[1], BoreRadius: a[2], BoreDepth: a[3], HeatCapacity: a[4], AirFilled: a[5],
		Side: a[6], Base: a[7], Start: a[8], Boiling: a[9], Chamber: a[10], Ambient: a[11],
		ComeUp: a[12], Vent: a[13], Hold: a[14],
	}, nil
}

// conduction is what the laws of a solution have as their source.
const conduction = "transient conduction by finite volumes: Peaceman and Rachford, J. SIAM 3 (1955) 28; vapor in pores: Philip and de Vries, Trans. AGU 38 (1957) 222. Modeled, not measured"

// solved makes a law of something read from a solution.
func solved(name string, a Assumption, read func(*Solution) float64) *working.Law {
	return working.NewLaw(name+"("+caseArguments+")", conduction, map[string]working.Function{name: func(args ...float64) (float64, error) {
		c, err := CaseOf(args)
		if err != nil {
			return 0, err
		}
		s, err := Solve(c, a)
		if err != nil {
			return 0, err
		}
		return read(s), nil
	}})
}

// Laws are what is worked out of a case under an assumption: the dose of the
// slowest place as F0, its temperature at the end of the hold, the greatest
// dose as F0, and the hold that would
// give the slowest place the dose F (s), in whole minutes.
type Laws struct {
	F0, Core, Most, Hold *working.Law
}

// lawsOfAssumptions are the laws of those that Assumptions lists: every process
// asks for them.
var lawsOfAssumptions = func() map[Assumption]Laws {
	out := map[Assumption]Laws{}
	for _, a := range Assumptions() {
		out[a] = lawsOf(a)
	}
	return out
}()

// LawsOf are the laws under an assumption.
func LawsOf(a Assumption) Laws {
	if laws, ok := lawsOfAssumptions[a]; ok {
		return laws
	}
	return lawsOf(a)
}

func lawsOf(a Assumption) Laws {
	return Laws{
		F0:   solved("F0_"+a.Name, a, func(s *Solution) float64 { return s.Least }),
		Core: solved("core_"+a.Name, a, func(s *Solution) float64 { return s.Core }),
		Most: solved("F0_wall_"+a.Name, a, func(s *Solution) float64 { return s.Most }),
		Hold: working.NewLaw("hold_"+a.Name+"("+caseArguments+", F)", conduction+"; raised to a whole minute; over 12 h counts as 12 h",
			map[string]working.Function{"hold_" + a.Name: func(args ...float64) (float64, error) {
				c, err := CaseOf(args[:max(0, len(args)-1)])
				if err != nil {
					return 0, err
				}
				h, err := HoldFor(c, a, args[len(args)-1])
				if err != nil {
					return 0, err
				}
				return HoldTold(h), nil
			}}),
	}
}

// HoldTold is a hold (s) as it is told: raised to a whole minute, 12 h at most.
func HoldTold(h float64) float64 { return math.Min(unit.Up(h/60)*60, LongestHold) }

// What a case is made of.
var (
	// Half is half of d, in the same unit.
	Half = working.NewLaw("d / 2", "definition", nil)
	// MeanBore is the radius of a cylinder as deep as a tapered hole and of the
	// same volume, of the diameters d1 and d2, m.
	MeanBore = working.NewLaw("sqrt((d1^2 + d1 * d2 + d2^2) / 12)", "volume of a cone's frustum", nil)
	// BoreInFill is how deep a hole of h reaches in substrate that stands H high
	// when it is taken as a cylinder: the hole's own floor stays f above the base.
	BoreInFill = working.NewLaw("min(h, H - f)", "definition", nil)
	// FillHeight is the height in m of V (m³) of substrate as a cylinder of the
	// radius R.
	FillHeight = working.NewLaw("V / (3.141592653589793 * R^2)", "volume of a cylinder", nil)
	// Midway is the mean of two temperatures T_1 and T_2, K.
	Midway = working.NewLaw("(T_1 + T_2) / 2", "mean", nil)
	// Film is the conductance of the steam's film on a vessel, W/(m²·K): with y
	// of air in it a twentieth of that without.
	Film = working.NewLaw("film(y)", "2000 W/(m²·K) free of air, else 100: engineering assumption, no source",
		map[string]working.Function{"film": func(a ...float64) (float64, error) {
			if len(a) != 1 || !(a[0] >= 0 && a[0] <= 1) {
				return 0, errors.New("takes one share of air, from 0 to 1")
			}
			if a[0] > 0 {
				return AirySteamFilm, nil
			}
			return SteamFilm, nil
		}})
)

// ConductivityOfWall is the conductivity of a vessel's material in W/(m·K), from
// memory: polypropylene 0.2, soda-lime glass 1.0, and the film of a bag like
// polypropylene. 0 for a material that is not known.
func ConductivityOfWall(material string) float64 {
	switch material {
	case "glass":
		return 1.0
	case "polypropylene", "PET", "polyethylene":
		return 0.2
	}
	return 0
}
