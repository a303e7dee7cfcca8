package farmfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// mostBytes is the largest file that is read. The library's largest has 25 kB.
const mostBytes = 1 << 20

// document is one file as read. Tree is nil where it could not be read.
type document struct {
	name    string
	subject string // the protocol's name, "" for the farm and the library
	tree    map[string]any
	index   *index
}

// read opens one file of a folder and reports all that keeps it from being
// read. Shown is its name in findings. A missing file gives nil and no finding.
func read(fsys fs.FS, path, shown, subject string, out *findings) *document {
	d := &document{name: shown, subject: subject}
	src, err := readBytes(fsys, path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		d.unreadable(err, out)
		return d
	}
	d.parse(src, out)
	return d
}

// carried are the files of the program's own library by what they say, with what they
// were parsed to: every folder that is read needs them, and many a farm has one of them as
// it is. Nobody changes a tree or an index.
var carried sync.Map // of string to *document

// parse reads what a file holds, and reports all that keeps it from being read. Lines may
// end as they do on Windows: a text over several lines, and a fingerprint, are the same.
func (d *document) parse(read []byte, out *findings) {
	src := bytes.ReplaceAll(read, []byte("\r\n"), []byte("\n"))
	if same, ok := carried.Load(string(src)); ok {
		d.tree, d.index = same.(*document).tree, same.(*document).index
		return
	}
	if rule, hint := foreign(src); rule != "" {
		out.file(rule, d.name, d.subject, args{}, hint, nil)
		return
	}
	// Before its line ends are replaced, which would make one of CR CR LF.
	if at, bad := badByte(read); bad {
		d.index = newIndex(read)
		rule, hint := "file.control", "control"
		if read[at] >= utf8.RuneSelf {
			rule, hint = "file.not_utf8", "utf8"
		}
		d.report(rule, span{at, at + 1}, "", args{"byte": fmt.Sprintf("0x%02X", read[at])}, hint, nil, out)
		return
	}
	x, slips := scan(src)
	d.index = x
	for _, s := range slips {
		d.report(s.rule, s.span, s.origin, s.args, s.hint, s.with, out)
	}
	if len(slips) > 0 {
		return
	}
	tree, err := decode(src)
	if err != nil {
		d.undecodable(err, out)
		return
	}
	d.tree = tree
	if strings.HasPrefix(d.name, protocol.BuiltIn+"/") {
		carried.Store(string(src), &document{tree: tree, index: x})
	}
}

// Reasons for which a file is not opened.
var (
	errFolder   = errors.New("is a folder")
	errSpecial  = errors.New("is no plain file")
	errTooLarge = errors.New("is too large")
)

// readBytes reads a file of at most mostBytes. A folder, a pipe or a device is
// not opened at all, and a file that is larger than it says is not read on.
func readBytes(fsys fs.FS, path string) ([]byte, error) {
	info, err := fs.Stat(fsys, path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, errFolder
	case !info.Mode().IsRegular():
		return nil, errSpecial
	case info.Size() > mostBytes:
		return nil, errTooLarge
	}
	f, err := fsys.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	src, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	if err == nil && len(src) > mostBytes {
		err = errTooLarge
	}
	return src, err
}

func (d *document) unreadable(err error, out *findings) {
	var rule, hint string
	a := args{}
	switch {
	case errors.Is(err, errFolder):
		rule, hint = "file.folder", "folder"
	case errors.Is(err, errSpecial):
		rule, hint = "file.special", "special"
	case errors.Is(err, errTooLarge):
		rule, hint, a = "file.large", "large", args{"most": mostBytes >> 10}
	case leadsOut(err):
		rule, hint = "file.leads_out", "leads_out"
	case errors.Is(err, fs.ErrNotExist):
		rule, hint = "file.gone", "gone"
	case errors.Is(err, fs.ErrPermission):
		rule, hint = "file.permission", "permission"
	default:
		rule, a = "file.unreadable", args{"reason": reason(err)}
	}
	out.file(rule, d.name, d.subject, a, hint, nil)
}

