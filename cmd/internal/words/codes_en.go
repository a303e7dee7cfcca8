package words

// codesEnglish is what is said of the codes of batches, of the codes that lead to the
// book, and of whom to call.
var codesEnglish = map[string]string{
	"farmfile.code_open":           "{key:text} is {found:text}: a brace opens here and does not close",
	"farmfile.code_name":           "{key:text} has {found:text} in braces, which stands for nothing",
	"farmfile.code_sign":           "{key:text} has {found:text}, which not each of a label, a file name and a QR code can bear",
	"farmfile.code_day":            "{key:text} is {found:text}, with no day of mixing: two batches of a protocol would have one code",
	"farmfile.code_protocol":       "{key:text} is {found:text}, and has neither the protocol nor its document: batches of two protocols that are mixed on one day would have one code",
	"farmfile.code_running":        "{key:text} is {found:text}, with a letter and a number that count the same",
	"farmfile.hint.code_open":      "the names are {list:text}",
	"farmfile.hint.code_name":      "the names are {list:text}",
	"farmfile.hint.code_name_near": "did you mean {near:text}?",
	"farmfile.hint.code_sign":      "write letters from a to z and A to Z, digits and the signs {signs:text} beside the names in braces",
	"farmfile.hint.code_day":       "write it as {example:text}, or with another form of the day",
	"farmfile.hint.code_protocol":  "write it as {example:text}",
	"farmfile.hint.code_running":   "keep one of them",

	"farmfile.address_sign":       "{key:text} is {found:text}, with a sign that no address has as it stands",
	"farmfile.address_shape":      "{key:text} is {found:text}, which is no address of the web",
	"farmfile.address_user":       "{key:text} is {found:text}, with somebody's name in it, and perhaps a password: it would be printed on every page",
	"farmfile.address_more":       "{key:text} is {found:text}: what stands behind the path would be in the way of the pages",
	"farmfile.address_page":       "{key:text} is {found:text}, a page and not the folder of the book",
	"farmfile.hint.address_sign":  "copy it from the browser, with the book open there, such as {example:text}",
	"farmfile.hint.address_shape": "write where the book is, with https:// or http://, such as {example:text}",
	"farmfile.hint.address_user":  "write it without, such as {example:text}",
	"farmfile.hint.address_more":  "end it with the path, such as {example:text}",
	"farmfile.hint.address_page":  "write the address of the folder that index.html is in, such as {example:text}",

	"farmfile.call_telephone":      "{key:text} is {found:text}, which is no number to dial",
	"farmfile.hint.call_telephone": "write digits, with blanks, points, hyphens, brackets, a + before and x with the extension behind, such as \"+1 555 0100 x12\"",

	"finding.code.number":      "the protocol has no number as a document, and batch_code of farm.toml needs one",
	"finding.code.number.hint": "give it number in [document], or take another name into batch_code",
	"finding.code.same":        "a batch of {protocol:text} and one of {other:text} that are mixed on one day would both be {code:text}",
	"finding.code.same.hint":   "put a hyphen between the names, or give the protocols other numbers as documents",
	"finding.code.long":        "the code of a batch of {protocol:text} would be {code:text}, {n:count|character|characters}, and {most:count} fit on a label",
	"finding.code.long.hint":   "write batch_code in farm.toml with shorter forms, such as {example:text}",

	"finding.label.cards":     "the crate cards have no QR code: it would be too small to read on them",
	"finding.label.bottles":   "the labels of single ones have no QR code: it would be too small to read on them",
	"finding.label.none.hint": "labels of {width:amount} by {height:amount} have room for it; a shorter book_address makes it smaller",
	"finding.label.none.why":  "A module of half a millimeter is the smallest that a telephone reads when the label is wet.",
	"book.to_book":            "QR code that leads to this page in the book: {address:text}",
	"book.code.date":          "YYYY-MM-DD",
	"book.code.short":         "YYMMDD",
	"book.code.week":          "YYYYWwwd",
	"book.record.code":        "Batch code: {code:text}",
	"book.calls":              "Whom to call",
	"book.calls.one":          "{who:text} {telephone:text}",
	"print.batch":             "--batch {found:text} is no code of a batch; letters, digits, hyphens and points are possible, {most:count} at most",
	"print.mixed_or_batch":    "--mixed makes the code by the farm's rule, and --batch gives one: take one of them",
}
