package farmfile

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// hostilePlaces are the files that a farm may have, each of them a stranger's.
var hostilePlaces = []string{
	protocol.FarmDocument, "protocols/enoki.toml", "protocols/child.toml", "protocols/library/species.toml", "protocols/library/ingredients.toml",
	"protocols/library/vessels.toml", "protocols/library/sterilizers.toml", "protocols/library/troubles.toml", protocol.StockDocument,
	protocol.OrdersDocument, protocol.ResultsDocument, "protocols/languages/es.toml",
}

// patient is far more than a file of some kilobytes takes to be read, also on a machine
// that has other things to do.
const patient = 20 * time.Second

// FuzzFolder puts any bytes in the place of any file of a farm. The folder is read to its
// end, in bounded time, and twice alike; each finding is in a file of the folder, at a line
// and columns that it has, with that line as its text; it can be said; and a protocol
// that has none has a fingerprint.
func FuzzFolder(f *testing.F) {
	for i, name := range hostilePlaces {
		if src, err := fs.ReadFile(base, name); err == nil {
			f.Add(src, byte(i))
		}
	}
	for i, s := range documents {
		f.Add([]byte(s), byte(i))
	}
	for name, s := range map[string]string{
		protocol.StockDocument:           "format = 1\n[[lot]]\nid = \"A\"\ningredient = \"soy-hull\"\nmass = \"12 kg\"\nreceived_on = \"2026-01-02\"\n",
		protocol.OrdersDocument:          "format = 1\n[[order]]\nid = \"market\"\nprotocol = \"enoki\"\nmass = \"9 kg\"\nfirst = \"2026-02-05\"\nlast = \"2026-03-05\"\n",
		protocol.ResultsDocument:         "format = 1\n[[batch]]\ncode = \"E-1\"\nprotocol = \"enoki\"\nmixed = \"2026-01-02\"\nfilled = 12\n[[batch.lost]]\ncount = 1\nat = \"pinning\"\nwhy = \"dry\"\n",
		"protocols/languages/es.toml":    "format = 1\n[texts]\n\"Willow Fork\" = \"Horqueta\"\n",
		"protocols/child.toml":           "format = 1\ntitle = \"C\"\nbased_on = \"enoki\"\nbatch_sizes = [1]\n",
		"protocols/library/species.toml": "[[species]]\nid = \"enoki\"\n",
	} {
		for i, at := range hostilePlaces {
			if at == name {
				f.Add([]byte(s), byte(i))
			}
		}
	}
	voice := words.English(unit.Metric)
	f.Fuzz(func(t *testing.T, src []byte, place byte) {
		name := hostilePlaces[int(place)%len(hostilePlaces)]
		files := farmOf(t, map[string][]byte{name: src})
		begun := time.Now()
		folder, list := Read(files, builtIn)
		require.Less(t, time.Since(begun), patient, "%d bytes in %s", len(src), name)
		_, again := Read(files, builtIn)
		require.Equal(t, list, again)
		for _, x := range list {
			require.True(t, utf8.ValidString(voice.Say(x.What)) && voice.Say(x.What) != "", "%+v", x)
			if x.Hint.ID != "" {
				require.NotEmpty(t, voice.Say(x.Hint))
			}
			liesIn(t, files, x)
		}
		require.LessOrEqual(t, len(list), len(hostilePlaces)*mostTold)
		for _, p := range folder.Protocols {
			require.NotEmpty(t, folder.Fingerprint(p.Name))
		}
		if len(list) == 0 {
			require.True(t, folder.Usable)
			require.NotEmpty(t, folder.Protocols)
		}
	})
}

// liesIn holds the place of a finding to the file that it names.
func liesIn(t *testing.T, files fstest.MapFS, x protocol.Finding) {
	t.Helper()
	p := x.Place
	file, ok := files[p.File]
	if !ok { // of a folder, of a file that is not there, or of the program's own library
		require.Zero(t, p.Line, "%+v", x)
		require.True(t, strings.HasPrefix(p.File, protocol.Folder) || strings.HasPrefix(p.File, protocol.BuiltIn), "%+v", x)
		return
	}
	if p.Line == 0 {
		require.Zero(t, p.Column, "%+v", x)
		return
	}
	lines := strings.Split(string(file.Data), "\n")
	require.LessOrEqual(t, p.Line, len(lines), "%+v", x)
	line := lines[p.Line-1]
	if p.Line < len(lines) { // at the end of the file it ends no line
		line = strings.TrimSuffix(line, "\r")
	}
	length := 0 // in characters as an editor counts: all bytes but those that continue one
	for i := range len(line) {
		if line[i]&0xC0 != 0x80 {
			length++
		}
	}
	require.True(t, 1 <= p.Column && p.Column <= length+1, "%+v of %d characters", x, length)
	require.True(t, p.Column < p.EndColumn && p.EndColumn <= length+2, "%+v of %d characters", x, length)
	if p.Text != "" {
		require.Equal(t, line, p.Text, "%+v", x)
	}
}
