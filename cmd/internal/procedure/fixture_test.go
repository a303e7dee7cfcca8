package procedure

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// The fixtures are a made-up farm, and figures of the usual size for each kind
// of protocol; what matters here is which steps follow from them.

func c(t float64) unit.Temperature { return unit.FromCelsius(t) }

const psi = 6894.757 // Pa, NIST SP 811 App. B.8

func pointer[T any](v T) *T { return &v }

func spanOf[T ~float64](low, high float64) protocol.Range[T] {
	return protocol.Range[T]{Low: T(low), High: T(high)}
}

func fungus(id string) protocol.Species {
	return protocol.Species{
		ID: id, Common: id, InBottles: protocol.BottleExcellent,
		Incubation: protocol.Range[unit.Temperature]{Low: c(18), High: c(24)}, CoreMost: c(25),
		Colonize:   spanOf[unit.Duration](20*unit.Day, 30*unit.Day),
		PinAir:     protocol.Range[unit.Temperature]{Low: c(7), High: c(16)},
		FruitAir:   protocol.Range[unit.Temperature]{Low: c(5), High: c(18)},
		RHIncubate: spanOf[unit.Share](0.6, 0.75), RHPin: spanOf[unit.Share](0.9, 1), RHFruit: spanOf[unit.Share](0.8, 0.95),
		CO2RoomIncubate: 3000e-6,
		CO2Pin:          spanOf[unit.Concentration](400e-6, 4000e-6), CO2Fruit: spanOf[unit.Concentration](400e-6, 10000e-6),
		LightPin: spanOf[unit.Light](0, 1500), LightFruit: spanOf[unit.Light](0, 1500), LightEachDay: 2 * unit.Hour,
		PinDays: spanOf[unit.Duration](7*unit.Day, 12*unit.Day), FruitDays: spanOf[unit.Duration](12*unit.Day, 22*unit.Day),
		EfficiencyLow: 0.5, EfficiencyUsual: 0.8, EfficiencyHigh: 1.1,
		Collar: "optional", Scrape: "optional", Opens: protocol.OpensWhite,
		Nitrogen: spanOf[unit.DryShare](0.008, 0.018), Moisture: spanOf[unit.WetShare](0.6, 0.68),
	}
}

func library() protocol.Library {
	pellet := protocol.Ingredient{ID: "pellet", Name: "Hardwood pellets", Role: "base", Moisture: 0.07, Carbon: 0.49, Nitrogen: 0.0015, Ash: 0.007, UsualMost: 1, NeverAbove: 1, Hydrate: true, Dusty: true}
	sawdust := protocol.Ingredient{ID: "sawdust", Name: "Hardwood sawdust", Role: "base", Moisture: 0.39, Carbon: 0.49, Nitrogen: 0.001, Ash: 0.008, UsualMost: 1, NeverAbove: 1}
	hull := protocol.Ingredient{ID: "hull", Name: "Soybean hulls", Role: "supplement", Moisture: 0.096, Carbon: 0.442, Nitrogen: 0.019, Ash: 0.052, UsualMost: 0.5, NeverAbove: 0.6, Hydrate: true, Dusty: true, Allergens: []string{"soy"}}
	bran := protocol.Ingredient{ID: "bran", Name: "Wheat bran", Role: "supplement", Moisture: 0.12, Carbon: 0.45, Nitrogen: 0.027, Ash: 0.06, UsualMost: 0.3, NeverAbove: 0.5, Dusty: true, Allergens: []string{"wheat", "gluten"}}
	malt := protocol.Ingredient{ID: "malt", Name: "Spent brewer's grain", Role: "supplement", Moisture: 0.07, Carbon: 0.487, Nitrogen: 0.04, Ash: 0.046, UsualMost: 0.3, NeverAbove: 0.5, Allergens: []string{"gluten"}}
	okara := protocol.Ingredient{ID: "okara", Name: "Okara", Role: "supplement", Moisture: 0.78, Carbon: 0.48, Nitrogen: 0.05, Ash: 0.04, UsualMost: 0.15, NeverAbove: 0.3, Allergens: []string{"soy"}}
	gypsum := protocol.Ingredient{ID: "gypsum", Name: "Gypsum", Role: "mineral", Moisture: 0.01, Ash: 1, UsualMost: 0.02, NeverAbove: 0.05, Dusty: true}
	lime := protocol.Ingredient{ID: "lime", Name: "Hydrated lime", Role: "mineral", Moisture: 0.01, Ash: 1, UsualMost: 0.02, NeverAbove: 0.05, Caustic: true, Dusty: true}
	bottle := protocol.Vessel{
		ID: "bottle", Name: "850 mL bottle", One: "bottle", Many: "bottles", Form: "bottle", Material: "polypropylene",
		Brimful: 850e-6, Height: 0.166, Body: 0.0914, Mouth: 0.0615, Wall: 0.0018, Empty: 0.075, Service: c(130), LidFiltered: true, LidMass: 0.012, UsesMost: 60, LidUsesMost: 30,
	}
	jar := protocol.Vessel{
		ID: "jar", Name: "Quart jar", One: "jar", Many: "jars", Form: "jar", Material: "glass",
		Brimful: 989e-6, Height: 0.171, Body: 0.087, Mouth: 0.076, Wall: 0.0035, Empty: 0.411, Service: c(122), LidFiltered: true, LidMass: 0.02, UsesMost: 50, LidUsesMost: 30,
	}
	sack := protocol.Vessel{
		ID: "bag", Name: "Filter bag", One: "bag", Many: "bags", Form: "bag", Material: "polypropylene",
		Brimful: 3.5e-3, Height: 0.25, Body: 0.158, Mouth: 0.158, Wall: 0.00005, Empty: 0.035, Service: c(130), LidFiltered: true, LidMass: 0.002,
	}
	lib := protocol.Library{
		Species: map[string]protocol.Species{}, Ingredients: map[string]protocol.Ingredient{},
		Vessels:     map[string]protocol.Vessel{"bottle": bottle, "jar": jar, "bag": sack},
		Sterilizers: map[string]protocol.Sterilizer{"autoclave": {ID: "autoclave", Name: "Autoclave", Chamber: 0.3, Usable: 0.2, Power: 18e3, Metal: 200, Water: 0.030, StayWet: 0.008, SteamLoss: 800, RatedMost: 40 * psi, Relief: 36 * psi, LidLock: "hinged door with a ring of clamps"}},
	}
	rye := protocol.Ingredient{ID: "rye", Name: "Rye grain", Role: protocol.RoleGrain, Moisture: 0.14, Allergens: []string{"gluten"}}
	wheat := protocol.Ingredient{ID: "wheat", Name: "Wheat grain", Role: protocol.RoleGrain, Moisture: 0.143, Allergens: []string{"wheat", "gluten"}}
	for _, i := range []protocol.Ingredient{pellet, sawdust, hull, bran, malt, okara, gypsum, lime, rye, wheat} {
		lib.Ingredients[i.ID] = i
	}
	for _, id := range []string{"enoki", "oyster", "maitake", "beech", "nameko", "hericium", "golden-oyster"} {
		f := fungus(id)
		switch id {
		case "maitake":
			f.Opens = protocol.OpensGray
		case "hericium":
			f.Opens = protocol.OpensEarly
		}
		lib.Species[id] = f
	}
	return lib
}

