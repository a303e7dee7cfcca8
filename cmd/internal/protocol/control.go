package protocol

import (
	"regexp"
	"strconv"
	"strings"
)

// Control is what a farm keeps of a protocol as a document: its number, its version
// and who answers for it.
type Control struct {
	Number  string `toml:"number" validate:"max=20" method:"-"`
	Version string `toml:"version" validate:"required,max=12" method:"-"` // "3" or "3.1": see NewerVersion
	Owner   string `toml:"owner" validate:"required,max=60" method:"-" prose:"name"`
	From    string `toml:"in_force_from" validate:"datetime=2006-01-02" method:"-"`
	Review  string `toml:"review_by" validate:"datetime=2006-01-02" method:"-"`
}

// Approval is who approved a method, and which: by its fingerprint a change of its
// meaning since then shows.
type Approval struct {
	By          string `toml:"by" validate:"required,max=60" method:"-" prose:"name"`
	On          string `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Version     string `toml:"version" validate:"required,max=12" method:"-"`
	Fingerprint string `toml:"fingerprint" validate:"required,max=80" method:"-"`
}

// Standing is how a protocol stands to its approval.
type Standing int

// The standings.
const (
	Uncontrolled Standing = iota // the farm keeps no versions of it
	Unapproved                   // it has a version, and nobody approved any
	Approved                     // what was approved means the same
	ChangedSince                 // a step, an amount or a critical limit has moved since
)

// Standing tells how a protocol stands, by the fingerprint of its method as it is.
func (p Protocol) Standing(fingerprint string) Standing {
	switch {
	case p.Approval != nil && p.Approval.Fingerprint != fingerprint:
		return ChangedSince
	case p.Approval != nil:
		return Approved
	case p.Control != nil:
		return Unapproved
	}
	return Uncontrolled
}

var version = regexp.MustCompile(`^[0-9]{1,4}(\.[0-9]{1,4}){0,2}$`)

// IsVersion reports whether a text is a version: up to three whole numbers with
// points between, "3" or "3.1".
func IsVersion(text string) bool { return version.MatchString(text) }

// NewerVersion reports whether a version is higher than another: 3.1 than 3, and 3.10
// than 3.9. Of texts that are no versions none is.
func NewerVersion(now, before string) bool {
	if !IsVersion(now) || !IsVersion(before) {
		return false
	}
	a, b := strings.Split(now, "."), strings.Split(before, ".")
	for i := range max(len(a), len(b)) {
		if x, y := part(a, i), part(b, i); x != y {
			return x > y
		}
	}
	return false
}

// NewerFirst reports whether a version is higher than another by its first number: 4 than
// 3.9. Of texts that are no versions none is.
func NewerFirst(now, before string) bool {
	if !IsVersion(now) || !IsVersion(before) {
		return false
	}
	return part(strings.Split(now, "."), 0) > part(strings.Split(before, "."), 0)
}

func part(numbers []string, i int) int {
	if i >= len(numbers) {
		return 0
	}
	n, _ := strconv.Atoi(numbers[i]) // IsVersion lets digits alone through
	return n
}
