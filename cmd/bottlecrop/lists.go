package main

import (
	"cmp"
	"maps"
	"slices"
)

// sorted lists the keys of a map in their order.
func sorted[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// union is the distinct numbers of two lists, ascending.
func union(a, b []int) []int {
	out := slices.Concat(a, b)
	slices.Sort(out)
	return slices.Compact(out)
}
