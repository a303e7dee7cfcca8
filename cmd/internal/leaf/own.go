package leaf

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	texttemplate "text/template"
	"text/template/parse"
	"unicode/utf8"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/templates"
)

// Replaceable lists the files that a farm may have of its own in place of the
// program's, sorted: every template, and the stylesheet.
func Replaceable() []string {
	names, err := fs.Glob(templates.Files, "*.tmpl")
	if err != nil {
		panic(err) // the pattern is ours
	}
	names = append(names, path.Base(StylePath))
	slices.Sort(names)
	return names
}

// source is the text of a template or of the stylesheet: the farm's own, or
// the program's.
func (e Edition) source(name string) (string, error) {
	if own, ok := e.Own[name]; ok {
		return string(own), nil
	}
	text, err := fs.ReadFile(templates.Files, name)
	return string(text), err
}

// Stylesheet is the book's stylesheet.
func (e Edition) Stylesheet() ([]byte, error) {
	text, err := e.source(path.Base(StylePath))
	if e.Farm.LargeType {
		text = windows.ReplaceAllStringFunc(text, wider)
	}
	return []byte(text), err
}

// windows are the windows from which on, or up to which, a page is laid out in a way. A
// browser reckons them in its own letters, whatever those of the page are.
var windows = regexp.MustCompile(`\((max|min)-width: ([0-9.]+)rem\)`)

// wider is a window in which as much of large type has room.
func wider(window string) string {
	parts := windows.FindStringSubmatch(window)
	rem, err := strconv.ParseFloat(parts[2], 64)
	if err != nil {
		return window // a farm's own stylesheet may have two points in a number
	}
	return fmt.Sprintf("(%s-width: %.2frem)", parts[1], rem*LargeType)
}

// Fault is what is wrong with a template of the farm's own. Line and Column
// count from 1; zero means that the place is the file as a whole.
type Fault struct {
	File         string // "sheet.html.tmpl"
	Line, Column int
	Rule         string
	What, Hint   protocol.Message
}

func (f *Fault) Error() string {
	return fmt.Sprintf("templates/%s:%d:%d: %s", f.File, f.Line, f.Column, f.Rule)
}

// Faults reads the farm's own templates without setting a page: syntax,
// functions that do not exist, and the blocks that other templates ask for.
// What shows only with the data of a page, Render tells.
func (e Edition) Faults() []*Fault {
	var out []*Fault
	names, blocks := e.blocks()
	for _, name := range names {
		own, ok := e.Own[name]
		if !ok {
			continue
		}
		var err error
		if strings.HasSuffix(name, ".html.tmpl") {
			_, err = template.New(name).Funcs(htmlFuncs(e.Voice)).Parse(string(own))
		} else {
			_, err = texttemplate.New(name).Funcs(textFuncs(e.Voice)).Parse(string(own))
		}
		if err != nil {
			out = append(out, e.fault(err, "template.parse", ""))
			continue
		}
		out = append(out, e.blockFaults(name, names, blocks)...)
	}
	return out
}

// blocks lists the templates, and the blocks that each defines in this edition.
func (e Edition) blocks() (names []string, blocks map[string][]string) {
	blocks = map[string][]string{}
	for _, name := range Replaceable() {
		if text, err := e.source(name); err == nil && strings.HasSuffix(name, ".tmpl") {
			names = append(names, name)
			blocks[name] = blocksIn(name, text)
		}
	}
	return names, blocks
}

// blocksIn lists the blocks that a template's text defines, sorted; none where
// it can't be read.
func blocksIn(name, text string) []string {
	set := map[string]*parse.Tree{}
	tree := parse.New(name)
	tree.Mode = parse.SkipFuncCheck
	if _, err := tree.Parse(text, "", "", set); err != nil {
		return nil
	}
	delete(set, name)
	return slices.Sorted(maps.Keys(set))
}

