package words

// resultsEnglish is what is said of results: in their file, on the page of results,
// and by check --results. It is for growers who are no statisticians.
var resultsEnglish = map[string]string{
	// The file.
	"farmfile.date_years":                 "{key:text} is {found:text}, and calendars here have the years {first:text} to {last:text}",
	"farmfile.hint.date_years":            "look the year up again",
	"farmfile.results_is_there":           "{key:text} has {found:text}, and there is a protocol of that name",
	"farmfile.hint.results_is_there":      "take it out of the list: it is for protocols whose file is gone",
	"farmfile.results_protocol":           "{key:text} names {found:text}, and there is no protocol of that name",
	"farmfile.hint.results_protocol_near": "did you mean {near:text}? If the farm has given it up, write no_more = [{found:text}] above the first batch",
	"farmfile.hint.results_protocol":      "the protocols are {list:text}; if the farm has given it up, write no_more = [{found:text}] above the first batch",
	"farmfile.results_under_way":          "{key:text} names {found:text}, which the farm has given up, and the batch is not emptied",
	"farmfile.hint.results_under_way":     "write the day on which it was emptied, or bring the protocol's file back until it is",
	"farmfile.results_order":              "{key:text} is {found:text}, before {earlier:text} on {day:text}",
	"farmfile.hint.results_order":         "look both days up on the record: a batch is mixed, opened, picked and emptied in that order",
	"farmfile.results_spawned":            "with {key:text}, {spawned:count} vessels got spawn, and {filled:count|was|were} filled",
	"farmfile.hint.results_spawned":       "controls get no spawn and are in neither number: count the vessels of each lot again",
	"farmfile.results_more_lost":          "with {key:text}, {lost:count|vessel is|vessels are} lost, and {filled:count|was|were} filled",
	"farmfile.hint.results_more_lost":     "write each vessel once, for the reason that came first",
	"farmfile.results_lot":                "{key:text} is {found:text}, and no vessels of the batch got spawn from that lot",
	"farmfile.hint.results_lot":           "write the lot and its number of vessels under [[batch.spawned]]",
	"farmfile.results_more_of_lot":        "with {key:text}, more vessels of lot {lot:text} are lost than got spawn from it",
	"farmfile.hint.results_more_of_lot":   "compare it with the number under [[batch.spawned]]",
}
