package checks

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/stretchr/testify/require"
)

// Golden holds a text to that of a file, as Same does. With update, the flag of a
// package's test, the file is written anew instead: read what changed in it before you
// commit it.
func Golden(t testing.TB, file, got string, update bool) {
	t.Helper()
	if update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		return
	}
	if d := unified(file, Text(t, file), got); d != "" {
		t.Errorf("%s is not what came out; the flag -update writes it anew:\n%s", file, d)
	}
}

// Same fails a test where two texts differ, and shows the lines that do, with those
// around them: a unified diff from what is wanted to what came out. Letters that nobody
// sees stand as escapes in it.
func Same(t testing.TB, name, want, got string) {
	t.Helper()
	if d := unified(name, want, got); d != "" {
		t.Errorf("%s is not what came out:\n%s", name, d)
	}
}

// unified is the difference of two texts, empty where there is none.
func unified(name, want, got string) string {
	if want == got {
		return ""
	}
	return string(diff.Diff(name, visible(want), "what came out", visible(got)))
}

// visible writes what can't be seen as escapes, for two lines of a diff that look alike
// tell nothing.
func visible(text string) []byte {
	var b strings.Builder
	for _, r := range text {
		if strconv.IsPrint(r) || r == '\n' || r == '\t' {
			b.WriteRune(r)
		} else {
			quoted := strconv.QuoteRune(r)
			b.WriteString(quoted[1 : len(quoted)-1])
		}
	}
	return []byte(b.String())
}