func farm() protocol.Farm {
	return protocol.Farm{
		Name: "Test", Altitude: pointer(unit.Length(420)), Units: "metric",
		Waste: protocol.Waste{Small: 0.05, Usual: 0.03}, Controls: protocol.Controls{UninoculatedPerLoad: 2},
		Scales: []protocol.Scale{
			{ID: "bench", Name: "Bench", Step: unit.Step{Size: 1e-4, Unit: "g"}, Capacity: 3},
			{ID: "floor", Name: "Floor", Step: unit.Step{Size: 0.01, Unit: "g"}, Capacity: 60},
		},
		Mixer: protocol.Mixer{Capacity: 60},
		Shift: &protocol.Shift{Length: 8 * unit.Hour, Air: c(20), People: 2},
		Sterilizers: []protocol.FarmSterilizer{{
			ID: "steam", Name: "Steam 1", Model: "autoclave", Rated: 30 * psi, Gauge: unit.Step{Size: 0.5 * psi, Unit: "psi"},
			ComeUp: 25 * unit.Minute,
			Holds:  []protocol.Holds{{Vessel: "bottle", Count: 120}, {Vessel: "jar", Count: 100}, {Vessel: "bag", Count: 30}},
		}},
	}
}

// careful is the farm with all that it may say of lifting, alcohol and noise: crates
// so heavy and shelves so high that nobody should lift alone, and a loud machine at
// each of some stations.
func careful(stations ...string) protocol.Farm {
	f := farm()
	f.Crate = &protocol.Crate{Vessels: 16, Empty: 1.2, Lifted: &protocol.Lifted{
		Depth: 0.46, Hands: 0.15, Grip: "fair", From: pointer(unit.Length(0)), Lifts: 2.0 / 60, Stretch: 2 * unit.Hour}}
	f.Rooms = []protocol.Room{
		{ID: "grow", Name: "Grow room", For: []string{"incubation", "pinning", "fruiting"}, Volume: 60, ShelfLowest: 0.2, ShelfHighest: 1.35},
		{ID: "lab", Name: "Lab", For: []string{"bench"}, Volume: 30},
	}
	f.Bench = &protocol.Bench{Room: "lab", Alcohol: protocol.Ethanol, Wiped: 1}
	f.Shift = &protocol.Shift{Length: 8 * unit.Hour, Air: c(20), People: 2, Heat: pointer(c(27))}
	for _, s := range stations {
		f.Noise = append(f.Noise, protocol.Noise{ID: s, Name: s, Station: s, Level: 88, Time: unit.Hour})
	}
	return f
}

