package words

// goodEnglish is what is said of a batch for a number of good vessels.
var goodEnglish = map[string]string{
	"command.good":         "--good is {found:text}; a whole number from 1 to {most:count} is possible",
	"good.too_many":        "for {good:count} good ones {n:count} vessels would have to grow; {most:count} are possible",
	"good.too_many.hint":   "ask for fewer good ones, in several batches",
	"good.impossible":      "for {good:count} good ones in {confidence:amount} of all batches not even ten times as many are enough: {lost:amount} are lost on the average, and together",
	"good.impossible.hint": "mend the losses first, or ask for less: harvest.lost of the protocol, and [good] of {file:text}",

	"good.filled":          "for {good:count} good ones {n:count} {vessels:text} are to grow: {lost:amount} are lost on the average, and with so many, {confidence:amount} of all batches have enough",
	"good.filled.clusters": "for {good:count} good ones {n:count} {vessels:text} are to grow: {lost:amount} are lost on the average, in clusters of {clustering:count}, and with so many, {confidence:amount} of all batches have enough",
	"good.loads":           "a load takes {capacity:count}: {more:count} more would fill {loads:count|load|loads}",
	"good.crate":           "a crate takes {capacity:count}: {more:count} more would fill the last one",
	"good.more.hint":       "if you want them, ask for --bottles {n:count}",

	"plan.title.good":              "{protocol:text}: {title:text}, {good:count} good: {n:count} {vessels:text} to grow + {controls:count|control|controls}",
	"book.counts_in_the_open.good": "{good:count} good = {grow:count} to grow + {controls:count|control|controls}: {filled:count} {vessels:text} in all",
}
