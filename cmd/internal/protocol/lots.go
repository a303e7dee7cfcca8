package protocol

import (
	"cmp"

	"bottlecrop/cmd/internal/unit"
)

// GoodsUsed is what of one lot of an ingredient went into a batch, or into a lot of
// spawn.
type GoodsUsed struct {
	Ingredient string    `toml:"ingredient" validate:"required" method:"-"`
	Lot        string    `toml:"lot" validate:"required,max=40" method:"-"` // as its sacks were marked
	Mass       unit.Mass `toml:"mass" validate:"required" method:"-"`       // as received
	Mixes      []int     `toml:"mixes" validate:"max=1000,unique,dive,min=1,max=1000" method:"-"`
}

// LoadMade is one load of a batch: which run it was in, which mixes, and where it
// stood afterward. A load whose run failed and that was run again is there twice.
type LoadMade struct {
	Run     string   `toml:"run" validate:"required,max=40" method:"-"`
	Vessels int      `toml:"vessels" validate:"required,min=1,max=1000000" method:"-"` // controls among them
	Mixes   []int    `toml:"mixes" validate:"max=1000,unique,dive,min=1,max=1000" method:"-"`
	Racks   []string `toml:"racks" validate:"max=100,unique,dive,max=40" method:"-"`
}

// SterilizerRun is one run of a sterilizer. Several batches, and jars of grain, may
// have been in it.
type SterilizerRun struct {
	Code       string `toml:"code" validate:"required,max=40" method:"-"`
	Sterilizer string `toml:"sterilizer" validate:"max=60" method:"-" prose:"name"` // the farm may have another since
	On         string `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Failed     string `toml:"failed" validate:"max=400" method:"-" prose:"true"` // what was not as it should be; left out, all was
}

// SpawnLot is jars of spawn that were made together, or came together.
type SpawnLot struct {
	Lot        string      `toml:"lot" validate:"required,max=40" method:"-"`
	Generation int         `toml:"generation" validate:"min=0,max=50" method:"-"` // 0 is not said
	From       string      `toml:"from" validate:"max=40" method:"-"`             // the lot that it was made from
	Maker      string      `toml:"maker" validate:"max=60" method:"-" prose:"name"`
	Jars       int         `toml:"jars" validate:"min=0,max=1000000" method:"-"`
	Full       string      `toml:"full_on" validate:"datetime=2006-01-02" method:"-"` // grown through
	Run        string      `toml:"run" validate:"max=40" method:"-"`                  // of its grain
	Goods      []GoodsUsed `toml:"goods" validate:"max=40,dive" method:"-"`
}

// Wasted is what of a batch went neither into a crop nor to anybody.
type Wasted struct {
	What string    `toml:"what" validate:"required,oneof=left-over spilled controls lost trimmings spent" method:"-"`
	Mass unit.Mass `toml:"mass" validate:"required" method:"-"`
	To   string    `toml:"to" validate:"max=60" method:"-" prose:"name"` // where it went
}

// Sent is what of one lot of a harvest went to somebody.
type Sent struct {
	Lot   string    `toml:"lot" validate:"required,max=40" method:"-"`
	To    string    `toml:"to" validate:"required,max=60" method:"-" prose:"name"`
	Order string    `toml:"order" validate:"max=60" method:"-"` // of orders.toml; that of a past season may be gone
	On    string    `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Mass  unit.Mass `toml:"mass" validate:"required" method:"-"`
}

// Unsold is what of one lot of a harvest went to nobody.
type Unsold struct {
	Lot  string    `toml:"lot" validate:"required,max=40" method:"-"`
	On   string    `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Mass unit.Mass `toml:"mass" validate:"required" method:"-"`
	Why  string    `toml:"why" validate:"max=60" method:"-" prose:"true"`
}

// HarvestLot is the lot that a picking of a batch went into: most farms mark boxes with
// the code of the batch.
func (r Result) HarvestLot(p Picked) string { return cmp.Or(p.Lot, r.Code) }