// mild is careful with shelves in an incubation room alone, whose air the lifting
// equation was made for.
func mild() (protocol.Farm, protocol.Protocol) {
	f := careful()
	f.Rooms[0].For = []string{"incubation"}
	return f, variant("mild", func(p *protocol.Protocol) { p.Incubation.Air, p.Incubation.Humidity = c(20), 0.48 })
}

// enoki is a pressed bore, a collar, a level scrape, wetting and a fleece.
func enoki() protocol.Protocol {
	return protocol.Protocol{
		Name: "enoki", Species: "enoki", Vessel: "bottle", Sterilizer: "steam",
		Substrate: protocol.Substrate{Moisture: 0.65, Mixing: 15 * unit.Minute, Ingredients: []protocol.Part{
			{Ingredient: "hull", Share: 0.42}, {Ingredient: "pellet", Share: 0.39}, {Ingredient: "bran", Share: 0.18}, {Ingredient: "gypsum", Share: 0.01},
		}},
		Fill: protocol.Fill{Density: pointer(unit.Density(680)), Headspace: 60e-6, LineBelowRim: 0.02, Tolerance: 0.03},
		Bore: protocol.Bore{Made: protocol.BorePressed, TopDiameter: 0.02, BottomDiameter: 0.014, Depth: 0.13},
		Sterilization: protocol.Sterilization{
			GaugePressure: 15 * psi, GaugeBand: psi, Vent: 10 * unit.Minute, Hold: 2 * unit.Hour, CoolTo: c(25), UseWithin: 24 * unit.Hour,
		},
		Spawn:      protocol.Spawn{Form: "grain", ShareOfWet: 0.03, Spare: 0.1, JarUsable: 0.45},
		Incubation: protocol.Incubation{Air: c(19), Humidity: 0.68, CO2Most: 2000e-6},
		Opening:    protocol.Opening{Scrape: protocol.ScrapeLevel, Depth: 0.005, Water: 10e-6, Stand: 2 * unit.Hour, Cover: "damp-fleece"},
		Pinning:    protocol.Stage{Air: c(12), Humidity: 0.95, CO2Most: 2400e-6, Light: 50, LightFor: 2 * unit.Hour},
		Collar:     &protocol.Collar{StemLength: 0.025, Height: 0.13},
		Fruiting:   protocol.Stage{Air: c(8), Humidity: 0.88, CO2Most: 2400e-6, Light: 50, LightFor: 2 * unit.Hour},
		Harvest:    protocol.Harvest{Sign: "Stems are level with the collar.", Lost: 0.05, Trim: 0.07, CoolTo: c(4), CoolWithin: 4 * unit.Hour},
		Cleaning:   protocol.Cleaning{EmptyWithin: 24 * unit.Hour, Water: c(55), Detergent: "mild-alkali"},
	}
}

// variant is enoki with changes, under another name.
func variant(name string, change func(*protocol.Protocol)) protocol.Protocol {
	p := enoki()
	p.Name = name
	change(&p)
	return p
}

// setting is one batch of a test.
type setting struct {
	protocol protocol.Protocol
	farm     protocol.Farm
	units    unit.System
	vessels  int

	number int // among settings, from 1; 0 for one that was changed since
}

// on is a protocol on the farm. Bags need so long a hold that two crews share
// their day: 400 of them take 12 h a load.
func on(p protocol.Protocol) setting {
	f := farm()
	if p.Vessel == "bag" {
		f.Shift.Length = 14 * unit.Hour
	}
	return setting{p, f, unit.Metric, 48, 0}
}

func (s setting) of(n int) setting           { s.vessels, s.number = n, 0; return s }
func (s setting) in(u unit.System) setting   { s.units, s.number = u, 0; return s }
func (s setting) at(f protocol.Farm) setting { s.farm, s.number = f, 0; return s }

// compute makes the batch, which must be free of errors.
func (s setting) compute(t *testing.T) *batch.Batch {
	t.Helper()
	p, err := process.Plan(process.Input{Farm: s.farm, Library: library(), Protocol: s.protocol, Units: s.units})
	require.NoError(t, err)
	b, err := batch.Compute(p, s.vessels)
	if err != nil {
		for _, f := range p.Findings {
			t.Logf("%v %s %v", f.Severity, f.Rule, f.What.Args)
		}
	}
	require.NoError(t, err)
	for _, f := range b.Findings {
		require.NotEqual(t, protocol.Error, f.Severity, "%s: %v", f.Rule, f.What.Args)
	}
	return b
}

// build tells the batch; of settings once, so a test may not change it.
func (s setting) build(t *testing.T) Procedure {
	t.Helper()
	if s.number == 0 {
		return Build(s.compute(t))
	}
	if _, is := built[s.number]; !is {
		built[s.number] = Build(s.compute(t))
	}
	return built[s.number]
}

var built = map[int]Procedure{}
