package words

// labelEnglish is what stands on cards and labels, and on the map of a load.
var labelEnglish = map[string]string{
	"farmfile.labels_small":      "{key:text} is {found:text}, and what stands on such a label needs {least:amount} at least",
	"farmfile.hint.labels_small": "take a sheet with larger labels, or leave the table out: cards are then printed on plain paper to be cut",
	"farmfile.labels_pitch":      "{key:text} is {found:text}, less than one label ({size:amount}): they would lie on each other",
	"farmfile.hint.labels_pitch": "measure from one edge of a label to the same edge of the next; left out, it is the size of the label",
	"farmfile.labels_paper":      "{key:text} is {found:text}, and so the last label reaches {reach:amount} into a sheet of {name:text}, which has {paper:amount}",
	"farmfile.hint.labels_paper": "measure the sheet again, or write fewer columns or rows; which paper it is says paper in farm.toml",
	"farmfile.labels_first":      "{key:text} is {found:text}, and a sheet has {n:count} labels",
	"farmfile.hint.labels_first": "count the labels along the rows from the upper left one; leave it out for a whole sheet",

	"book.documents": "To print for a batch",

	"book.cards.kind":          "Crate cards",
	"book.cards.title":         "{title:text}, {size:text}: crate cards",
	"book.cards.id":            "{document:text}, {n:count}, cards",
	"book.cards.lead":          "{n:count|card|cards}: one for each crate, and one for the controls. Write the batch code on all of them before a lid is lifted.",
	"book.cards.lead.blank":    "The farm does not say what a crate holds, so number the crates by hand.",
	"book.cards.measures":      "{columns:count} by {rows:count} on a sheet, each {width:amount} wide and {height:amount} high. Print them at 100 %: a printer that fits pages to the paper shifts them.",
	"book.cards.crate":         "Crate {n:count} of {of:count}",
	"book.cards.blank":         "Crate ____ of ____",
	"book.cards.holds":         "____ {vessels:text}",
	"book.cards.controls":      "Controls",
	"book.cards.controls.rule": "No spawn in these. Never open them before the batch is done. Mold in one: tell who runs the farm.",
	"book.cards.mixed":         "Mixed on",
	"book.cards.spawned":       "Spawn in on",
	"book.cards.jar":           "Spawn jar, lot",
	"book.cards.room":          "Room",
	"book.cards.open":          "Do not open before day {earliest:count} after the spawn (usual: {usual:count}).",
	"book.cards.that_is":       "That is on",
	"book.cards.looks":         "Look on day",

	"book.bottle_labels.kind":  "Labels for single ones",
	"book.bottle_labels.title": "{title:text}, {size:text}: labels",
	"book.bottle_labels.id":    "{document:text}, {n:count}, labels",
	"book.bottle_labels.lead":  "{n:count|label|labels}, one for each. Paper dies in steam, and its glue stays: stick them on after the run, on the lid and not on the wall.",
	"book.bottle_labels.of":    "{n:count} of {of:count}",
	"book.bottle_labels.open":  "Closed to day {earliest:count} (usual: {usual:count})",

	"book.load_map.kind":  "Load map",
	"book.load_map.title": "{title:text}, {size:text}: load map",
	"book.load_map.id":    "{document:text}, {n:count}, load map",
	"book.load_map.lead":  "How to fill {sterilizer:text} for this batch. Loads that hold as many are filled alike. The maker's manual goes before this map.",
	"book.load_map.loads": "Loads\u00a0{first:count} to\u00a0{last:count}",
}
