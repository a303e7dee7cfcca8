package farmfile

import (
	"io/fs"
	"path"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// The files of a library.
type (
	speciesFile struct {
		Format  int                `toml:"format" validate:"required,eq=1"`
		Entries []protocol.Species `toml:"species" validate:"max=1000,unique=ID,dive"`
	}
	ingredientFile struct {
		Format  int                   `toml:"format" validate:"required,eq=1"`
		Entries []protocol.Ingredient `toml:"ingredient" validate:"max=1000,unique=ID,dive"`
	}
	vesselFile struct {
		Format  int               `toml:"format" validate:"required,eq=1"`
		Entries []protocol.Vessel `toml:"vessel" validate:"max=1000,unique=ID,dive"`
	}
	sterilizerFile struct {
		Format  int                   `toml:"format" validate:"required,eq=1"`
		Entries []protocol.Sterilizer `toml:"sterilizer" validate:"max=1000,unique=ID,dive"`
	}
	troubleFile struct {
		Format  int                `toml:"format" validate:"required,eq=1"`
		Entries []protocol.Trouble `toml:"trouble" validate:"max=1000,unique=ID,dive"`
	}
)

// shelf is one kind of entry: its table's name, its file, and the file's type.
type shelf struct {
	kind, file string
	t          reflect.Type
}

var shelves = []shelf{
	{"species", "species.toml", reflect.TypeFor[speciesFile]()},
	{"ingredient", "ingredients.toml", reflect.TypeFor[ingredientFile]()},
	{"vessel", "vessels.toml", reflect.TypeFor[vesselFile]()},
	{"sterilizer", "sterilizers.toml", reflect.TypeFor[sterilizerFile]()},
	{"trouble", "troubles.toml", reflect.TypeFor[troubleFile]()}, // names species: these are read before
}

// shelfState is what is known of one kind of entry, to judge references: ids
// of faulty entries are there too, since the fault is reported where it is.
type shelfState struct {
	ids      map[string]bool
	readable bool // every file of it was
}

// readLibrary fills the library from the base, then puts the farm's entries
// over it, each as a whole.
func (f *Folder) readLibrary(farm, base fs.FS) {
	f.Library = protocol.Library{
		Species:     map[string]protocol.Species{},
		Ingredients: map[string]protocol.Ingredient{},
		Vessels:     map[string]protocol.Vessel{},
		Sterilizers: map[string]protocol.Sterilizer{},
		Troubles:    map[string]protocol.Trouble{},
		Entries:     map[string]working.Origin{},
		Borrowed:    map[string]working.Origin{},
	}
	f.known = map[string]*shelfState{}
	f.strains = strains{species: map[string]lender{}, ids: map[string]bool{}}
	maps := map[string]any{
		"species": f.Library.Species, "ingredient": f.Library.Ingredients,
		"vessel": f.Library.Vessels, "sterilizer": f.Library.Sterilizers,
		"trouble": f.Library.Troubles,
	}
	for _, s := range shelves {
		f.known[s.kind] = &shelfState{ids: map[string]bool{}, readable: true}
		entries := reflect.ValueOf(maps[s.kind])
		if base != nil {
			f.readShelf(base, s, "library", protocol.BuiltIn, entries)
		}
		f.readShelf(farm, s, protocol.LibraryFolder, protocol.LibraryFolder, entries)
	}
	f.strayFiles(farm)
}

// readShelf reads one file of a library: from the folder dir of fsys, under the
// name that its document has in findings.
func (f *Folder) readShelf(fsys fs.FS, s shelf, dir, name string, entries reflect.Value) {
	d := read(fsys, dir+"/"+s.file, name+"/"+s.file, "", &f.out)
	if d == nil {
		return
	}
	f.documents[d.name] = layers{d}
	state := f.known[s.kind]
	if d.tree == nil {
		state.readable = false
		return
	}
	b := newBinder(layers{d}, s.t, "", &f.out)
	var borrowed map[string]working.Origin
	if s.kind == "species" {
		borrowed = f.strains.lend(d, b)
	}
	file := reflect.New(s.t).Elem()
	b.run(d.tree, file)
	list := file.FieldByName("Entries")
	switch s.kind {
	case "species":
		f.strainsOf(b, d.tree)
	case "sterilizer":
		f.loads(b, file.Interface().(sterilizerFile).Entries)
	case "trouble":
		f.troubles(b, file.Interface().(troubleFile).Entries)
	}
	bad := faultyItems(b.refused, s.kind)
	if b.refused[s.kind] && list.Len() == 0 {
		state.readable = false
	}
	for i := range list.Len() {
		id := list.Index(i).FieldByName("ID").String()
		if id == "" || bad[i] && state.ids[id] && f.Library.Entries[s.kind+"."+id].Document == d.name {
			continue // no name, or the second of that name in this file
		}
		state.ids[id] = true
		name := reflect.ValueOf(id)
		if bad[i] {
			entries.SetMapIndex(name, reflect.Value{})
			delete(f.Library.Entries, s.kind+"."+id)
			continue
		}
		entries.SetMapIndex(name, list.Index(i))
		f.Library.Entries[s.kind+"."+id] = working.Origin{Document: d.name, Key: protocol.Item(s.kind, i)}
		f.borrow(s.kind+"."+id, protocol.Item(s.kind, i), borrowed)
	}
}

// borrow notes where the values stand that an entry has from another one.
func (f *Folder) borrow(entry, path string, borrowed map[string]working.Origin) {
	for at := range f.Library.Borrowed {
		if strings.HasPrefix(at, entry+".") {
			delete(f.Library.Borrowed, at) // of an entry that this one replaces
		}
	}
	for at, from := range borrowed {
		if key, ok := strings.CutPrefix(at, path+"."); ok {
			f.Library.Borrowed[entry+"."+key] = from
		}
	}
}

// loads checks that a usual load of a kind of sterilizer is of known vessels.
func (f *Folder) loads(b *binder, kinds []protocol.Sterilizer) {
	for i, kind := range kinds {
		for j, h := range kind.Holds {
			at := under(protocol.Item(under(protocol.Item("sterilizer", i), "holds"), j), "vessel")
			f.reference(b, at, false, "vessel", h.Vessel, true)
		}
	}
}

// faultyItems lists the items of a list in which something was refused.
func faultyItems(refused map[string]bool, list string) map[int]bool {
	out := map[int]bool{}
	for path := range refused {
		rest, ok := strings.CutPrefix(path, list+"[")
		if !ok {
			continue
		}
		number, _, _ := strings.Cut(rest, "]")
		if i, err := strconv.Atoi(number); err == nil {
			out[i] = true
		}
	}
	return out
}

// strayFiles reports files of the farm's library folder that nothing would
// read: a misspelled name would silently change nothing.
func (f *Folder) strayFiles(farm fs.FS) {
	entries, err := fs.ReadDir(farm, protocol.LibraryFolder)
	if err != nil {
		return // no library of its own; a file that cannot be opened has its finding
	}
	var known []string
	for _, s := range shelves {
		known = append(known, s.file)
	}
	for _, e := range entries {
		name := e.Name()
		if _, isTOML := cutTOML(name); !isTOML || strings.HasPrefix(name, ".") || slices.Contains(known, name) {
			continue
		}
		shown := path.Join(protocol.LibraryFolder, printable(name))
		if near := protocol.Nearest(strings.ToLower(name), known); near != "" {
			f.out.file("file.stray", shown, "", args{}, "stray_near", args{"near": near})
			continue
		}
		f.out.file("file.stray", shown, "", args{}, "stray", args{"list": strings.Join(known, ", ")})
	}
}
