package protocol

// Trouble is one [[trouble]] of library/troubles.toml: what a worker sees when
// something is off, what the likely causes are, how to tell which, and what to
// do. A card of it stands in the book of each protocol that it applies to.
//
// Its texts hold no figures: where a figure matters, a cause names a reading,
// and the card prints the protocol's own.
type Trouble struct {
	ID      string   `toml:"id" validate:"required,id"`
	Title   string   `toml:"title" validate:"required,max=60" method:"-" prose:"true"`
	Looks   string   `toml:"looks_like" validate:"required,max=300" method:"-" prose:"true"`
	SeenAt  []string `toml:"seen_at" validate:"required,min=1,max=8,unique" method:"-"` // ids of steps; the card stands at the earliest that a protocol has
	Decides string   `toml:"decides" validate:"required" method:"-"`                    // the role that says what is thrown out, or changed
	Safety  string   `toml:"safety" validate:"oneof=mold spores co2 food" method:"-"`   // what stands on top of the card
	Prevent string   `toml:"prevent" validate:"required,max=400" method:"-" prose:"true"`
	Applies
	Causes []Cause `toml:"cause" validate:"required,min=1,max=12,dive" method:"-"` // the most likely first
	Known
}

// Applies says for which protocols an entry or a cause is true; left out, for
// all. A species stands for its strains as well.
type Applies struct {
	Species []string `toml:"species" validate:"unique" method:"-"`
	Except  []string `toml:"except" validate:"excluded_with=Species,unique" method:"-"`
	// Where lists conditions that must all hold; package procedure knows what
	// each of them asks of a protocol.
	Where []string `toml:"where" validate:"unique,dive,oneof=bag reusable bored scraped unscraped wetted unwetted fleece inverted collared uncollared ripened" method:"-"`
}

// Cause is one likely cause of a trouble.
type Cause struct {
	Cause string `toml:"cause" validate:"required,max=100" method:"-" prose:"true"`
	Check string `toml:"check" validate:"required,max=240" method:"-" prose:"true"` // how to find out
	Do    string `toml:"do" validate:"required,max=300" method:"-" prose:"true"`
	// Reads lists the protocol's own figures that stand beside the cause.
	Reads []string `toml:"reads" validate:"max=4,unique,dive,oneof=moisture fill bore gauge vent hold core-cool use-within run-air run-humidity run-days core-most ripening scrape water pin-air pin-humidity pin-co2 pin-light pin-days collar fruit-air fruit-humidity fruit-co2 fruit-light chill" method:"-"`
	Applies
}

// Names reports whether a list names a species, or the species that it is a
// strain of.
func (s Species) Names(list []string) bool {
	for _, id := range list {
		if id == s.ID || id == s.StrainOf {
			return true
		}
	}
	return false
}
