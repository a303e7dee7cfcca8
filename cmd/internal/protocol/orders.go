package protocol

import "bottlecrop/cmd/internal/unit"

// OrdersDocument is what a farm is to deliver; a farm need not write it down.
const OrdersDocument = Folder + "/orders.toml"

// SeasonMost is how many days a season of deliveries may have from its first day to
// its last: two years, of which one may be a leap year (design choice).
const SeasonMost = 731

// DeliveriesMost is how many deliveries a season may have: ten a week for two years
// (design choice). They are planned in seconds.
const DeliveriesMost = 1000

// Orders is protocols/orders.toml: a season of deliveries. No sheet depends on it,
// and no fingerprint.
type Orders struct {
	Format int     `toml:"format" validate:"required,eq=1" method:"-"`
	Orders []Order `toml:"order" validate:"max=500,unique=ID,dive" method:"-"`
}

// Order is one delivery of a crop, or the same one week after week.
type Order struct {
	ID       string    `toml:"id" validate:"required,id" method:"-"`
	For      string    `toml:"for" validate:"max=60" method:"-" prose:"true"` // who gets it, in the farm's words
	Protocol string    `toml:"protocol" validate:"required" method:"-"`
	Mass     unit.Mass `toml:"mass" validate:"required" method:"-"` // trimmed, as sold, each time
	First    string    `toml:"first" validate:"required,datetime=2006-01-02" method:"-"`
	Last     string    `toml:"last" validate:"datetime=2006-01-02" method:"-"` // left out, it is one delivery
	Weeks    int       `toml:"every_weeks" validate:"min=0,max=52" method:"-"` // 0 is 1
	But      []string  `toml:"but_not" validate:"max=200,unique,dive,datetime=2006-01-02" method:"-"`
}

// OrderKey is the path of a key of the i-th order in the orders' file, from 0.
func OrderKey(i int, key string) string { return Item("order", i) + "." + key }
