package results

import (
	"math"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

var nan = math.NaN()

// LostShare is the share of n vessels that came to nothing when x did.
var LostShare = working.NewLaw("x / n", "definition", nil)

// Good is how many of n vessels were good ones when x were lost.
var Good = working.NewLaw("n - x", "definition", nil)

// OffMean is by how much a batch is off the mean share p, for what chance alone does
// to n vessels of which x were lost: Pearson's statistic.
var OffMean = working.NewLaw("(x - n * p) * (x - n * p) / (n * p * (1 - p))", "Pearson 1900, Philosophical Magazine 50:157 (from memory)", nil)

// Apart is how many times further apart k batches lie than chance alone would have
// them: Pearson's statistic X over its degrees of freedom, 1 at least.
var Apart = working.NewLaw("max(1, X / (k - 1))", "dispersion of counts: McCullagh and Nelder, Generalized Linear Models, section 4.5 (from memory)", nil)

// Worth is how many vessels of their own n that came in clusters are worth, and WorthLost
// likewise x that were lost, at most n of them: a design effect f.
var (
	Worth     = working.NewLaw("max(1, floor(n / f))", "design effect: Kish, Survey Sampling, 1965 (from memory)", nil)
	WorthLost = working.NewLaw("min(n, round(x / f, 1))", "design effect: Kish, Survey Sampling, 1965 (from memory)", nil)
)

const exact = "exact interval of Clopper and Pearson 1934, Biometrika 26:404"

// AtLeast and AtMost are the ends of the interval for claims, after x of n were lost.
var (
	AtLeast = working.NewLaw("exact_low(x, n)", exact, map[string]working.Function{"exact_low": exactly(func(i chance.Interval) float64 { return i.Low })})
	AtMost  = working.NewLaw("exact_high(x, n)", exact, map[string]working.Function{"exact_high": exactly(func(i chance.Interval) float64 { return i.High })})
)

func exactly(end func(chance.Interval) float64) working.Function {
	return working.Exactly(2, func(args ...float64) (float64, error) {
		i, err := chance.ClopperPearson(int(math.Round(args[0])), int(math.Round(args[1])), Confidence)
		return end(i), err
	})
}

// SoldOfGood is what a good vessel gave to sell when g of them gave S (kg).
var SoldOfGood = working.NewLaw("S / g", "definition", nil)

// Mean is the mean of k values of which the sum is S.
var Mean = working.NewLaw("S / k", "definition", nil)

// Deviation is the standard deviation of k values with the mean m, of which the
// squares sum up to Q.
var Deviation = working.NewLaw("sqrt(max(0, Q - k * m * m) / (k - 1))", "definition of the standard deviation of a sample", nil)

const student = "interval of a mean by Student's t, Student 1908, Biometrika 6:1"

// MeanAtLeast and MeanAtMost are the ends of the interval of the mean m of k values
// with the standard deviation s.
var (
	MeanAtLeast = working.NewLaw("max(0, m - student(k) * s / sqrt(k))", student, map[string]working.Function{"student": ofStudent})
	MeanAtMost  = working.NewLaw("m + student(k) * s / sqrt(k)", student, map[string]working.Function{"student": ofStudent})
)

func ofStudent(args ...float64) (float64, error) {
	if len(args) != 1 {
		return 0, working.Within("number of values", "", float64(len(args)), 1, 1, "")
	}
	return chance.Student(Confidence, int(math.Round(args[0]))-1)
}

// EfficiencyOf is the biological efficiency behind S (kg) sold of a vessel with D (kg)
// of dry substrate, when the share trim was cut off before.
var EfficiencyOf = working.NewLaw("S / (1 - trim) / D", "definition of biological efficiency", nil)

// losses enters what was lost, batch by batch and in all. A batch whose cause was
// found and mended says nothing of those to come, and is not in the sums.
func (g *Group) losses() {
	l := g.Ledger
	var filled, lost []*working.Quantity
	var of []Batch // which filled and lost are
	for _, b := range g.Done {
		n := l.GivenOf("result_filled", b.Subject(), unit.CountOf, float64(b.Filled), b.key("filled"), "")
		at := b.key("lost")
		if len(b.Lost) == 0 {
			at = b.key("code")
		}
		x := l.GivenOf("result_lost", b.Subject(), unit.CountOf, float64(b.Bad), at, "")
		if b.Cause == "" {
			filled, lost, of = append(filled, n), append(lost, x), append(of, b)
		}
	}
	if len(of) == 0 {
		return
	}
	n := l.SumOf("filled_in_all", g.Name, unit.CountOf, filled...)
	x := l.SumOf("lost_in_all", g.Name, unit.CountOf, lost...)
	p := l.DeriveOf("lost_achieved", g.Name, unit.ShareOf, LostShare, working.Bind("x", x), working.Bind("n", n))
	k := g.count("batches_counted", len(of))
	if len(of) >= Fewest && p.Value > 0 && p.Value < 1 {
		var off []*working.Quantity
		for i, b := range of {
			off = append(off, l.DeriveOf("result_off", g.off(b), unit.None, OffMean,
				working.Bind("x", lost[i]), working.Bind("n", filled[i]), working.Bind("p", p)))
		}
		sum := l.SumOf("off_in_all", g.Name, unit.None, off...)
		f := l.DeriveOf("batches_apart", g.Name, unit.None, Apart, working.Bind("X", sum), working.Bind("k", k))
		worth := l.DeriveOf("filled_worth", g.Name, unit.CountOf, Worth, working.Bind("n", n), working.Bind("f", f))
		x = l.DeriveOf("lost_worth", g.Name, unit.CountOf, WorthLost, working.Bind("x", x), working.Bind("f", f), working.Bind("n", worth))
		n = worth
	}
	l.DeriveOf("lost_at_least", g.Name, unit.ShareOf, AtLeast, working.Bind("x", x), working.Bind("n", n))
	l.DeriveOf("lost_at_most", g.Name, unit.ShareOf, AtMost, working.Bind("x", x), working.Bind("n", n))
}

// counted are the vessels that the interval of the losses speaks for: less than there
// are, where losses come in clusters.
func (g *Group) counted() (bad, n int) {
	if q := g.Quantity("lost_worth"); q != nil {
		return int(q.Value), int(g.Quantity("filled_worth").Value)
	}
	return int(g.Quantity("lost_in_all").Value), int(g.Quantity("filled_in_all").Value)
}

// weighed reports whether a batch tells what a good vessel gives: something was
// weighed of it, and something could be.
func (b Batch) weighed() bool { return len(b.Picked) > 0 && b.Bad < b.Filled }

// yields enters what a good vessel gave to sell. Batches whose cause of loss was found
// count here: their good vessels are as good as others.
func (g *Group) yields() {
	l := g.Ledger
	if p := g.Process; p != nil {
		for _, level := range []string{"low", "usual", "high"} {
			l.DeriveOf("sold_assumed_"+level, g.Name, unit.MassOf, crop.Sold,
				working.Bind("Y", l.Get("yield_in_vessel_"+level)), working.Bind("trim", l.Get("trim_share")))
		}
	}
	var each []*working.Quantity
	for _, b := range g.Done {
		if !b.weighed() {
			continue
		}
		sold := l.GivenOf("result_sold", b.Subject(), unit.MassOf, float64(b.Sold()), b.key("picked"), "")
		good := l.DeriveOf("result_good", b.Subject(), unit.CountOf, Good, working.Bind("n", l.Of("result_filled", b.Subject())), working.Bind("x", l.Of("result_lost", b.Subject())))
		each = append(each, l.DeriveOf("result_sold_each", b.Subject(), unit.MassOf, SoldOfGood, working.Bind("S", sold), working.Bind("g", good)))
	}
	if len(each) == 0 {
		return
	}
	k := g.count("batches_weighed", len(each))
	m := l.DeriveOf("sold_achieved", g.Name, unit.MassOf, Mean, working.Bind("S", l.SumOf("sold_each_in_all", g.Name, unit.MassOf, each...)), working.Bind("k", k))
	if g.Process != nil {
		g.efficiency("efficiency_achieved", m)
	}
	if len(each) < Fewest {
		return
	}
	squares := l.DotOf("sold_squares", g.Name, unit.None, each, each)
	s := l.DeriveOf("sold_deviation", g.Name, unit.MassOf, Deviation, working.Bind("Q", squares), working.Bind("k", k), working.Bind("m", m))
	for _, end := range []struct {
		name string
		law  *working.Law
	}{{"at_least", MeanAtLeast}, {"at_most", MeanAtMost}} {
		q := l.DeriveOf("sold_"+end.name, g.Name, unit.MassOf, end.law, working.Bind("m", m), working.Bind("k", k), working.Bind("s", s))
		if g.Process != nil {
			g.efficiency("efficiency_"+end.name, q)
		}
	}
}

// efficiency enters the biological efficiency behind what a good vessel gave to sell.
func (g *Group) efficiency(name string, sold *working.Quantity) {
	l := g.Ledger
	l.DeriveOf(name, g.Name, unit.ShareOf, EfficiencyOf, working.Bind("S", sold),
		working.Bind("trim", l.Get("trim_share")), working.Bind("D", l.Get("dry_in_vessel")))
}

// Days are how many days lay between two days of a batch.
type Days struct {
	ID      string // "opening" or "picking": both are counted from mixing, picking to its first day
	Batches int
	Least   int
	Most    int
	Mean    float64 // days

	// As the protocol assumes it; Known is false where there is none.
	Known                    bool
	Shortest, Usual, Longest int
}

// days counts what lay between mixing and opening, and mixing and picking.
func (g *Group) days() {
	for _, id := range []string{"opening", "picking"} {
		d := Days{ID: id}
		sum := 0
		for _, b := range g.Done {
			n, ok := b.daysTo(id)
			if !ok {
				continue
			}
			if d.Batches == 0 {
				d.Least, d.Most = n, n
			}
			d.Batches++
			d.Least, d.Most = min(d.Least, n), max(d.Most, n)
			sum += n
		}
		if d.Batches == 0 {
			continue
		}
		d.Mean = float64(sum) / float64(d.Batches)
		if g.Process != nil {
			d.Known = true
			d.Shortest, d.Usual, d.Longest = assumed(g.Process, id)
		}
		g.Days = append(g.Days, d)
	}
}

// overnight is how many days vessels stand between mixing and spawn: they are
// sterilized and cool in clean air, as package calendar has it.
const overnight = 1

// assumed are the days from mixing that a protocol plans with.
func assumed(p *process.Process, to string) (shortest, usual, longest int) {
	shortest, usual, longest = overnight, overnight, overnight
	for _, s := range p.Stages {
		if to == "opening" && (s.ID == "pinning" || s.ID == "fruiting") {
			break
		}
		shortest += process.WholeDays(s.Shortest)
		usual += process.WholeDays(s.Usual)
		longest += process.WholeDays(s.Longest)
	}
	return shortest, usual, longest
}

func (b Batch) daysTo(id string) (int, bool) {
	to := b.Opened
	if id == "picking" {
		to = ""
		for _, p := range b.Picked {
			if to == "" || p.On < to {
				to = p.On
			}
		}
	}
	day, err := calendar.Parse(to)
	if err != nil {
		return 0, false
	}
	return int(day - b.Mixing), true
}

// Hours are what was worked in one role, beside what the book has for as many
// vessels.
type Hours struct {
	Role            work.Role // "" for all roles of a batch together
	Batches         int
	Worked, Assumed unit.Duration // of all these batches
	Least, Most     float64       // worked over assumed, of a batch
}

// hours sums the labor up. A batch counts for a role for which it has an entry.
func (g *Group) hours() error {
	of := map[work.Role]*Hours{}
	add := func(role work.Role, worked, planned float64) {
		h := of[role]
		ratio := worked / planned
		if h == nil {
			h = &Hours{Role: role, Least: ratio, Most: ratio}
			of[role] = h
		}
		h.Batches++
		h.Worked += unit.Duration(worked)
		h.Assumed += unit.Duration(planned)
		h.Least, h.Most = math.Min(h.Least, ratio), math.Max(h.Most, ratio)
	}
	for _, b := range g.Done {
		if len(b.Labor) == 0 {
			continue
		}
		planned, err := batch.Compute(g.Process, b.Filled)
		if err != nil {
			return err
		}
		worked, all, allPlanned := map[work.Role]float64{}, 0.0, 0.0
		for _, l := range b.Labor {
			worked[work.Role(l.Role)] += float64(l.Time)
		}
		for _, role := range work.Roles() {
			w, ok := worked[role]
			p := planned.Value("time_of_" + string(role))
			if !ok || p == 0 {
				continue
			}
			add(role, w, p)
			all, allPlanned = all+w, allPlanned+p
		}
		if allPlanned > 0 {
			add("", all, allPlanned)
		}
	}
	for _, role := range append(work.Roles(), "") {
		if h := of[role]; h != nil {
			g.Hours = append(g.Hours, *h)
		}
	}
	return nil
}
