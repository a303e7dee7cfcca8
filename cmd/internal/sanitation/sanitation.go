// Package sanitation works out what a farm cleans with: how much of its own alcohol
// and bleach goes into its own bottle and bucket, as its measure shows them, how hot
// the water is, and how the air of its clean bench was when it was last measured.
//
// Every number is a quantity of a ledger with its law, so that a page can tell how it
// came about and limits can run over it.
package sanitation

import (
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/hygiene"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Plan is what a farm cleans with. It is not changed once made.
type Plan struct {
	Written  protocol.Hygiene
	Ledger   *working.Ledger
	Names    map[string]string  // words for the subjects of quantities
	Cold     []protocol.Species // that are grown and that Listeria likes, each once
	Findings []protocol.Finding
}

// listeria are what has to have its day where a crop is grown that Listeria likes.
var listeria = []string{"drains", "humidifiers", "coil-pans", "swabs"}

// New works out what a farm that grows some species has written down; nil where that
// is nothing.
func New(f protocol.Farm, grown []protocol.Species) *Plan {
	if f.Hygiene == nil {
		return nil
	}
	p := &Plan{Written: *f.Hygiene, Ledger: working.NewLedger(nil), Names: map[string]string{}}
	p.given("jug_reads", unit.VolumeOf, p.Written.Reads.Size, "jug_reads")
	p.alcohol(f)
	p.bleach()
	if w := p.Written.HotWater; w != nil {
		p.given("sanitize_water", unit.TemperatureOf, float64(w.At), "hot_water.at")
		p.given("sanitize_time", unit.TimeOf, float64(w.For), "hot_water.for")
	}
	p.bench()
	for _, s := range grown {
		if s.Listeria != "" && !slices.ContainsFunc(p.Cold, func(x protocol.Species) bool { return x.ID == s.ID }) {
			p.Cold = append(p.Cold, s)
		}
	}
	if len(p.Cold) > 0 {
		p.weekly()
	}
	p.Findings = limit.Check(p.Ledger.Own(), p.Ledger, p.Names, "")
	if slices.ContainsFunc(p.Findings, func(x protocol.Finding) bool { return x.Rule == "bleach.food" }) {
		// What is wanted is wrong: what it makes says the same once more.
		p.Findings = slices.DeleteFunc(p.Findings, func(x protocol.Finding) bool { return x.Rule == "bleach.food_made" })
	}
	if err := p.Ledger.Err(); err != nil && protocol.Worst(p.Findings) < protocol.Error {
		p.Findings = append(p.Findings, protocol.Finding{
			Severity: protocol.Error, Rule: "law.range", Origin: inHygiene("jug_reads"),
			What: protocol.Message{ID: "law.range", Args: map[string]any{"error": err.Error()}},
		})
	}
	return p
}

// weekly marks what has no day.
func (p *Plan) weekly() {
	for _, do := range listeria {
		left := 1.0
		if slices.ContainsFunc(p.Written.Weekly, func(t protocol.WeeklyTask) bool { return t.Do == do }) {
			left = 0
		}
		p.Ledger.GivenOf("weekly_left_out", do, unit.None, left, protocol.InFarm("hygiene"), "")
	}
}

// Findings judges what a farm cleans with.
func Findings(f protocol.Farm, grown []protocol.Species) []protocol.Finding {
	if p := New(f, grown); p != nil {
		return p.Findings
	}
	return nil
}

// inHygiene is the place of a key of what the farm cleans with.
func inHygiene(key string) working.Origin { return protocol.InFarm("hygiene." + key) }

func (p *Plan) given(name string, k unit.Kind, v float64, key string) *working.Quantity {
	return p.Ledger.Given(name, k, v, inHygiene(key))
}

// mix works out how much stock of strength C_1 a volume of the wanted strength takes,
// exactly, as the measure shows it, and what that makes.
func (p *Plan) mix(name string, volume, wanted, stock *working.Quantity) (exact, measured *working.Quantity) {
	l := p.Ledger
	exact = l.Derive(name+"_exact", unit.VolumeOf, hygiene.StockFor,
		working.Bind("V", volume), working.Bind("C_2", wanted), working.Bind("C_1", stock))
	measured = l.Derive(name+"_measured", unit.VolumeOf, hygiene.OnMark, working.Bind("V", exact), working.Bind("step", l.Get("jug_reads")))
	made := l.Derive(name+"_made", wanted.Kind, hygiene.Made,
		working.Bind("V_1", measured), working.Bind("C_1", stock), working.Bind("V", volume))
	l.Derive(name+"_off", unit.ShareOf, hygiene.Off, working.Bind("C_m", made), working.Bind("C_2", wanted))
	return exact, measured
}

func (p *Plan) alcohol(f protocol.Farm) {
	a := p.Written.Alcohol
	if a == nil {
		return
	}
	stock := p.given("alcohol_stock", unit.ShareOf, float64(a.Stock), "alcohol.stock")
	wanted := p.given("alcohol_wanted", unit.ShareOf, float64(a.Wanted), "alcohol.wanted")
	bottle := p.given("alcohol_bottle", unit.VolumeOf, float64(a.Bottle), "alcohol.bottle")
	exact, _ := p.mix("alcohol", bottle, wanted, stock)
	// Nobody has a table of densities for the other one here.
	if (f.Bench == nil || f.Bench.Alcohol == "ethanol") && wanted.Value < stock.Value {
		l := p.Ledger
		water := l.Derive("alcohol_water", unit.VolumeOf, hygiene.WaterFor,
			working.Bind("V", bottle), working.Bind("C_2", wanted), working.Bind("V_1", exact), working.Bind("C_1", stock))
		l.Derive("alcohol_shrinks", unit.ShareOf, hygiene.Shrinks, working.Bind("W", water), working.Bind("V", bottle), working.Bind("V_1", exact))
	}
}

func (p *Plan) bleach() {
	b, l := p.Written.Bleach, p.Ledger
	if b == nil {
		return
	}
	label := p.given("bleach_label", unit.ShareOf, float64(b.Stock), "bleach.stock")
	liter := p.liter(*b)
	if liter.Value == 0 {
		return // the label tells nothing, which its limit says
	}
	stock := l.Derive("bleach_stock", unit.PartsPerMillion, hygiene.Available, working.Bind("C", label), working.Bind("s", liter))
	bucket := p.given("bleach_bucket", unit.VolumeOf, float64(b.Bucket), "bleach.bucket")
	use := func(name string, wanted unit.Concentration, key string) {
		w := p.given(name, unit.PartsPerMillion, float64(wanted), key)
		_, measured := p.mix(name, bucket, w, stock)
		l.Derive(name+"_water", unit.VolumeOf, hygiene.Rest, working.Bind("V", bucket), working.Bind("V_1", measured))
	}
	use("bleach_surfaces", b.Surfaces, "bleach.surfaces")
	if b.Food != nil {
		use("bleach_food", *b.Food, "bleach.food_contact")
	}
}

// liter is the mass of a liter by which the label's figure counts.
func (p *Plan) liter(b protocol.Bleach) *working.Quantity {
	const liter = 1e-3 // m³
	switch {
	case b.Basis != protocol.ByMass:
		return p.Ledger.GivenOf("bleach_liter", "", unit.MassOf, 1, working.Origin{}, "a label by volume says how many grams 100 mL have")
	case b.Density == nil:
		return p.given("bleach_liter", unit.MassOf, 0, "bleach.basis")
	}
	return p.given("bleach_liter", unit.MassOf, float64(*b.Density)*liter, "bleach.density")
}

// bench works out how fast the air over a clean bench is, and how even.
func (p *Plan) bench() {
	b, l := p.Written.Bench, p.Ledger
	if b == nil {
		return
	}
	var in []working.Input
	for i, v := range b.Readings {
		n := strconv.Itoa(i + 1)
		key := "clean_bench.readings[" + strconv.Itoa(i) + "]"
		in = append(in, working.Bind("v"+n, l.GivenOf("bench_reading", n, unit.SpeedOf, float64(v), inHygiene(key), "")))
	}
	n := len(in)
	mean := l.Derive("bench_speed", unit.SpeedOf, hygiene.MeanOf(n), in...)
	low := l.Derive("bench_slowest", unit.SpeedOf, hygiene.LowestOf(n), in...)
	high := l.Derive("bench_fastest", unit.SpeedOf, hygiene.HighestOf(n), in...)
	l.Derive("bench_uneven", unit.ShareOf, hygiene.Uneven, working.Bind("v_high", high), working.Bind("v", mean), working.Bind("v_low", low))
	l.Derive("bench_flow", unit.AirFlowOf, hygiene.Flow, working.Bind("v", mean),
		working.Bind("w", p.given("bench_width", unit.LengthOf, float64(b.Width), "clean_bench.width")),
		working.Bind("h", p.given("bench_height", unit.LengthOf, float64(b.Height), "clean_bench.height")))
}

// Shown is a volume as the farm's measure shows it, or that of a bottle or bucket. A
// farm that measures in milliliters has their marks in liters, in whatever units a
// page is printed.
func (p *Plan) Shown(name string) unit.Amount {
	q, jug := p.Ledger.Get(name), p.Written.Reads
	if q.Law != nil {
		return unit.Amount{Kind: unit.VolumeOf, Value: q.Value, Step: jug.Size, Unit: jug.Unit}
	}
	marks := unit.US
	if slices.Contains([]string{"mL", "ml", "L", "l", "cm3", "cm³"}, jug.Unit) {
		marks = unit.Metric
	}
	return unit.Amount{Kind: unit.VolumeOf, Value: q.Value, Digits: 4, Unit: unit.UnitFor(unit.VolumeOf, q.Value, marks)}
}
