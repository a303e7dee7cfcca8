package main

import (
	"encoding/base64"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The smallest pictures of each kind that have a size, as encoders write them:
// 1 by 1 pixel. The WebP file is a lossy one (RFC 9649, section 2.5).
var pixels = map[string]string{
	"a.png":  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==",
	"a.webp": "UklGRiIAAABXRUJQVlA4IBYAAAAwAQCdASoBAAEADsD+JaQAA3AAAAAA",
}

// A picture is what its ending says, by its own bytes; a folder or a picture of
// another kind is none.
func TestPictureIsWhatItSays(t *testing.T) {
	files := fstest.MapFS{"site/folder.png/x": {Data: []byte("x")}, "site/empty.png": {}}
	for name, text := range pixels {
		data, err := base64.StdEncoding.DecodeString(text)
		require.NoError(t, err)
		files["site/"+name] = &fstest.MapFile{Data: data}
	}
	files["site/b.png"], files["site/b.webp"] = files["site/a.webp"], files["site/a.png"]
	files["site/cut.png"] = &fstest.MapFile{Data: files["site/a.png"].Data[:20]}
	f := &farm{fsys: files}
	for name := range pixels {
		p, wrong := f.picture(name)
		assert.Empty(t, wrong, name)
		assert.Equal(t, [2]int{1, 1}, [2]int{p.Width, p.Height}, name)
		assert.Equal(t, files["site/"+name].Data, p.Data, name)
	}
	for name, want := range map[string]string{
		"b.png": "damaged", "b.webp": "damaged", "cut.png": "damaged", "empty.png": "damaged",
		"folder.png": "missing", "none.png": "missing", "": "outside", ".png": "name", "a.gif": "kind", "a": "kind",
	} {
		_, wrong := f.picture(name)
		assert.Equal(t, want, wrong, name)
	}
}
