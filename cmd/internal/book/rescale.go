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
		s.ready(leaf.ModulePath, module)
	}
	if catalog := words.Catalog(s.edition.Voice); catalog != "" {
		s.add(leaf.WordsPath, func() ([]byte, error) { return packed("bottlecropCatalog", []byte(catalog)) })
	}
}

// carried adds what the book carries of a protocol.
func (s *shelf) carried(entry Entry, today string) {
	if !s.edition.AnySize {
		return
	}
	s.add(leaf.CarriedPath(entry.Process.Input.Protocol.Name), func() ([]byte, error) {
		c, err := rescale.Carry(s.edition, entry.Process, entry.Method, today)
		if err != nil {
			return nil, err
		}
		data, err := c.Encode()
		if err != nil {
			return nil, err
		}
		return packed("bottlecropCarried", data)
	})
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
