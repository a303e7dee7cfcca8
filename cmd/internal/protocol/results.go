package protocol

import "bottlecrop/cmd/internal/unit"

// ResultsDocument is what became of the batches; a farm need not write it down.
const ResultsDocument = Folder + "/results.toml"

// Results is protocols/results.toml: what was written on the records. No sheet
// depends on it, and no fingerprint.
type Results struct {
	Format  int      `toml:"format" validate:"required,eq=1" method:"-"`
	Batches []Result `toml:"batch" validate:"max=5000,unique=Code,dive" method:"-"`
}

// Result is one batch, as far as it has come.
type Result struct {
	Code     string        `toml:"code" validate:"required,max=40" method:"-"` // as on its cards
	Protocol string        `toml:"protocol" validate:"required" method:"-"`
	Mixed    string        `toml:"mixed" validate:"required,datetime=2006-01-02" method:"-"`
	Filled   int           `toml:"filled" validate:"required,min=1,max=1000000" method:"-"` // to grow, controls left out
	Controls int           `toml:"controls" validate:"min=0,max=1000" method:"-"`
	Opened   string        `toml:"opened" validate:"datetime=2006-01-02" method:"-"`
	Lost     []LostVessels `toml:"lost" validate:"max=100,dive" method:"-"`
	Picked   []Picked      `toml:"picked" validate:"max=60,dive" method:"-"`
	Emptied  string        `toml:"emptied" validate:"datetime=2006-01-02" method:"-"` // all of its vessels: the batch is done
	Labor    []Labor       `toml:"labor" validate:"max=100,dive" method:"-"`
	Note     string        `toml:"note" validate:"max=400" method:"-"`
}

// LostVessels are vessels of a batch that came to nothing for one reason.
type LostVessels struct {
	Count int    `toml:"count" validate:"required,min=1,max=1000000" method:"-"`
	At    string `toml:"at" validate:"required,oneof=filling sterilizing inoculating incubation ripening pinning fruiting washing" method:"-"`
	Why   string `toml:"why" validate:"required,oneof=green black wet no-growth dry broken test other" method:"-"`
	On    string `toml:"on" validate:"datetime=2006-01-02" method:"-"`
}

// Picked is what was weighed of a batch on one day, trimmed, as sold.
type Picked struct {
	On   string    `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Mass unit.Mass `toml:"mass" validate:"required" method:"-"`
}

// Labor is the time that was worked on a batch in one role.
type Labor struct {
	Role string        `toml:"role" validate:"required" method:"-"`
	Time unit.Duration `toml:"time" validate:"required" method:"-"`
}

// ResultKey is the path of a key of the i-th batch in the results' file, from 0.
func ResultKey(i int, key string) string { return item("batch", i) + "." + key }
