package farmfile

import (
	"io/fs"
	"reflect"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// mostParents is how long a chain of protocols that are based on one another
// may be. Longer ones nobody can follow on paper.
const mostParents = 8

// family is the protocols of a folder on their way to being read.
type family struct {
	names  []string
	docs   map[string]*document
	parent map[string]string
	broken map[string]bool // no chain of parents can be had
	own    map[string]*findings
}

func (f *Folder) readProtocols(farm fs.FS, names []string) {
	fam := newFamily(names)
	f.readings = map[string]*Reading{}
	for _, name := range names {
		own := &findings{}
		file := protocol.Document(name)
		d := f.again.document(farm, file, name, own)
		if d == nil { // gone since the folder was listed, or a link to nothing
			d = &document{name: file, subject: name}
			d.unreadable(fs.ErrNotExist, own)
		}
		fam.take(d, own)
		f.documents[file] = layers{d}
	}
	fam.check()
	for _, name := range names {
		f.again.readProtocol(f, fam, name)
	}
	for _, name := range names {
		f.out.list = append(f.out.list, fam.news(name)...)
	}
	slices.SortFunc(f.Protocols, func(a, b protocol.Protocol) int { return strings.Compare(a.Name, b.Name) })
}

func newFamily(names []string) *family {
	return &family{
		names: names, docs: map[string]*document{}, parent: map[string]string{},
		broken: map[string]bool{}, own: map[string]*findings{},
	}
}

// take takes a protocol's file in, with what was wrong with it.
func (fam *family) take(d *document, own *findings) {
	name := d.subject
	fam.docs[name], fam.own[name] = d, own
	fam.broken[name] = d.tree == nil
	if parent, ok := d.tree["based_on"].(string); ok {
		fam.parent[name] = parent
	} else if _, there := d.tree["based_on"]; there {
		fam.broken[name] = true // the binder will say why
	}
}

// check finds parents that do not exist, chains that are too long, and circles.
// A protocol without a whole chain is broken, and so are those based on it;
// only the one at fault has a finding.
func (fam *family) check() {
	circles := map[string]bool{}
	for _, name := range fam.names {
		chain := []string{name}
		for at := name; ; {
			parent, based := fam.parent[at]
			if !based {
				fam.broken[name] = fam.broken[name] || fam.broken[at]
				break
			}
			if fam.docs[parent] == nil {
				if at == name {
					fam.unknownParent(name, parent)
				}
				fam.broken[name] = true
				break
			}
			if i := slices.Index(chain, parent); i >= 0 {
				fam.circle(chain[i:], circles)
				fam.broken[name] = true
				break
			}
			chain, at = append(chain, parent), parent
		}
		if parents := len(chain) - 1; parents > mostParents {
			if parents == mostParents+1 && !fam.broken[name] {
				fam.report(name, "based_on.long", args{"most": mostParents, "chain": strings.Join(chain, " → ")}, "based_on_long", nil)
			}
			fam.broken[name] = true
		}
	}
}

func (fam *family) report(name, rule string, a args, hint string, with args) {
	b := newBinder(layers{fam.docs[name]}, reflect.TypeFor[protocol.Protocol](), name, fam.own[name])
	b.report("based_on", false, rule, a, hint, with)
}

func (fam *family) unknownParent(name, parent string) {
	known := slices.DeleteFunc(slices.Clone(fam.names), func(n string) bool { return n == name })
	near := protocol.Nearest(strings.TrimSuffix(parent, ".toml"), known)
	if slices.Contains(known, strings.TrimSuffix(parent, ".toml")) {
		near = strings.TrimSuffix(parent, ".toml")
	}
	if near != "" {
		fam.report(name, "based_on.unknown", nil, "reference_near", args{"near": near})
		return
	}
	fam.report(name, "based_on.unknown", nil, "based_on_unknown", nil)
}

// circle reports protocols that are based on one another in a ring, once, at
// the first by name.
func (fam *family) circle(ring []string, seen map[string]bool) {
	least := 0
	for i, name := range ring {
		if name < ring[least] {
			least = i
		}
	}
	ring = append(slices.Clone(ring[least:]), ring[:least]...)
	if seen[ring[0]] {
		return
	}
	seen[ring[0]] = true
	fam.report(ring[0], "based_on.circle", args{"circle": strings.Join(append(ring, ring[0]), " → ")}, "based_on_circle", nil)
}

// chain is a protocol's file and those of its parents.
func (fam *family) chain(name string) layers {
	out := layers{fam.docs[name]}
	if fam.broken[name] {
		return out
	}
	for {
		parent, based := fam.parent[name]
		if !based {
			return out
		}
		out, name = append(out, fam.docs[parent]), parent
	}
}

// readProtocol reads a protocol of which the files are there. It returns what it read
// where its shape has no fault: on another farm and library only its references need to
// be looked up anew, and known is what was returned then; else nil.
func (f *Folder) readProtocol(fam *family, name string, known *protocol.Protocol) *protocol.Protocol {
	d := fam.docs[name]
	if d.tree == nil {
		return nil
	}
	chain := fam.chain(name)
	f.documents[d.name] = chain
	b := newBinder(chain, reflect.TypeFor[protocol.Protocol](), name, fam.own[name])
	b.partial = fam.broken[name]
	p := protocol.Protocol{Name: name}
	if known != nil {
		p = *known
	} else {
		b.run(chain.tree(), reflect.ValueOf(&p).Elem())
	}
	shaped := !fam.broken[name] && len(fam.own[name].list) == 0
	whole := f.protocolReferences(b, p)
	if whole && shaped && len(fam.own[name].list) == 0 {
		f.Protocols = append(f.Protocols, p)
	}
	if !shaped {
		return nil
	}
	return &p
}

// news is what is wrong with a protocol but not already with a parent: a value
// that it inherits, or a key that a parent should have had.
func (fam *family) news(name string) []protocol.Finding {
	var out []protocol.Finding
	for _, x := range fam.own[name].list {
		told := false
		if x.Place.File != fam.docs[name].name || strings.HasPrefix(x.Rule, "key.missing") {
			for _, d := range fam.chain(name)[1:] {
				told = told || slices.ContainsFunc(fam.own[d.subject].list, func(y protocol.Finding) bool {
					return y.Rule == x.Rule && y.Origin.Key == x.Origin.Key
				})
			}
		}
		if !told {
			out = append(out, x)
		}
	}
	return out
}
