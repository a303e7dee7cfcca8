package farmfile

import (
	"bytes"
	"io/fs"
	"maps"
	"reflect"
	"slices"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/protocol"
)

// Reader reads one farm folder again and again while somebody writes in it. It gives what
// Read does, and binds only what has changed since it read last: what the farm and the
// library say as long as none of their files has changed, and a protocol as long as
// neither they nor its own files have. It is for one folder and one goroutine.
type Reader struct {
	ground, beside stage
	docs           map[string]*parsed // of protocols, by path
	protocols      map[string]*Reading
}

// Reading is one protocol as it was read. As long as its own files, the farm and the
// library say the same, each Read of a Reader has the same one.
type Reading struct {
	chain    layers
	found    []protocol.Finding
	protocol *protocol.Protocol // nil where it has a fault
	print    func() string
}

// parsed is a file with what it was parsed to.
type parsed struct {
	src   []byte
	doc   *document
	found []protocol.Finding
}

// stage is a folder as far as it had been read, and what was asked of its files until
// then.
type stage struct {
	folder *Folder
	asked  []asking
}

// asking is one question to a file system, with its answer.
type asking struct {
	question question
	path     string
	answer   any
	err      error
}

// question is what is asked of a file system: what a file holds, what it is, or what is
// in a folder.
type question int

const (
	content question = iota
	kind
	names
)

func (q question) ask(fsys fs.FS, path string) (any, error) {
	switch q {
	case content:
		return readBytes(fsys, path)
	case kind:
		info, err := fs.Stat(fsys, path)
		if err != nil {
			return nil, err
		}
		return fileState{info.Mode(), info.Size()}, nil
	}
	entries, err := fs.ReadDir(fsys, path)
	var out []string
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") { // of no reader's concern, and editors come and go with them
			out = append(out, e.Name())
		}
	}
	return out, err
}

type fileState struct {
	mode fs.FileMode
	size int64
}

func (a asking) same(fsys fs.FS) bool {
	answer, err := a.question.ask(fsys, a.path)
	if err != nil || a.err != nil {
		return err != nil && a.err != nil && reason(err) == reason(a.err)
	}
	return reflect.DeepEqual(answer, a.answer)
}

// same reports whether a file system still answers all as it did, but for which
// protocols there are.
func (s *stage) same(fsys fs.FS) (all, butForNames bool) {
	all, butForNames = s.folder != nil, s.folder != nil
	for _, a := range s.asked {
		if !butForNames {
			return false, false
		}
		if !a.same(fsys) {
			all = false
			butForNames = a.question == names && a.path == protocol.Folder
		}
	}
	return all, butForNames
}

// witness is a file system that keeps what it was asked.
type witness struct {
	fs.FS
	stage *stage
}

func (w witness) keep(q question, path string) {
	answer, err := q.ask(w.FS, path)
	w.stage.asked = append(w.stage.asked, asking{q, path, answer, err})
}

func (w witness) Open(name string) (fs.File, error) {
	w.keep(content, name)
	return w.FS.Open(name)
}

func (w witness) Stat(name string) (fs.FileInfo, error) {
	w.keep(kind, name)
	return fs.Stat(w.FS, name)
}

func (w witness) ReadDir(name string) ([]fs.DirEntry, error) {
	w.keep(names, name)
	return fs.ReadDir(w.FS, name)
}

// copied is a folder that may be read on without a change to the one it is a copy of.
func (f *Folder) copied() *Folder {
	out := *f
	out.documents, out.known = maps.Clone(f.documents), maps.Clone(f.known)
	out.out.list = slices.Clone(f.out.list)
	return &out
}

// Read is as the function of that name.
func (r *Reader) Read(farm, base fs.FS) (*Folder, []protocol.Finding) {
	same, butForNames := r.ground.same(farm)
	if !same {
		if r.ground, r.beside = (stage{}), (stage{}); !butForNames {
			r.protocols = nil
		}
		f := &Folder{documents: map[string]layers{}, shared: &sync.Map{}}
		names, ok := f.readGround(witness{farm, &r.ground}, base)
		if !ok {
			return f, f.out.list
		}
		f.names = names
		r.ground.folder = f.copied()
	}
	if same, _ := r.beside.same(farm); !same {
		r.beside = stage{}
		f, w := r.ground.folder.copied(), witness{farm, &r.beside}
		f.readBeside(w, base)
		r.beside.folder = f.copied()
	}
	f := r.beside.folder.copied()
	f.again = r
	f.readProtocols(farm, f.names)
	protocol.Sort(f.out.list)
	return f, f.out.list
}

