// Package site carries the pages of a book that are the same for every farm:
// how to use it, how to work safely, and what the words of the trade mean.
//
// Each page is Markdown whose first line is its title. A safety message is a
// blockquote that begins with its signal word in bold; the words are those of
// ANSI Z535.6: DANGER, WARNING, CAUTION, NOTICE. A page ends with its sources, and
// with what goes before it. A figure that stands on the sheets as well is held to
// them by a test in package procedure, and so is the reading grade.
package site

import "embed"

// Pages holds the pages as NAME.md. A farm folder's own site/NAME.md takes the
// place of a page with the same name. LANGUAGE/NAME.md is the page in another language.
//
//go:embed *.md */*.md
var Pages embed.FS
