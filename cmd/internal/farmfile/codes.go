package farmfile

import (
	"net/url"
	"regexp"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/protocol"
)

// codes checks the rule of the batch codes, where the book is on the web, and the
// telephone numbers: a slip in any of them is printed on every page and found when
// somebody needs it.
func (f *Folder) codes(b *binder) {
	if text := f.Farm.BatchCode; text != "" && !b.refused["batch_code"] {
		if _, fault := protocol.ParseCodeRule(text); fault != nil {
			f.codeRule(b, text, fault)
		}
	}
	f.address(b)
	for i, c := range f.Farm.Calls {
		at := under(protocol.Item("call", i), "telephone")
		if c.Telephone != "" && !b.refused[at] && !isTelephone(c.Telephone) {
			b.refuse(at, "call.telephone", args{"found": quoted(c.Telephone)}, "call_telephone", nil)
		}
	}
}

// codeRule refuses a rule at the very sign that is wrong.
func (f *Folder) codeRule(b *binder, text string, fault *protocol.CodeFault) {
	const at = "batch_code"
	names := "{" + strings.Join(protocol.CodeNames, "}, {") + "}"
	a, hint, with := args{"key": at, "found": quoted(text)}, "code_"+fault.ID, args{"list": names}
	switch fault.ID {
	case "name":
		a["found"] = quoted(fault.Found)
		if near := protocol.Nearest(fault.Found, protocol.CodeNames); near != "" {
			hint, with = "code_name_near", args{"near": "{" + near + "}"}
		}
	case "sign":
		a["found"], with = quoted(fault.Found), args{"signs": strings.Join(strings.Split(protocol.BatchCodeSigns, ""), " ")}
	case "day", "protocol":
		with = args{"example": example(at, quoted(protocol.UsualBatchCode))}
	case "running":
		with = nil
	}
	b.refused[at] = true
	o, place, found := b.layers.place(at, false)
	if fault.Found != "" && found == basicString(text) { // each character of it stands for itself
		place.Column += 1 + fault.At
		place.EndColumn = place.Column + utf8.RuneCountInString(fault.Found)
	}
	b.out.add("code."+fault.ID, o, place, "", a, hint, with)
}

// address checks where the book is: a page is found there by its path in the book.
func (f *Folder) address(b *binder) {
	const at = "book_address"
	text := f.Farm.BookAddress
	if text == "" || b.refused[at] {
		return
	}
	u, err := url.Parse(text)
	why := ""
	switch {
	case strings.ContainsFunc(text, func(r rune) bool { return r <= ' ' || r > '~' }):
		why = "sign"
	case err != nil || u.Host == "" || u.Hostname() == "" || u.Opaque != "" || u.Scheme != "https" && u.Scheme != "http":
		why = "shape"
	case u.User != nil:
		why = "user"
	case u.RawQuery != "" || u.ForceQuery || u.Fragment != "" || strings.HasSuffix(text, "#"):
		why = "more"
	case strings.HasSuffix(strings.ToLower(u.Path), ".html") || strings.HasSuffix(strings.ToLower(u.Path), ".htm"):
		why = "page"
	default:
		return
	}
	b.refuse(at, "address."+why, args{"found": quoted(text)}, "address_"+why, args{"example": example(at, quoted("https://book.example.org/"))})
}

var telephone = regexp.MustCompile(`^\+?[0-9(][0-9 ()./-]*[0-9]( x[0-9]+)?$`)

// isTelephone reports whether a text is a number that can be dialed: 112 and 911 are
// the shortest.
func isTelephone(text string) bool {
	digits := 0
	for _, r := range text {
		if r >= '0' && r <= '9' {
			digits++
		}
	}
	return digits >= 3 && telephone.MatchString(text)
}