// Part reads some of the protocols again, and those that are based on them, on all else
// as it was read last: false where that can't be done, because one of them is new, gone or
// has a fault. The folder has these protocols only; Read gives the whole again.
func (r *Reader) Part(farm fs.FS, names []string) (*Folder, bool) {
	if r.beside.folder == nil || !r.beside.folder.Usable {
		return nil, false
	}
	f := r.beside.folder.copied()
	f.again, f.readings = r, map[string]*Reading{}
	parent := map[string]string{}
	for name, was := range r.protocols {
		if len(was.chain) > 1 {
			parent[name] = was.chain[1].subject
		}
	}
	wanted := map[string]bool{}
	var take func(name string)
	take = func(name string) {
		if wanted[name] {
			return
		}
		wanted[name] = true
		for child, of := range parent {
			if of == name {
				take(child)
			}
		}
	}
	for _, name := range names {
		take(name)
	}
	read := maps.Clone(wanted)
	for name := range wanted {
		for of, based := parent[name]; based; of, based = parent[of] {
			read[of] = true
		}
	}
	fam := newFamily(slices.Sorted(maps.Keys(read)))
	for _, name := range fam.names {
		file := protocol.Document(name)
		d := r.docs[file]
		if d == nil || r.protocols[name] == nil || r.protocols[name].protocol == nil {
			return nil, false
		}
		own := &findings{list: slices.Clone(d.found)}
		doc := d.doc
		if wanted[name] {
			own = &findings{}
			if doc = r.document(farm, file, name, own); doc == nil {
				return nil, false
			}
		}
		fam.take(doc, own)
	}
	fam.check()
	for _, name := range fam.names {
		if !wanted[name] {
			continue
		}
		if of := fam.parent[name]; fam.broken[name] || of != parent[name] {
			return nil, false // another family than it was
		}
		r.readProtocol(f, fam, name)
		if f.readings[name] == nil || f.readings[name].protocol == nil {
			return nil, false
		}
	}
	return f, true
}

// document is the file of a protocol; one that says the same is not parsed again.
func (r *Reader) document(farm fs.FS, file, name string, own *findings) *document {
	if r == nil {
		return read(farm, file, file, name, own)
	}
	src, err := readBytes(farm, file)
	if err != nil {
		return read(farm, file, file, name, own)
	}
	p := r.docs[file]
	if p == nil || !bytes.Equal(p.src, src) {
		found := &findings{}
		d := &document{name: file, subject: name}
		d.parse(src, found)
		p = &parsed{src, d, found.list}
		if r.docs == nil {
			r.docs = map[string]*parsed{}
		}
		r.docs[file] = p
	}
	own.list = append(own.list, p.found...)
	return p.doc
}

// readProtocol binds a protocol, or takes it as it was read last.
func (r *Reader) readProtocol(f *Folder, fam *family, name string) {
	if r == nil {
		f.readProtocol(fam, name, nil)
		return
	}
	chain, own := fam.chain(name), fam.own[name]
	was := r.protocols[name]
	// What keeps a chain of parents from being had is judged with all protocols beside
	// each other, each time.
	if was != nil && !fam.broken[name] && len(own.list) == 0 && slices.Equal(was.chain, chain) {
		f.documents[fam.docs[name].name] = chain
		own.list = slices.Clone(was.found)
		if was.protocol != nil {
			f.Protocols = append(f.Protocols, *was.protocol)
		}
		f.readings[name] = was
		return
	}
	before, whole := len(own.list), len(f.Protocols)
	f.readProtocol(fam, name, nil)
	if fam.broken[name] || before > 0 {
		delete(r.protocols, name)
		return
	}
	now := &Reading{chain: chain, found: slices.Clone(own.list)}
	if len(f.Protocols) > whole {
		p := f.Protocols[whole]
		now.protocol = &p
	}
	ground := r.ground.folder
	now.print = sync.OnceValue(func() string {
		alone := *ground
		alone.Protocols = []protocol.Protocol{*now.protocol}
		return alone.Fingerprint(name)
	})
	if r.protocols == nil {
		r.protocols = map[string]*Reading{}
	}
	r.protocols[name], f.readings[name] = now, now
}

// Reading is how a protocol was read by a Reader: another one where it may be another.
// It is nil for one that could not be read, and of a folder that was read once.
func (f *Folder) Reading(name string) *Reading { return f.readings[name] }
