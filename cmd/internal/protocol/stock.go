package protocol

import "bottlecrop/cmd/internal/unit"

// StockDocument is what a farm has in store; a farm need not write it down.
const StockDocument = Folder + "/stock.toml"

// Stock is protocols/stock.toml. It is of one day: no sheet of a book depends on
// it, and no fingerprint.
type Stock struct {
	Format int   `toml:"format" validate:"required,eq=1" method:"-"`
	Lots   []Lot `toml:"lot" validate:"max=1000,unique=ID,dive" method:"-"`
}

// Lot is a delivery of one ingredient, or what is left of it.
type Lot struct {
	ID         string          `toml:"id" validate:"required,max=40" method:"-"` // as its sacks are marked
	Ingredient string          `toml:"ingredient" validate:"required" method:"-"`
	Mass       unit.Mass       `toml:"mass" validate:"required" method:"-"`                            // left now, as received
	Moisture   *unit.WetShare  `toml:"moisture_wb" method:"-"`                                         // of a dried sample; left out, it is as the farm or the library has it
	ReceivedOn string          `toml:"received_on" validate:"required,datetime=2006-01-02" method:"-"` // the oldest lot is used first
	Came       unit.Mass       `toml:"came" method:"-"`                                                // as it came; left out, a trace can't say whether all of it is found again
	Price      *unit.MassPrice `toml:"price" method:"-"`                                               // left out, it is the farm's
}

// LotKey is the path of a key of the i-th lot in the stock's file, from 0.
func LotKey(i int, key string) string { return Item("lot", i) + "." + key }
