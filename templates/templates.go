// Package templates carries the look of a book inside the program: the
// templates of its pages, its one stylesheet and its font.
//
// Templates print, they never calculate, and they hold no words of their own:
// {{say "book.record"}} says a message of the catalog, {{said .Limit}} a message
// that came with the data, and {{marked .Limit}} the same with its amounts set
// larger. The classes that they use are listed at the head of book.css.
package templates

import "embed"

// Files holds the templates (*.html.tmpl for html/template, *.txt.tmpl for
// text/template), book.css, the scripts of the search page and of sheets, and the font with its licence under fonts/.
//
//go:embed *.tmpl book.css search.js rescale.js fonts
var Files embed.FS
