package words

// facingEnglish is what stands on documents in two languages.
var facingEnglish = map[string]string{
	"book.facing.kind":  "Sheet, {first:text} and {second:text} side by side",
	"book.facing.title": "{title:text}, {size:text}: {first:text} and {second:text} side by side",
	"book.facing.id":    "{document:text}, {tags:text}, {n:count}",
	"book.facing.lead":  "Both sides say the same, step by step. Read your own side. Tick once for both.",

	"book.facing_cards.kind":  "Wall cards, {first:text} and {second:text} back to back",
	"book.facing_cards.title": "Wall cards, {first:text} and {second:text} back to back: {title:text}, {size:text}",
	"book.facing_cards.id":    "{document:text}, wall cards, {tags:text}, {n:count}",
	"book.facing_cards.lead":  "Print these on both sides of the paper. Each card then has {first:text} on its face and {second:text} on its back. Hang it so that it can be turned.",
}
