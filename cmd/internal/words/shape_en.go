package words

// shapeEnglish are the shapes that texts are put into: what stands between a label and
// its value, at the end of a sentence, between the names of a list. Each language has
// its own signs for that. With them are the names of what files name by an id.
var shapeEnglish = map[string]string{
	"book.rooms.standing.incubation": "{title:text} (incubation)",
	"book.rooms.standing.ripening":   "{title:text} (ripening)",
	"book.rooms.standing.pinning":    "{title:text} (pinning)",
	"book.rooms.standing.fruiting":   "{title:text} (fruiting)",
	"book.library.allergen.soy":      "soy",
	"book.library.allergen.wheat":    "wheat",
	"book.library.allergen.gluten":   "gluten",

	"shape.label":    "{name:message}:",
	"shape.lead":     "{title:text}:",
	"shape.list":     "{before:text}, {last:text}",
	"shape.noted":    "{value:text} ({note:text})",
	"shape.pair":     "{name:text}: {value:text}",
	"shape.phrases":  "{before:text}; {last:text}",
	"shape.remarked": "{what:message}, {remark:message}",
	"shape.sentence": "{text:text}.",
	"shape.sized":    "{title:text}, {size:text}",
	"shape.titled":   "{title:text}, {what:text}",
}
