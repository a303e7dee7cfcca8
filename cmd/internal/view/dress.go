package view

import (
	"bytes"
	_ "embed" // the template of the panel
	"html"
	"html/template"
	"strings"
)

// Panel is what stands over a page: why the book is not new, finding by finding.
type Panel struct {
	Heading string
	Below   string // what the pages under it are
	Lines   []Line
	More    string // how many findings are left out, "" for none
}

// Line is one finding, as the terminal has it.
type Line struct {
	Place    string // file:line:column
	Severity string
	What     string
	Source   string // the line of the file, "" where there is none
	Caret    string // under it
	Beside   []Beside
}

// Beside is what a finding says besides: why, and what to do.
type Beside struct{ Label, Text string }

// Said is what the program says on pages of its own, in the farm's language.
type Said struct {
	Language string
	Title    string // of a page that is not there
	NoPage   string
	NoBook   string
	Home     string // the link to the first page
	Refused  string // to a request that is not answered
	Panel    string // what the panel is called, for who does not see it
}

//go:embed panel.html.tmpl
var panelText string

var panelTemplate = template.Must(template.New("panel").Parse(panelText))

// empty is a page without a page: there is none of that address, or no book yet.
func (s Said) empty(noPage bool) []byte {
	var b bytes.Buffer
	if err := panelTemplate.ExecuteTemplate(&b, "empty", struct {
		Said
		Lost bool
	}{s, noPage}); err != nil {
		panic(err) // it is filled with plain texts
	}
	return b.Bytes()
}

const (
	policyBegins = `<meta http-equiv="Content-Security-Policy" content="`
	markBegins   = ` data-mark="`
)

// dressed is a page with the script that shows changes and, where there is one, the
// panel. The rest of it is as the book has it, but for its policy, by which the script
// may run and ask this program.
func dressed(page []byte, panel *Panel, said Said, mark func([]byte) string) (out []byte, policy string) {
	policy = amended("default-src 'none'; font-src 'self'; base-uri 'none'; form-action 'none'")
	if before, rest, ok := bytes.Cut(page, []byte(policyBegins)); ok {
		content, after, _ := bytes.Cut(rest, []byte(`"`))
		policy = amended(html.UnescapeString(string(content)))
		page = bytes.Join([][]byte{before, []byte(policyBegins), []byte(html.EscapeString(policy)), []byte(`"`), after}, nil)
	}
	if panel != nil {
		var b bytes.Buffer
		if err := panelTemplate.ExecuteTemplate(&b, "panel", struct {
			*Panel
			Said Said
		}{panel, said}); err != nil {
			panic(err) // it is filled with plain texts
		}
		page = put(page, "<body", true, b.Bytes())
	}
	head := `<link rel="stylesheet" href="` + stylePath + `">` + "\n" + `<script src="` + scriptPath + `" defer` + markBegins + mark(page) + `"></script>` + "\n"
	return put(page, "</head>", false, []byte(head)), policy
}

// put writes into a page before a tag, or behind one; without that tag, at the end.
func put(page []byte, tag string, behind bool, more []byte) []byte {
	at := bytes.Index(page, []byte(tag))
	if at < 0 {
		return append(bytes.Clone(page), more...)
	}
	if behind {
		if end := bytes.IndexByte(page[at:], '>'); end >= 0 {
			at += end + 1
		}
	}
	return bytes.Join([][]byte{page[:at], more, page[at:]}, nil)
}

// amended is a policy by which a page may also have our script and our style, and ask
// this program.
func amended(policy string) string {
	wanted := map[string]bool{"script-src": true, "style-src": true, "connect-src": true}
	parts := strings.Split(policy, ";")
	for i, p := range parts {
		p = strings.TrimSpace(p)
		name, _, _ := strings.Cut(p, " ")
		if wanted[name] {
			delete(wanted, name)
			if !strings.Contains(p, "'self'") {
				p += " 'self'"
			}
		}
		// From the disk a page needs this word; here it would let a page read files.
		parts[i] = strings.ReplaceAll(p, " file:", "")
	}
	for _, name := range []string{"script-src", "style-src", "connect-src"} {
		if wanted[name] {
			parts = append(parts, name+" 'self'")
		}
	}
	return strings.Join(parts, "; ")
}
