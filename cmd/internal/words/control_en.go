package words

// controlEnglish is what pages and commands say of a protocol as a document: its
// version, who approved it, and whether it still means what was approved.
var controlEnglish = map[string]string{
	"book.control.number":   "Document {number:text}",
	"book.control.version":  "Version {version:text}",
	"book.control.from":     "In force from {date:text}",
	"book.control.review":   "To be reviewed by {date:text}",
	"book.control.owner":    "Owner: {owner:text}",
	"book.control.approved": "Version {version:text} approved by {by:text} on {date:text}",

	"book.standing.not_in_force":   "NOT IN FORCE",
	"book.standing.unapproved":     "NOT APPROVED",
	"book.standing.unapproved.why": "Nobody has approved this method yet. Ask before you work from it.",
	"book.standing.changed":        "CHANGED SINCE APPROVAL",
	"book.standing.changed.why":    "A step, an amount or a limit has changed since {by:text} approved it on {date:text}. Ask before you work from it.",

	"finding.control.version":         "{found:text} is no version",
	"finding.control.version.hint":    "write whole numbers with points between, such as 3 or 3.1: higher is newer",
	"finding.control.changed":         "a step, an amount or a critical limit has changed since {by:text} approved it on {date:text}",
	"finding.control.changed.hint":    "read what has changed; then bottlecrop check --approve {protocol:text} --by NAME --on DATE",
	"finding.control.not_risen":       "the method has changed since version {version:text} was approved, and the version is still {found:text}",
	"finding.control.not_risen.hint":  "raise document.version above {version:text}",
	"finding.control.unapproved":      "nobody has approved this method",
	"finding.control.unapproved.hint": "bottlecrop check --approve {protocol:text} --by NAME --on DATE",
	"finding.control.before":          "in force from {found:text}, and approved on {date:text} only",
	"finding.control.before.hint":     "let a method be in force from its approval on, or later",
	"finding.control.review":          "to be reviewed by {found:text}, before it is in force from {date:text}",
	"finding.control.review.hint":     "write the later day under review_by",
	"finding.control.self":            "{by:text} owns this method and approved it",
	"finding.control.self.hint":       "let a second person read it where there is one",

	"finding.control.old":      "this was to be reviewed by {found:text}, and it is {today:text}",
	"finding.control.old.hint": "review it, and write a new day under review_by",

	"approve.needs":           "check --approve needs --by with a name, and --on with a day such as 2026-11-26",
	"approve.only":            "{flag:text} has no meaning without --approve",
	"approve.date":            "--on {found:text} is no day; write year, month and day, such as 2026-11-26",
	"approve.name":            "--by {found:text} is no name for a line; 1 to 60 characters are possible",
	"approve.faulty":          "{protocol:text} has errors: nothing was approved",
	"approve.no_version":      "{protocol:text} has no version to approve",
	"approve.no_version.hint": "write [document] with version and owner into {file:text}",
	"approve.not_risen":       "{protocol:text} has changed since version {version:text} was approved, and has version {found:text} now: nothing was approved",
	"approve.not_risen.hint":  "raise document.version above {version:text} in {file:text}",
	"approve.form":            "{file:text} can't be written into: {error:text}",
	"approve.done":            "{protocol:text}, version {version:text}, fingerprint {fingerprint:text}: approved by {by:text} on {date:text}, in {file:text}",
	"approve.same":            "{protocol:text}, version {version:text}, was approved by {by:text} on {date:text} already, and means the same",
}
