package spawn

import "bottlecrop/cmd/internal/working"

// Figures of grain spawn that growers go by. None has a publication; a farm's own
// are better.
const (
	// ComesOut is the share of the wet grain in a jar that comes out of it: the
	// rest sticks to the glass. Common practice, no source.
	ComesOut = 0.95
	// WetDensity is loose wet grain in a jar, kg/m³: 400 to 500 g stand in two
	// thirds of a jar of 946 mL, which is 630 to 790. Common practice, no source.
	WetDensity = 720.0
	// Safety is how long a jar is waited for beyond its usual time, s. Common
	// practice, no source.
	Safety = 3 * 86400.0
	// Preparation is from the day of soaking to the day of inoculation, s: a day
	// to soak, and a day to sterilize and cool. Common practice, no source.
	Preparation = 2 * 86400.0
)

// Hydrated is the mass in kg of G (kg) of grain as received, with its own
// moisture m_g, once soaking has brought it to the moisture m, both shares of the
// wet mass. What dissolves into the soaking water is left out: it makes the grain
// in the jar a little wetter than m. Moistures below 1.
var Hydrated = working.NewLaw("G * (1 - m_g) / (1 - m)", "balance of dry matter", nil)

// TakenUp is the water in kg that grain takes up: S (kg) when it is hydrated, less
// G (kg) as received.
var TakenUp = working.NewLaw("S - G", "balance of masses", nil)

// GypsumIn is the gypsum in kg for G (kg) of grain as received at the share y of
// it. 1 g to 200 g of rye is 0.5 %.
var GypsumIn = working.NewLaw("G * y", "Stamets, Growing Gourmet and Medicinal Mushrooms, grain formulas", nil)

// UsableInJar is the spawn in kg that comes out of a jar with S (kg) of wet grain,
// of which the share k comes out.
var UsableInJar = working.NewLaw("k * S", "common practice, no source", nil)

// JarFilled is the share of a jar of volume V (m³) that S (kg) of wet grain takes,
// loose, at the density rho (kg/m³).
var JarFilled = working.NewLaw("S / (rho * V)", "definition", nil)

// Mothers is the number of jars, or plates, that it takes to inoculate J jars when
// one does for E.
var Mothers = working.NewLaw("ceil(J / E)", "definition of the ratio: one jar into 8 to 10 by mass, one plate into 3 to 5 jars; common practice, no source", nil)

// MothersWithSpare is the number of jars when the share spare goes on top of the J
// that are needed.
var MothersWithSpare = working.NewLaw("ceil(J * (1 + spare))", "definition of the spare share", nil)

// PlatesReady is the number of plates to have: one more than the P that are needed.
var PlatesReady = working.NewLaw("P + 1", "one spare plate: common practice, no source", nil)

// Filled is the number of jars of a lot: n to inoculate, and c that stay without.
var Filled = working.NewLaw("n + c", "definition", nil)

// Given is how long a generation is given, s: its usual time t, and the days t_safe
// to wait for a slow jar.
var Given = working.NewLaw("t + t_safe", "3 days for slow jars: common practice, no source", nil)

// Waits is the longest that a jar which was quick, t_short (s), stands before the
// day on which it is used, t_given (s) after it was inoculated.
var Waits = working.NewLaw("t_given - t_short", "definition", nil)

// Before is how long before the day of spawning something begins, s, that takes t
// (s) and must be done t_next (s) before it.
var Before = working.NewLaw("t_next + t", "definition", nil)

// Serves is the number of vessels that S (kg) of spawn ready does for, at s (kg) a
// vessel and the share spare on top: the forward plan, turned round.
var Serves = working.NewLaw("floor(S / (s * (1 + spare)) + 1 / 10^4)", "definition; the ten-thousandth is for the last bits of a number", nil)
