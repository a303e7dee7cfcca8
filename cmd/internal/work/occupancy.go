package work

import "bottlecrop/cmd/internal/working"

// Occupancy is how many L stand in a place on the average, where lambda come in for
// each unit of time and each stays for W of it: Little's law. It needs no more than
// that as many go as come.
var Occupancy = working.NewLaw("lambda * W", "Little 1961, Operations Research 9:383, from memory", nil)

// Stay is Little's law the other way round: for how long W each stays where L stand and
// lambda come in for each unit of time.
var Stay = working.NewLaw("L / lambda", "Little 1961, Operations Research 9:383, from memory", nil)

// Utilization is the share of what there is, C, that is taken, D.
var Utilization = working.NewLaw("D / C", "definition", nil)
