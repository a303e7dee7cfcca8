package words

// stockEnglish is what is said of the stock: in its file, on a sheet that is made
// from it, and by the command stock.
var stockEnglish = map[string]string{
	// The file.
	"farmfile.stock_all_water":      "{key:text} is {found:text}: nothing dry would be left of it",
	"farmfile.hint.stock_all_water": "dry a sample and write its loss as a share of the wet mass, or leave the key out",

	// Quantities.
	"quantity.lot_taken":     "amount of lot {of:text} that is taken, as received",
	"quantity.lot_moisture":  "moisture of lot {of:text} as received",
	"quantity.lot_price":     "price of lot {of:text}",
	"quantity.lots_taken":    "amount of {of:text} that is taken of its lots, as received",
	"quantity.water_in_lots": "water in what is taken of the lots of {of:text}",
	"quantity.value_of_lots": "cost of what is taken of the lots of {of:text}",

	// The sheet and the record.
	"book.measured.lots": "{ingredient:text}: {moisture:amount} moisture, wet basis, from its lots",
	"book.lot":           "Lot {lot:text} of {received:text}: {mass:amount}",
	"book.lot.several":   "Lot {lot:text} of {received:text}: {mass:amount} in each, {all:amount} in all",

	// The command.
	"stock.none":        "there is no stock to make anything of: write the lots into {file:text}",
	"stock.none.hint":   "README, \"What is in store\", shows the file",
	"stock.form":        "{found:text} is no protocol with a number; write its name, or name=number such as {protocol:text}=48",
	"stock.twice":       "{found:text} is named twice",
	"stock.short":       "{ingredient:text}: {mass:amount} missing for {n:count} {vessels:text} of {protocol:text}",
	"stock.short.hint":  "`bottlecrop stock {protocol:text}` says how many the stock makes, and with --bottles {n:count} what to buy",
	"stock.alone":       "Each protocol by itself, as if it had the whole stock. Name several, in their order, to share it out.",
	"stock.shared":      "In this order, each from what those before it leave.",
	"stock.title":       "{protocol:text}: {title:text}",
	"stock.refused.at":  "Nothing can be made of these lots: a limit refuses it.",
	"stock.makes":       "The stock makes {n:count} {vessels:text} to grow. {ingredient:text} runs out first.",
	"stock.makes.most":  "The stock makes {n:count} {vessels:text} to grow, and no batch may be larger.",
	"stock.makes.none":  "The stock makes none. {ingredient:text} runs out first.",
	"stock.enough":      "The stock is enough for {n:count} {vessels:text} to grow.",
	"stock.not_enough":  "The stock is not enough for {n:count} {vessels:text} to grow.",
	"stock.not_weighed": "The scales can't weigh so little as {n:count} {vessels:text} to grow take.",
	"stock.full":        "For {n:count} {vessels:text}, so that every load is full, this is missing:",
	"stock.missing":     "This is missing:",
	"stock.cost":        "Together {cost:text} at the farm's prices.",
	"stock.cost.some":   "Together {cost:text} at the farm's prices, without what has none.",

	"stock.head.ingredient": "ingredient",
	"stock.head.there":      "in stock",
	"stock.head.lot":        "lot",
	"stock.head.received":   "received",
	"stock.head.used":       "used",
	"stock.head.left":       "left",
	"stock.no_lot":          "none",
	"stock.unpriced":        "no price",
}
