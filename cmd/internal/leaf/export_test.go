package leaf

// ProseOf and LinesOf are how the prose of a step is said, for tests that know Markdown.
var (
	ProseOf = Edition.prose
	LinesOf = Edition.proseLines
)
