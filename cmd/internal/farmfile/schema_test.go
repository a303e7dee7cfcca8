package farmfile

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const schemaFile = "../../../protocols/schema.json"

// The schema that the repository has, and the program carries, is that of the types as
// they are and of the README as it is. Write it anew with
//
//	go test ./cmd/internal/farmfile -run TestSchemaIsFresh -update
func TestSchemaIsFresh(t *testing.T) {
	m := &schemaMaker{text: keyTexts(t)}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	require.NoError(t, e.Encode(m.make()))
	require.Empty(t, m.missing, "the tables of README.md say nothing of these keys")
	if *update {
		require.NoError(t, os.WriteFile(schemaFile, out.Bytes(), 0o644))
	}
	have, err := os.ReadFile(schemaFile)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(have, out.Bytes()), "protocols/schema.json is not that of the types and the README: write it anew with -update")
}
