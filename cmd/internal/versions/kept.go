package versions

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"io"

	"bottlecrop/cmd/internal/farmfile"
)

// keptAs is the key of what is kept. One table serves all farms: its entries are found
// by the ids of what was read, so none is ever wrong, whoever wrote it. The store tells
// apart programs that may read files otherwise.
const keptAs = "versions 1"

// Bounds of the table (design choice): 40,000 methods are 800 commits on the farm's
// file with 50 protocols, and some 3 MB when they are packed.
const (
	mostKept   = 40_000
	mostPacked = 64 << 20 // bytes, unpacked
)

// kept is what earlier runs worked out.
type kept struct {
	was, is table
	changed bool
}

// table is that of a run: Parents has what a file is based on, by its id; Methods has
// methods by the ids of all that they rest on.
type table struct {
	Parents map[string]string          `json:"parents"`
	Methods map[string]farmfile.Method `json:"methods"`
}

func newTable() table {
	return table{map[string]string{}, map[string]farmfile.Method{}}
}

// load unpacks what a store has; what can't be unpacked is not there.
func load(s Store) *kept {
	k := &kept{was: newTable(), is: newTable()}
	if s == nil {
		return k
	}
	packed, ok := s.Find(keptAs)
	if !ok {
		return k
	}
	text, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(packed)), mostPacked))
	if err != nil || json.Unmarshal(text, &k.was) != nil {
		k.was = newTable()
	}
	return k
}

func (k *kept) parent(id string) (string, bool) {
	p, ok := k.was.Parents[id]
	if ok {
		k.is.Parents[id] = p
	}
	return p, ok
}

func (k *kept) setParent(id, parent string) { k.is.Parents[id], k.changed = parent, true }

func (k *kept) method(key string) (farmfile.Method, bool) {
	m, ok := k.was.Methods[key]
	return m, ok
}

func (k *kept) setMethod(key string, m farmfile.Method) {
	if _, ok := k.was.Methods[key]; !ok {
		k.changed = true
	}
	k.is.Methods[key] = m
}

// save keeps what this run used, and of earlier ones as much as there is room for.
func (k *kept) save(s Store) {
	if s == nil || !k.changed {
		return
	}
	for id, p := range k.was.Parents {
		if len(k.is.Parents) < mostKept {
			k.is.Parents[id] = p
		}
	}
	for key, m := range k.was.Methods {
		if len(k.is.Methods) < mostKept {
			k.is.Methods[key] = m
		}
	}
	text, err := json.Marshal(k.is)
	if err != nil {
		return // of texts and numbers alone: it can't be
	}
	var packed bytes.Buffer
	z, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		return
	}
	if _, err := z.Write(text); err != nil || z.Close() != nil {
		return
	}
	s.Keep(keptAs, packed.Bytes())
}
