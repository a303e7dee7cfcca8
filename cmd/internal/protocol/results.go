package protocol

import "bottlecrop/cmd/internal/unit"

// ResultsDocument is what became of the batches; a farm need not write it down.
const ResultsDocument = Folder + "/results.toml"

// UnderWayMost and VesselsUnderWayMost are how many batches, and vessels in them, may
// be under way at once (design choice). They are planned in seconds.
const (
	UnderWayMost        = 500
	VesselsUnderWayMost = 100_000
)

// Results is protocols/results.toml: what was written on the records. No sheet
// depends on it, and no fingerprint.
type Results struct {
	Format  int      `toml:"format" validate:"required,eq=1" method:"-"`
	Gone    []string `toml:"no_more" validate:"max=200,unique,dive,id" method:"-"` // protocols that the farm has given up, and batches are of
	Batches []Result `toml:"batch" validate:"max=5000,unique=Code,dive" method:"-"`

	// What batches share. All of it may be left out: a trace says what it misses.
	Runs   []SterilizerRun `toml:"run" validate:"max=20000,unique=Code,dive" method:"-"`
	Spawn  []SpawnLot      `toml:"spawn" validate:"max=5000,unique=Lot,dive" method:"-"`
	Sent   []Sent          `toml:"sent" validate:"max=50000,dive" method:"-"`
	Unsold []Unsold        `toml:"unsold" validate:"max=20000,dive" method:"-"`
}

// Result is one batch, as far as it has come.
type Result struct {
	Code     string        `toml:"code" validate:"required,max=40" method:"-"` // as on its cards
	Protocol string        `toml:"protocol" validate:"required" method:"-"`
	Method   string        `toml:"method" validate:"max=20" method:"-"` // fingerprint, as printed on the record
	Room     string        `toml:"room" validate:"max=60" method:"-"`   // where it fruited; the farm may have rebuilt it since
	Mixed    string        `toml:"mixed" validate:"required,datetime=2006-01-02" method:"-"`
	Filled   int           `toml:"filled" validate:"required,min=1,max=1000000" method:"-"` // to grow, controls left out
	Controls int           `toml:"controls" validate:"min=0,max=1000" method:"-"`
	Goods    []GoodsUsed   `toml:"goods" validate:"max=100,dive" method:"-"`
	Water    unit.Mass     `toml:"water" method:"-"`                                     // mixed in, all mixes together
	Mixes    int           `toml:"mixes" validate:"min=0,max=1000" method:"-"`           // how many were made
	Loads    []LoadMade    `toml:"load" validate:"max=200,dive" method:"-"`              // of the sterilizer
	Given    string        `toml:"inoculated" validate:"datetime=2006-01-02" method:"-"` // the day on which the first got spawn
	Bench    string        `toml:"bench" validate:"max=60" method:"-" prose:"name"`      // at which it got it
	Spawned  []Spawned     `toml:"spawned" validate:"max=40,unique=Lot,dive" method:"-"`
	Waste    []Wasted      `toml:"waste" validate:"max=100,dive" method:"-"`
	Opened   string        `toml:"opened" validate:"datetime=2006-01-02" method:"-"`
	Lost     []LostVessels `toml:"lost" validate:"max=100,dive" method:"-"`
	Picked   []Picked      `toml:"picked" validate:"max=60,dive" method:"-"`
	Emptied  string        `toml:"emptied" validate:"datetime=2006-01-02" method:"-"` // all of its vessels: the batch is done
	Labor    []Labor       `toml:"labor" validate:"max=100,dive" method:"-"`
	Cause    string        `toml:"cause_found" validate:"max=400" method:"-" prose:"true"` // what went wrong, found and mended: the batch says nothing of others
	Note     string        `toml:"note" validate:"max=400" method:"-" prose:"true"`
}

// Spawned is how many vessels of a batch got their spawn from one lot.
type Spawned struct {
	Lot     string `toml:"lot" validate:"required,max=40" method:"-"`
	Vessels int    `toml:"vessels" validate:"required,min=1,max=1000000" method:"-"`

	Mass unit.Mass `toml:"mass" method:"-"` // of the spawn, as it went in
}

// LostVessels are vessels of a batch that came to nothing for one reason.
type LostVessels struct {
	Count int    `toml:"count" validate:"required,min=1,max=1000000" method:"-"`
	At    string `toml:"at" validate:"required,oneof=filling sterilizing inoculating incubation ripening pinning fruiting washing" method:"-"`
	Why   string `toml:"why" validate:"required,oneof=green black wet no-growth dry broken test other" method:"-"`
	Where string `toml:"where" validate:"oneof=bottom center cap all-over" method:"-"` // in the vessel it began
	Lot   string `toml:"lot" validate:"max=40" method:"-"`                             // of spawn
	On    string `toml:"on" validate:"datetime=2006-01-02" method:"-"`
}

// Stages and Reasons are what LostVessels.At and LostVessels.Why may be, in the
// order in which they are told.
var (
	Stages  = []string{"filling", "sterilizing", "inoculating", "incubation", "ripening", "pinning", "fruiting", "washing"}
	Reasons = []string{"green", "black", "wet", "no-growth", "dry", "broken", "test", "other"}
)

// Picked is what was weighed of a batch on one day, trimmed, as sold.
type Picked struct {
	On   string    `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Mass unit.Mass `toml:"mass" validate:"required" method:"-"`

	Lot   string    `toml:"lot" validate:"max=40" method:"-"` // as on its boxes; left out, it is the batch's code
	Fresh unit.Mass `toml:"as_picked" method:"-"`             // before it was trimmed
}

// Labor is the time that was worked on a batch in one role.
type Labor struct {
	Role string        `toml:"role" validate:"required" method:"-"`
	Time unit.Duration `toml:"time" validate:"required" method:"-"`
}

// ResultKey is the path of a key of the i-th batch in the results' file, from 0.
func ResultKey(i int, key string) string { return Item("batch", i) + "." + key }

// Done reports whether a batch is emptied: the others are under way.
func (r Result) Done() bool { return r.Emptied != "" }

// LostInAll is how many of the batch's vessels came to nothing.
func (r Result) LostInAll() int {
	n := 0
	for _, l := range r.Lost {
		n += l.Count
	}
	return n
}

// Sold is what was picked of the batch, trimmed.
func (r Result) Sold() unit.Mass {
	var m unit.Mass
	for _, p := range r.Picked {
		m += p.Mass
	}
	return m
}
