package limit

// planned are the ranges of a season of orders. More than there is is never taken, so
// there is nothing to refuse; a late order is no reason to have no book.
var planned = []Limit{
	{ID: "season.tight", Quantity: "utilization", Severity: warn, High: pct(85), Source: "a queue grows as the share that is taken over the share that is left: at 85 % it is some six times what it is at half; common practice", Blame: "resource_there"},
}
