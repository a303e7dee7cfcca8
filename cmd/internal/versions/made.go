package versions

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// How is how it is known which version made a batch.
type How int

// The ways. A day alone can't tell which of two versions of that day it was.
const (
	ByMethod How = iota // its fingerprint stands in the batch's results
	ByDay               // it was in force on the day that the batch was mixed
	Perhaps             // it was in force in the morning of that day, and another one began then
	NotKnown            // its fingerprint is of no version here
	NoneThen            // on the day that it was mixed, none was in force
)

// Made is a batch of a protocol, as far as it is known what made it.
type Made struct {
	Code   string
	Mixed  string
	Method string // fingerprint that stands in its results; "" for none
	How    How
}

// leastOfMethod is how many digits of a fingerprint tell it: as many as are printed.
const leastOfMethod = 8

// Made tells the batches of the line's protocol: those of each version, by its place in
// Versions, and those of none that is known. Both are in the order of the results.
func (l *Line) Made(batches []protocol.Result) (of map[int][]Made, other []Made) {
	of = map[int][]Made{}
	for _, b := range batches {
		if b.Protocol != l.Name && !slices.Contains(l.Names, b.Protocol) {
			continue
		}
		m := Made{Code: b.Code, Mixed: b.Mixed, Method: b.Method}
		at, on := l.on(b.Mixed)
		switch {
		case b.Method != "":
			m.How = ByMethod
			if at = l.byMethod(b.Method, at); at < 0 {
				m.How = NotKnown
			}
		case at < 0:
			m.How = NoneThen
		case on:
			m.How = Perhaps
		default:
			m.How = ByDay
		}
		if at < 0 {
			other = append(other, m)
		} else {
			of[at] = append(of[at], m)
		}
	}
	return of, other
}

// on is the place of the version that was in force in the morning of a day, and whether
// another began on it; -1 where there was none yet. Days are written so that they sort
// as texts. Of a day on which the first version began it is that, and another.
func (l *Line) on(day string) (at int, another bool) {
	at = -1
	for i, v := range slices.Backward(l.Versions) {
		switch {
		case v.Side || v.From.ID == "":
		case v.From.Date < day:
			at = i
		case v.From.Date == day:
			another = true
			if at < 0 && v.Kind != Gone {
				at = i
			}
		}
	}
	if at >= 0 && l.Versions[at].Kind == Gone {
		return -1, another
	}
	return at, another
}

// byMethod is the place of a version with that fingerprint: of several, the one that was
// in force on the day, else the newest before it, else the oldest; -1 for none.
func (l *Line) byMethod(printed string, onDay int) int {
	digits := strings.ToLower(strings.ReplaceAll(printed, "-", ""))
	if len(digits) < leastOfMethod {
		return -1
	}
	found := -1
	for i, v := range l.Versions {
		if v.Kind != Readable || !strings.HasPrefix(v.Method.Fingerprint, digits) {
			continue
		}
		// The newest come first: behind the one of the day are those before it.
		if found < 0 || found < onDay {
			found = i
		}
	}
	return found
}
