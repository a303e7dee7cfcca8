package book

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/rescale"
	"bottlecrop/cmd/internal/words"
)

// anySize adds what the sheets of a book are worked out with for any number: the module,
// once for all languages, and the catalog of this language where it is not in the module.
func (s *shelf) anySize(module []byte) {
	if module == nil {
		return
	}
	if s.edition.Folder == "" {
		s.add(leaf.ModulePath, module, nil)
	}
	if catalog := words.Catalog(s.edition.Voice); catalog != "" {
		data, err := packed("bottlecropCatalog", []byte(catalog))
		s.add(leaf.WordsPath, data, err)
	}
}

// carried adds what the book carries of a protocol.
func (s *shelf) carried(entry Entry, today string) {
	if !s.edition.AnySize {
		return
	}
	name := leaf.CarriedPath(entry.Process.Input.Protocol.Name)
	c, err := rescale.Carry(s.edition, entry.Process, entry.Method, today)
	if err != nil {
		s.add(name, nil, err)
		return
	}
	data, err := c.Encode()
	if err == nil {
		data, err = packed("bottlecropCarried", data)
	}
	s.add(name, data, err)
}

// packed is a script that sets one name to data, compressed: a page from the disk may
// fetch nothing else.
func packed(name string, data []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return []byte("\"use strict\";\nvar " + name + " = \"" + base64.StdEncoding.EncodeToString(b.Bytes()) + "\";\n"), nil
}
