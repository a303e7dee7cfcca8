package words

// ordersEnglish are the faults of a file of orders, and what to do about them.
var ordersEnglish = map[string]string{
	"farmfile.orders_order":        "{key:text} is {found:text}, before the first day of the order, {first:text}",
	"farmfile.hint.orders_order":   "write the earlier day under first, or leave last out for one delivery",
	"farmfile.orders_long":         "{key:text} is {found:text}: from {first:text} to {last:text} are more than the {most:text} days of two years",
	"farmfile.hint.orders_long":    "nobody plans further: write the deliveries of the next two years at most",
	"farmfile.orders_many":         "with {order:text} the orders come to {n:count} deliveries; at most {most:count} can be planned",
	"farmfile.hint.orders_many":    "put what goes out on one day into one order, or write only the deliveries of the next months",
	"farmfile.orders_season":       "{key:text} is {found:text}: from {first:text}, the first delivery of all, to {last:text} are more than the {most:text} days of two years",
	"farmfile.hint.orders_season":  "take orders that are over out of the file, or write only the deliveries of the next two years",
	"farmfile.orders_but":          "{key:text} has {found:text}, on which nothing would be delivered anyway",
	"farmfile.hint.orders_but":     "write a day of delivery, such as {near:text}, or take it out",
	"farmfile.orders_no_last":      "{key:text} is {found:text}, but the order has no last day: it would be delivered once",
	"farmfile.hint.orders_no_last": "write the last day under last, or leave every_weeks out",

	"quantity.resource_taken": "what is taken of {of:text} a day in the busiest four weeks",
	"quantity.resource_there": "what there is of {of:text} a day",
	"quantity.utilization":    "part of {of:text} that is taken in the busiest four weeks",

	"book.limits.any.resource": "a room, tool, vessel or role",
	"book.limits.group.season": "Season of orders",
	"limit.season.tight.why":   "Nothing is left for a batch that is late or lost. Where so much is taken, one slip makes the next orders late too.",
	"limit.season.tight.hint":  "Move an order, take a smaller one, or get more of it. The plan says what would bring late ones in time.",

	"season.places":      "{room:text}: the season puts up to {n:count} vessels there, on {on:text}, and the farm does not say how many it takes",
	"season.places.hint": "count what its shelves take with air between, and write it under places; until then the room is never full",
}
