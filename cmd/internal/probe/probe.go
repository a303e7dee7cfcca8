// Package probe reads the files that temperature loggers write: tables of
// readings as text, each maker's in a shape of its own. It finds the table, its
// delimiter, decimal mark, time column and temperature channels, and says what
// is wrong or odd with its place. It never guesses where two answers are
// possible: then it says so, and the caller sets an option.
//
// It knows no physics: what the readings did to anything is worked out elsewhere.
package probe

import (
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Point is one reading: a temperature at a time.
type Point struct {
	Seconds float64 // since the first row of the table
	Kelvin  float64
}

// Channel is one probe: its name as the header gives it, and its readings.
// Times ascend, no two are equal, and every temperature is finite.
type Channel struct {
	Name   string // "" where the table has no header
	Column int    // of the table, from 1
	Unit   Unit   // as read
	Points []Point
}

// Log is what a file holds.
type Log struct {
	Channels []Channel
	Start    string  // time of the first row, as written
	Interval float64 // median time between rows, s
	Rows     int     // rows with a time of their own
}

// Channel finds a channel by its name in the log, or by the number of its
// column; nil where there is none.
func (l *Log) Channel(want string) *Channel {
	byNumber := (*Channel)(nil)
	for i, c := range l.Channels {
		switch {
		case named(c.Name, want):
			return &l.Channels[i]
		case strconv.Itoa(c.Column) == want:
			byNumber = &l.Channels[i]
		}
	}
	return byNumber
}

// named tells whether a channel's name is the one wanted.
func named(name, want string) bool { return name != "" && strings.EqualFold(name, want) }

// Unit is the unit of a temperature.
type Unit uint8

// The units of temperature. NoUnit, as an option, leaves it to the file.
const (
	NoUnit Unit = iota
	Celsius
	Fahrenheit
	Kelvin
)

func (u Unit) String() string { return [...]string{"", "°C", "°F", "K"}[u] }

// kelvin turns a reading in the unit to K.
func (u Unit) kelvin(x float64) float64 {
	switch u {
	case Celsius:
		return float64(unit.FromCelsius(x))
	case Fahrenheit:
		return float64(x*fahrenheit) + zeroFahrenheit
	}
	return x
}

var (
	fahrenheit     = unit.SizeOf(unit.TemperatureOf, "°F")
	zeroFahrenheit = must(unit.Parse(unit.TemperatureOf, "0 °F"))
)

func must(x float64, err error) float64 {
	if err != nil {
		panic(err)
	}
	return x
}

// DateOrder is how a date such as 3/4/2025 is read.
type DateOrder uint8

// The orders. AnyOrder, as an option, leaves it to the file.
const (
	AnyOrder DateOrder = iota
	MonthFirst
	DayFirst
)

// TimeUnit is what a time without a date counts in.
type TimeUnit uint8

// The units of time. NoTimeUnit, as an option, leaves it to the file. The last
// two say how 12:30 is read.
const (
	NoTimeUnit TimeUnit = iota
	Seconds
	Minutes
	Hours
	MinutesSeconds
	HoursMinutes
)

// Options say what a file leaves open, or overrule it. The zero value leaves
// everything to the file.
type Options struct {
	Unit       Unit
	Dates      DateOrder
	Time       TimeUnit
	Delimiter  byte  // ',', ';' or '\t'; 0 leaves it to the file
	Decimal    byte  // '.' or ','; 0 leaves it to the file
	TimeColumn int   // from 1; 0 leaves it to the file
	Channels   []int // columns of the channels wanted, from 1; none: all there are

	// A reading above Hottest (K; 0 for no bound) is an error: who counts with the
	// readings has no law for it. It holds for the channels Counted, by name or
	// number of column; none: for all there are.
	Hottest float64
	Counted []string
}

// The bounds of what is read (design choices). A logger that writes a row each
// second fills a million rows in twelve days.
const (
	MostBytes    = 128 << 20
	MostRows     = 2_000_000
	MostReadings = 8_000_000 // in all channels together
	MostLine     = 4096      // bytes
	MostColumns  = 64
	MostPreamble = 500 // lines above the table
)

// What is remarked (design choices).
const (
	// GapTimes is how many times the median interval a gap is longer than.
	GapTimes = 3
	// A change is a jump when it is more than JumpAlways (K), or more than
	// JumpFrom (K) and faster than JumpRate (K/s): no probe in a bottle changes
	// by 10 K a minute, but noise of less than JumpFrom may, second by second.
	// Across a gap nothing is a jump.
	JumpAlways = 20.0
	JumpFrom   = 5.0
	JumpRate   = 10.0 / unit.Minute
	// Readings outside Least and Most (K; −100 and 300 °C) are no temperatures
	// of a sterilizer but a code for a broken probe, such as −999.9.
	Least = 173.15
	Most  = 573.15
	// MostOfARule is how many findings of one rule are told one by one.
	MostOfARule = 10
)

// Read reads the text of a logger's file; name is what findings call it. An
// error among the findings means that the log is nil: what is wrong has to be
// mended first, or an option to be set. Everything else is a remark.
func Read(name string, data []byte, o Options) (*Log, []protocol.Finding) {
	r := &report{file: name}
	log := read(data, o, r)
	findings := r.done()
	if protocol.Worst(findings) == protocol.Error {
		log = nil
	}
	return log, findings
}

func read(data []byte, o Options, r *report) *Log {
	if !o.check(r) {
		return nil
	}
	text, ok := decode(data, r)
	if !ok {
		return nil
	}
	s, ok := findShape(text, o, r)
	if !ok {
		return nil
	}
	c, ok := assign(s, o, r)
	if !ok {
		return nil
	}
	t := newTable(s, c, r)
	t.bound(o)
	if !t.read() {
		return nil
	}
	t.remark()
	return t.log()
}

// check refuses options that nothing can mean.
func (o Options) check(r *report) bool {
	bad := func(option, found, allowed string) bool {
		r.whole(protocol.Error, "option", args{"option": option, "found": found, "allowed": allowed}, "option")
		return false
	}
	switch {
	case o.Delimiter != 0 && o.Delimiter != ',' && o.Delimiter != ';' && o.Delimiter != '\t':
		return bad("delimiter", printable(o.Delimiter), ", ; tab")
	case o.Decimal != 0 && o.Decimal != '.' && o.Decimal != ',':
		return bad("decimal", printable(o.Decimal), ". ,")
	case o.Unit > Kelvin:
		return bad("unit", "?", "C F K")
	case o.Dates > DayFirst:
		return bad("dates", "?", "mdy dmy")
	case o.Time > HoursMinutes:
		return bad("time", "?", "s min h mm:ss h:mm")
	}
	return true
}
