// Package farmfile reads a farm folder: strict TOML from any fs.FS into the
// plain types of package protocol, with the place of every key.
//
//	protocols/farm.toml                  the farm
//	protocols/library/species.toml       and ingredients, vessels, sterilizers,
//	                                     troubles: over the program's own, entry
//	                                     by entry
//	protocols/stock.toml                 what is in store, where the farm writes it down
//	protocols/orders.toml                what is to be delivered, likewise
//	protocols/results.toml               what became of the batches, likewise
//	protocols/languages/es.toml          what the farm's authors wrote, in Spanish
//	protocols/NAME.toml                  one protocol a file
//
// A quantity is a text with its unit; a number without one, an unknown key, a
// name that nothing has are errors, and all errors of a folder come at once. A
// protocol may be based on another: tables are merged key by key, lists and
// single values are replaced, and title, summary and format are its own.
//
// A path of a key is dotted, items of lists are counted from 0, and a name that
// is no bare key is quoted: substrate.ingredient[1].share_dm.
//
// Farm, library and protocols hold what a grower decides. They hold no results,
// no dates and no stock, and never will: those belong to a batch. What is in
// store, ordered and picked has files of its own, on which no sheet and no
// fingerprint depends.
package farmfile

import (
	"errors"
	"io/fs"
	"path"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// What a folder may have of protocols (design choices): ten thousand of the demo farm's
// size have some 60 MB. One file's bound is mostBytes.
const (
	mostProtocols = 10_000
	mostOfAll     = 128 << 20 // bytes of all protocols
	mostLanguages = 50        // files of texts in other languages
)

// Folder is a farm folder as read. With an error among its findings it is
// partial: a protocol or an entry of the library with an error is left out,
// and Farm has zeros for what was refused.
type Folder struct {
	Farm      protocol.Farm
	Library   protocol.Library
	Protocols []protocol.Protocol // by name, with what they are based on filled in
	Stock     protocol.Stock      // what is in store; without lots where the farm does not say
	Orders    protocol.Orders     // what is to be delivered, likewise
	Results   protocol.Results    // what became of batches, likewise
	// Texts is what authors wrote, in other languages: by language and original.
	Texts map[string]map[string]string
	// OurTexts are those of them that come with the program's own library.
	OurTexts map[string]map[string]string

	// Usable is true when farm and library are free of errors, so that the
	// protocols that are there can be worked out.
	Usable bool

	documents map[string]layers
	written   *Folder   // as the files have it, of one that is retold
	shared    *sync.Map // of a ground: see linesOf
	out       findings
	known     map[string]*shelfState
	strains   strains
	names     []string            // of the protocols that there are, of a ground
	again     *Reader             // that reads it, or nil
	readings  map[string]*Reading // of its protocols
}

// Read reads a farm folder over a base, whose folder library holds the same
// files as the farm's protocols/library; base may be nil. It never stops at the
// first fault: the findings are those of the whole folder, in the order of files
// and lines.
func Read(farm fs.FS, base fs.FS) (*Folder, []protocol.Finding) {
	f := &Folder{documents: map[string]layers{}}
	names, ok := f.readGround(farm, base)
	if !ok {
		return f, f.out.list
	}
	f.readBeside(farm, base)
	f.readProtocols(farm, names)
	protocol.Sort(f.out.list)
	return f, f.out.list
}

// readBeside reads what no protocol rests on.
func (f *Folder) readBeside(farm, base fs.FS) {
	f.readStock(farm)
	f.readOrders(farm)
	f.readResults(farm)
	f.readTexts(farm, base)
}

// readGround reads what all protocols rest on: the library and the farm. It gives the
// names of the protocols that there are.
func (f *Folder) readGround(farm, base fs.FS) (names []string, ok bool) {
	if names, ok = f.list(farm); !ok {
		return nil, false
	}
	before := len(f.out.list)
	f.readLibrary(farm, base)
	protocols := &shelfState{ids: map[string]bool{}, readable: true}
	for _, name := range names {
		protocols.ids[name] = true
	}
	f.known["protocol"] = protocols
	f.readFarm(farm)
	f.Usable = len(f.out.list) == before
	return names, true
}

// list finds the protocols of the folder by name.
func (f *Folder) list(farm fs.FS) (names []string, ok bool) {
	entries, err := fs.ReadDir(farm, protocol.Folder)
	if errors.Is(err, fs.ErrNotExist) {
		f.out.file("farm.missing", protocol.FarmDocument, "", args{}, "start", nil)
		return nil, false
	}
	if err != nil {
		(&document{name: protocol.Folder}).unreadable(err, &f.out)
		return nil, false
	}
	any, size := false, int64(0)
	for _, e := range entries {
		file := e.Name()
		name, isTOML := cutTOML(file)
		if !isTOML || strings.HasPrefix(file, ".") || protocol.IsFarms(protocol.Folder+"/"+file) {
			continue
		}
		any = true
		if IsDevice(name) {
			f.out.file("file.device", protocol.Folder+"/"+file, "", args{"name": name}, "file_name", args{"example": name + "-a.toml"})
			continue
		}
		if !IsName(name) || file != name+".toml" {
			f.out.file("file.name", protocol.Folder+"/"+printable(file), "", args{"most": MostName}, "file_name",
				args{"example": slug(name) + ".toml"})
			continue
		}
		names = append(names, name)
		if info, err := e.Info(); err == nil {
			size += info.Size()
		}
	}
	switch {
	case len(names) > mostProtocols:
		f.out.file("farm.many", protocol.Folder, "", args{"found": len(names), "most": mostProtocols}, "many", nil)
		return nil, false
	case size > mostOfAll:
		f.out.file("farm.large", protocol.Folder, "", args{"found": int(size >> 20), "most": mostOfAll >> 20}, "many", nil)
		return nil, false
	}
	if !any {
		f.out.file("farm.no_protocols", protocol.Folder, "", args{}, "no_protocols", nil)
	}
	slices.Sort(names)
	return names, true
}

// cutTOML takes the ending off, in whatever letters.
func cutTOML(file string) (string, bool) {
	if ext := path.Ext(file); strings.EqualFold(ext, ".toml") {
		return strings.TrimSuffix(file, ext), true
	}
	return "", false
}

// printable keeps a file name with control characters from upsetting a terminal.
func printable(name string) string {
	q := strconv.Quote(name)
	return strings.ReplaceAll(q[1:len(q)-1], `\"`, `"`)
}

func (f *Folder) readFarm(farm fs.FS) {
	d := read(farm, protocol.FarmDocument, protocol.FarmDocument, "", &f.out)
	if d == nil {
		f.out.file("farm.missing", protocol.FarmDocument, "", args{}, "start", nil)
		return
	}
	f.documents[d.name] = layers{d}
	if d.tree == nil {
		return
	}
	b := newBinder(layers{d}, reflect.TypeFor[protocol.Farm](), "", &f.out)
	b.run(d.tree, reflect.ValueOf(&f.Farm).Elem())
	sterilizers := &shelfState{ids: map[string]bool{}}
	sterilizers.readable = len(f.Farm.Sterilizers) > 0 || !b.refused["sterilizer"]
	for _, s := range f.Farm.Sterilizers {
		sterilizers.ids[s.ID] = true
	}
	delete(sterilizers.ids, "")
	f.known["farm_sterilizer"] = sterilizers
	roles := &shelfState{ids: map[string]bool{protocol.OtherRoles: true}, readable: true}
	for _, r := range work.Roles() {
		roles.ids[string(r)] = true
	}
	f.known["role"] = roles
	f.farmReferences(b)
	f.evidence(b, farm)
	f.rooms(b)
	f.labels(b)
	f.codes(b)
}

func newBinder(l layers, root reflect.Type, subject string, out *findings) *binder {
	return &binder{
		layers: l, root: root, subject: subject, out: out,
		refused: map[string]bool{}, meant: map[string]bool{}, quiet: map[string]bool{},
	}
}

// run binds a whole file and checks its shape.
func (b *binder) run(tree map[string]any, out reflect.Value) {
	b.table("", tree, out)
	b.shape("", tree, out)
}

// Place finds the line and columns of a value; for a key that is not there,
// those of the table around it, else the file as a whole. The document of a
// value that a protocol inherits is the protocol's own file; the place is in
// the file where the value stands. Documents that are no files of the folder,
// such as a flag, are places by themselves.
func (f *Folder) Place(o working.Origin) protocol.Place {
	l, ok := f.documents[o.Document]
	if !ok || o.Key == "" {
		return protocol.Place{File: o.Document}
	}
	_, at, _ := l.place(o.Key, false)
	return at
}

// Entry is where an entry of the library stands: its document and the path of
// its table, to which a key can be added with a dot. Kinds are species,
// ingredient, vessel, sterilizer and trouble.
func (f *Folder) Entry(kind, id string) (document, keyPrefix string) {
	o := f.Library.Entries[kind+"."+id]
	return o.Document, o.Key
}
