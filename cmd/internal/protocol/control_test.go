package protocol

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNewerVersion(t *testing.T) {
	for _, v := range []struct {
		now, before string
		newer       bool
	}{
		{"2", "1", true}, {"1", "1", false}, {"1", "2", false}, {"3.1", "3", true}, {"3", "3.0", false}, {"3.0", "3", false},
		{"3.10", "3.9", true}, {"3.9", "3.10", false}, {"10", "9.9.9", true}, {"1.0.1", "1", true},
		{"b", "a", false}, {"2", "", false}, {"", "1", false}, {"2-1", "1", false}, {"12345", "1", false}, {"1.2.3.4", "1", false},
	} {
		assert.Equal(t, v.newer, NewerVersion(v.now, v.before), "%q after %q", v.now, v.before)
	}
}

func TestStanding(t *testing.T) {
	p := Protocol{}
	assert.Equal(t, Uncontrolled, p.Standing("a"))
	p.Control = &Control{Version: "1"}
	assert.Equal(t, Unapproved, p.Standing("a"))
	p.Approval = &Approval{Fingerprint: "a"}
	assert.Equal(t, Approved, p.Standing("a"))
	assert.Equal(t, ChangedSince, p.Standing("b"))
	p.Control = nil
	assert.Equal(t, ChangedSince, p.Standing("b"), "an approval counts without a version")
}
