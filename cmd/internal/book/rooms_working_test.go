package book_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/leaf"
)

// What is printed under "How is this worked out?" of a room gives, worked out anew by
// the reader of these tests, what is printed as the result.
func TestPrintedWorkingsOfRoomsGiveThePrintedValues(t *testing.T) {
	for _, sys := range systems {
		in := demo(t, sys)
		docs := demoPages(t, sys)
		formulas := 0
		for _, r := range in.Climate.Rooms {
			formulas += readBack(t, in, docs[leaf.RoomWorkingPath(r.ID)], r.Ledger.Own())
		}
		assert.Greater(t, formulas, 400)
	}
}
