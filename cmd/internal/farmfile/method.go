package farmfile

import (
	"bytes"
	"io/fs"
	"slices"
	"sync"

	"bottlecrop/cmd/internal/protocol"
)

// Method is what is to be known of a protocol without working it out: which method it
// is, which version its author says it is, and who approved it.
type Method struct {
	Fingerprint string             // "" where it could not be read
	Version     string             // "" where the farm keeps none
	Approval    *protocol.Approval // nil where nobody approved any
	Faults      int                // findings that kept it from being read, those of farm and library among them
}

// Method is that of one protocol, and whether the folder has one of that name without
// faults.
func (f *Folder) Method(name string) (Method, bool) {
	i := slices.IndexFunc(f.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	if i < 0 || !f.Usable {
		return Method{}, false
	}
	m := Method{Fingerprint: f.Fingerprint(name), Approval: f.Protocols[i].Approval}
	if c := f.Protocols[i].Control; c != nil {
		m.Version = c.Version
	}
	return m, true
}

// Source is one protocol's file, as it is or as it was. It is parsed once.
type Source struct {
	name string
	src  []byte
	once sync.Once
	doc  *document
	out  findings

	mu    sync.Mutex
	chain []*Source          // with which it was read last
	known *protocol.Protocol // what it was then; nil where its shape has a fault
}

// NewSource is the file of a protocol of that name.
func NewSource(name string, src []byte) *Source { return &Source{name: name, src: src} }

func (s *Source) document() *document {
	s.once.Do(func() {
		s.doc = &document{name: protocol.Document(s.name), subject: s.name}
		if len(s.src) > mostBytes {
			s.doc.unreadable(errTooLarge, &s.out)
			return
		}
		s.doc.parse(s.src, &s.out)
	})
	return s.doc
}

// BasedOn is the name of the protocol that this one is based on, "" for none.
func (s *Source) BasedOn() string {
	if !bytes.Contains(s.src, []byte("based_on")) {
		return "" // nearly all, and they need not be parsed for it
	}
	parent, _ := s.document().tree["based_on"].(string)
	return parent
}

// recall is what the protocol was when it was read with those files, on another ground.
func (s *Source) recall(chain []*Source) *protocol.Protocol {
	s.mu.Lock()
	defer s.mu.Unlock()
	if slices.Equal(s.chain, chain) {
		return s.known
	}
	return nil
}

func (s *Source) remember(chain []*Source, p *protocol.Protocol) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.chain, s.known = chain, p
}

// Ground is what every protocol of a folder rests on, its farm and its library, read
// once for many protocols. Its methods may be called from several goroutines.
type Ground struct{ folder Folder }

// ReadGround reads farm and library as Read does; the protocols only by their names.
func ReadGround(farm, base fs.FS) *Ground {
	f := &Folder{documents: map[string]layers{}}
	f.readGround(farm, base)
	f.documents = nil // places are asked of no ground, and are most of it
	f.shared = &sync.Map{}
	return &Ground{*f}
}

// Method reads one protocol on this ground: its own file, and those that it is based on,
// one after another as far as there are such. It gives what Folder.Method does of a
// folder with these files.
func (g *Ground) Method(chain ...*Source) Method {
	f := g.folder
	f.documents, f.out.list, f.Protocols = map[string]layers{}, nil, nil
	var names []string
	for _, s := range chain {
		names = append(names, s.name)
	}
	fam := newFamily(names)
	for _, s := range chain {
		d := s.document()
		fam.take(d, &findings{slices.Clone(s.out.list)})
		f.documents[d.name] = layers{d}
	}
	fam.check()
	chain[0].remember(chain, f.readProtocol(fam, names[0], chain[0].recall(chain)))
	if m, ok := f.Method(names[0]); ok {
		return m
	}
	faults := len(g.folder.out.list)
	for _, own := range fam.own {
		faults += len(own.list)
	}
	return Method{Faults: max(faults, 1)}
}