// leadsOut recognizes a link that os.Root refuses to follow. The package os
// exports no error for it, only this text.
func leadsOut(err error) bool { return strings.Contains(err.Error(), "path escapes from parent") }

// reason is an error without the path, which the finding shows anyway, and
// which may be a place on this machine.
func reason(err error) string {
	if p := (*fs.PathError)(nil); errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// foreign recognizes files that an editor saved in another way than plain UTF-8.
func foreign(src []byte) (rule, hint string) {
	switch {
	case bytes.HasPrefix(src, []byte("\xEF\xBB\xBF")):
		return "file.bom", "bom"
	case bytes.HasPrefix(src, []byte("\xFF\xFE")), bytes.HasPrefix(src, []byte("\xFE\xFF")),
		len(src) > 3 && (src[0] == 0) != (src[1] == 0) && (src[0] == 0) == (src[2] == 0) && (src[1] == 0) == (src[3] == 0):
		return "file.utf16", "bom"
	}
	return "", ""
}

// badByte finds the first byte that is no UTF-8, or a control character that
// TOML allows nowhere: all but the tab and the line ends LF and CR LF.
func badByte(src []byte) (at int, bad bool) {
	for i := 0; i < len(src); {
		switch c := src[i]; {
		case c == '\r' && (i+1 == len(src) || src[i+1] != '\n'), c < ' ' && c != '\t' && c != '\n' && c != '\r', c == 0x7F:
			return i, true
		case c < utf8.RuneSelf:
			i++
		default:
			r, size := utf8.DecodeRune(src[i:])
			if r == utf8.RuneError && size == 1 {
				return i, true
			}
			i += size
		}
	}
	return 0, false
}

// decode reads TOML that the scanner has passed. A defect of the decoder comes
// back as an error like any other: a file must never end the program.
func decode(src []byte) (tree map[string]any, err error) {
	defer func() {
		if r := recover(); r != nil {
			tree, err = nil, fmt.Errorf("%v", r)
		}
	}()
	tree = map[string]any{}
	_, err = toml.Decode(string(src), &tree)
	return tree, err
}

// undecodable reports what the decoder refused; the scanner lets through only
// ill-formed numbers, dates and escapes.
func (d *document) undecodable(err error, out *findings) {
	parse := toml.ParseError{}
	if !errors.As(err, &parse) {
		out.file("toml.refused", d.name, d.subject, args{"reason": err.Error()}, "toml", nil)
		return
	}
	from := min(max(parse.Position.Start, 0), len(d.index.src))
	at := span{from, min(from+max(parse.Position.Len, 1), len(d.index.src))}
	d.report("toml.refused", at, "", args{"reason": parse.Message}, "toml", nil, out)
}

// report places a fault of the file itself.
func (d *document) report(rule string, at span, key string, a args, hint string, with args, out *findings) {
	out.add(rule, working.Origin{Document: d.name, Key: key}, d.place(at), d.subject, a, hint, with)
}

// mostShown is the longest line, in bytes, that a finding carries with it.
const mostShown = 1000

// place turns a span into line and columns. EndColumn is the column behind the
// last character; a value that runs over several lines ends with the first.
func (d *document) place(at span) protocol.Place {
	x := d.index
	line := x.line(at.start)
	whole := x.lineSpan(line)
	end := min(at.end, max(whole.end, at.start))
	before := x.characters(whole.start)
	p := protocol.Place{
		File:      d.name,
		Line:      line + 1,
		Column:    x.characters(at.start) - before + 1,
		EndColumn: x.characters(end) - before + 1,
	}
	p.EndColumn = max(p.EndColumn, p.Column+1)
	if whole.end-whole.start <= mostShown {
		p.Text = string(x.src[whole.start:whole.end])
	}
	return p
}
