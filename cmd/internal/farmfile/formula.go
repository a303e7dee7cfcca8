package farmfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// ShareText is a share as it is written in a file: "34.2 %".
func ShareText(s unit.DryShare) string {
	return strconv.FormatFloat(math.Round(float64(s)*1e8)/1e6, 'f', -1, 64) + " %"
}

// SetFormula writes the ingredients of a substrate into the file of a protocol
// and leaves every other byte as it is: a share that changes is replaced where it
// stands, an ingredient that is new is added behind the last, and one that is no
// longer used is taken out. The order of those that stay is that of the file. A
// file without ingredients of its own is ErrNoFormula.
func SetFormula(src []byte, parts []protocol.Part) ([]byte, error) {
	tree, _, err := readable(src)
	if err != nil {
		return nil, fmt.Errorf("farmfile: the file to write into: %w", err)
	}
	const list = "substrate.ingredient"
	table, _ := tree["substrate"].(map[string]any)
	old, ok := listOf(table["ingredient"])
	if !ok || len(old) == 0 {
		return nil, ErrNoFormula
	}
	want := map[string]unit.DryShare{}
	for _, p := range parts {
		want[p.Ingredient] = p.Share
	}
	out := src
	set := func(key, value string) {
		if err == nil {
			out, err = Set(out, key, value)
		}
	}
	var gone []int
	there := map[string]bool{}
	for i, entry := range old {
		entry, _ := entry.(map[string]any)
		id, _ := entry["ingredient"].(string)
		share, wanted := want[id]
		if !wanted || there[id] {
			gone = append(gone, i)
			continue
		}
		there[id] = true
		text, _ := entry["share_dm"].(string)
		if was, e := unit.Parse(unit.ShareOf, text); e != nil || math.Abs(was-float64(share)) > 1e-9 {
			set(protocol.Item(list, i)+".share_dm", ShareText(share))
		}
	}
	next := len(old)
	for _, p := range parts {
		if !there[p.Ingredient] {
			set(protocol.Item(list, next)+".ingredient", p.Ingredient)
			set(protocol.Item(list, next)+".share_dm", ShareText(p.Share))
			next++
		}
	}
	// From behind, so that the numbers of those before stay.
	slices.SortFunc(gone, func(a, b int) int { return cmp.Compare(b, a) })
	for _, i := range gone {
		if err == nil {
			out, err = remove(out, protocol.Item(list, i))
		}
	}
	if err != nil {
		return nil, err
	}
	return out, nil
}
