package farmfile

import (
	"bytes"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

// A farm can be kept on any machine: no protocol may have a name that Windows keeps, and
// none may differ from another in capitals alone, which are one file to Windows and macOS.
func TestNamesThatNotEveryDiskBears(t *testing.T) {
	for _, name := range []string{"con", "prn", "aux", "nul", "com1", "com9", "lpt1", "com0", "lpt9"} {
		assert.True(t, IsDevice(name), name)
		_, list := Read(farmOf(t, map[string][]byte{"protocols/" + name + ".toml": []byte("format = 1\n")}), builtIn)
		require.Len(t, list, 1, name)
		assert.Equal(t, "file.device", list[0].Rule)
		assert.Equal(t, protocol.Error, list[0].Severity)
		example, _, _ := strings.Cut(list[0].Hint.Args["example"].(string), ".")
		assert.True(t, IsName(example) && !IsDevice(example), example)
	}
	for _, name := range []string{"cone", "com", "com10", "lpt", "console", "nul-1", "a", "aux-tank"} {
		assert.False(t, IsDevice(name), name)
		assert.True(t, IsName(name), name)
	}
	// Capitals, a point or a blank at the end, what separates folders, and a drive's colon.
	for _, name := range []string{"Enoki", "enOki", "ENOKI", "enoki.", "enoki ", "a/b", `a\b`, "c:", "c:enoki", "..", ".", "con.", "é", "ﬁ"} {
		assert.False(t, IsName(name), name)
	}
}

// A file whose lines end as on Windows says the same, in texts over several lines too, and
// its method has the same fingerprint. What is wrong in it is found at the same place.
func TestLinesMayEndAsOnWindows(t *testing.T) {
	of := func(more, lineEnd string) map[string][]byte {
		out := map[string][]byte{}
		for _, name := range []string{protocol.FarmDocument, "protocols/enoki.toml"} {
			src, err := fs.ReadFile(base, name)
			require.NoError(t, err)
			src = regexp.MustCompile(`(?m)^summary = .*$`).ReplaceAll(src, []byte("summary = \"\"\"\nOne line,\nand \\\n   another.\"\"\""))
			src = append(src, more...)
			out[name] = bytes.ReplaceAll(src, []byte("\n"), []byte(lineEnd))
		}
		return out
	}
	for _, more := range []string{"", "\nmistaken = 1\n"} {
		unix, list := Read(farmOf(t, of(more, "\n")), builtIn)
		windows, same := Read(farmOf(t, of(more, "\r\n")), builtIn)
		assert.Equal(t, more == "", len(list) == 0)
		assert.Equal(t, list, same)
		assert.Equal(t, unix.Farm, windows.Farm)
		assert.Equal(t, unix.Protocols, windows.Protocols)
		if more == "" {
			require.NotEmpty(t, unix.Protocols)
			assert.Equal(t, "One line,\nand another.", unix.Protocols[0].Summary)
			assert.Equal(t, string(unix.Canonical("enoki")), string(windows.Canonical("enoki")))
		}
	}
}