// blockFaults tells which blocks one of the farm's own templates lacks, and
// which it takes from another file.
func (e Edition) blockFaults(name string, names []string, blocks map[string][]string) []*Fault {
	var out []*Fault
	theirs, err := fs.ReadFile(templates.Files, name)
	if err != nil {
		panic(err) // only templates of the program have a name in the list
	}
	wanted := blocksIn(name, string(theirs))
	var extra []string
	for _, block := range blocks[name] {
		if slices.Contains(wanted, block) {
			continue
		}
		extra = append(extra, block)
		for _, other := range names {
			if other != name && slices.Contains(blocks[other], block) {
				out = append(out, &Fault{File: name, Line: lineOf(string(e.Own[name]), block), Rule: "template.taken",
					What: words.Message("template.taken", "block", block, "file", other),
					Hint: words.Message("template.taken.hint", "file", other)})
			}
		}
	}
	for _, block := range wanted {
		if slices.Contains(blocks[name], block) {
			continue
		}
		hint := words.Message("template.block.hint", "define", "{{define \""+block+"\"}}", "end", "{{end}}")
		if near := protocol.Nearest(block, extra); near != "" {
			hint.ID, hint.Args["near"] = "template.block.near", near
		}
		out = append(out, &Fault{File: name, Rule: "template.block", What: words.Message("template.block", "block", block), Hint: hint})
	}
	return out
}

// lineOf is the line on which a block begins, 0 where it is not found.
func lineOf(text, block string) int {
	at := regexp.MustCompile(`\{\{-?\s*(define|block)\s+"` + regexp.QuoteMeta(block) + `"`).FindStringIndex(text)
	if at == nil {
		return 0
	}
	return strings.Count(text[:at[0]], "\n") + 1
}

// located is how package template tells where it failed. The name is that of
// the file, or of the block where it knows no line.
var located = regexp.MustCompile(`(?s)^(?:html/)?template: ?([^:]+)(?::(\d+))?(?::(\d+))?: (.*)$`)

// fault turns what package template says into a fault of one of the farm's own
// files; an error in anything else stays what it is, and there is no fault.
func (e Edition) fault(err error, rule, page string) *Fault {
	m := located.FindStringSubmatch(err.Error())
	if m == nil {
		return nil
	}
	file := m[1]
	if _, own := e.Own[file]; !own {
		_, blocks := e.blocks()
		file = ""
		for _, name := range slices.Sorted(maps.Keys(blocks)) {
			if _, own := e.Own[name]; own && slices.Contains(blocks[name], m[1]) {
				file = name
			}
		}
	}
	if file == "" {
		return nil
	}
	f := &Fault{File: file, Rule: rule, Hint: words.Message(rule + ".hint")}
	f.Line, _ = strconv.Atoi(m[2])
	if column, err := strconv.Atoi(m[3]); err == nil {
		f.Column = e.column(file, f.Line, column)
	}
	f.What = words.Message(rule, "error", m[4])
	if page != "" {
		f.What.Args["page"] = page
	}
	return f
}

// column counts in characters from 1 what package template counts in bytes
// from 0.
func (e Edition) column(file string, line, bytes int) int {
	lines := strings.Split(string(e.Own[file]), "\n")
	if line < 1 || line > len(lines) || bytes > len(lines[line-1]) {
		return 0
	}
	return utf8.RuneCountInString(lines[line-1][:bytes]) + 1
}

// mostOfAPage is the longest page that is set with templates of a farm's own,
// in bytes: one that repeats itself without end must not fill the memory. The
// program's own templates end with their data.
const mostOfAPage = 128 << 20

var errTooLong = errors.New("leaf: this page is too long")

// bounded is a buffer that takes no more than most.
type bounded struct {
	bytes.Buffer
	most int
}

func (b *bounded) Write(p []byte) (int, error) {
	if b.most > 0 && b.Len()+len(p) > b.most {
		return 0, errTooLong
	}
	return b.Buffer.Write(p)
}

// tooLong is the fault of the template that sets a page which never ends: the
// farm's own one that has its block, or else the first of the farm's own.
func (e Edition) tooLong(block, page string) *Fault {
	_, blocks := e.blocks()
	files := slices.Sorted(maps.Keys(e.Own))
	file := files[0]
	for _, name := range files {
		if slices.Contains(blocks[name], block) {
			file = name
		}
	}
	return &Fault{File: file, Rule: "template.long",
		What: words.Message("template.long", "page", page), Hint: words.Message("template.long.hint")}
}

// ownFiles names the farm's own templates that the book is set with.
func (e Edition) ownFiles() string { return strings.Join(slices.Sorted(maps.Keys(e.Own)), ", ") }
