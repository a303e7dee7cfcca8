package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checker is where a checker that is no part of this repository lies; .ci/run
// installs both and says where. On a machine without one the test is skipped,
// in CI it fails.
func checker(t *testing.T, variable, what string) string {
	t.Helper()
	path := os.Getenv(variable)
	if path == "" {
		if os.Getenv("CI") != "" {
			t.Fatalf("this test needs %s, and in CI it may not be skipped: set %s", what, variable)
		}
		t.Skipf("%s is not set; .ci/run installs %s and sets it", variable, what)
	}
	return path
}

// violations runs the rules of axe-core over the page: WCAG 2.2 A and AA, and
// its best practices (landmarks, headings). It says rule, element and reason.
const violations = `(async () => {
	const found = await axe.run(document, {resultTypes: ['violations'],
		runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']});
	return found.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ': ' + n.failureSummary.replace(/\s+/g, ' ')));
})()`

// No page kind breaks a rule of accessibility that can be tested without a
// person (axe-core in headless Chromium): light on a wide window, dark on a phone, in
// both languages and in large type.
func TestPagesAreAccessible(t *testing.T) {
	axe, err := os.ReadFile(checker(t, "BOTTLECROP_AXE", "axe-core"))
	require.NoError(t, err)
	ctx := browser(t)
	var pages []shelved
	for _, page := range kinds {
		pages = append(pages, shelved{demoBook, page}, shelved{demoBook, "es/" + page}, shelved{largeBook, page})
	}
	for _, c := range []struct {
		scheme string
		width  int64
	}{{"light", 1280}, {"dark", 390}} {
		seenAs(t, ctx, "screen", "prefers-color-scheme: "+c.scheme)
		for _, p := range pages {
			name := opened(t, ctx, p.book(t), p.page, c.width) + ", " + c.scheme
			_, err := chromedp.Run(ctx, chromedp.Evaluate[any](string(axe)+"; true"))
			require.NoError(t, err, name)
			found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](violations, chromedp.EvalAwaitPromise))
			require.NoError(t, err, name)
			assert.Empty(t, found, name)
		}
	}
}

// The Nu HTML checker finds no error in any page of the book, in both of its languages,
// and in the same in large type. Its
// warnings are that a file:// page is not of its own origin, which browsers see
// otherwise, and that a list says it is one, which one browser needs.
func TestPagesAreValid(t *testing.T) {
	vnu := checker(t, "BOTTLECROP_VNU", "the Nu HTML checker")
	need(t, "java")
	for _, out := range []string{demoBook(t), largeBook(t)} {
		checked(t, vnu, out)
	}
}

func checked(t *testing.T, vnu, out string) {
	t.Helper()
	var said bytes.Buffer
	cmd := exec.CommandContext(t.Context(), "java", "-Xss2m", "-jar", vnu, "--format", "json", "--skip-non-html", "--exit-zero-always", out)
	cmd.Stderr = &said
	require.NoError(t, cmd.Run(), said.String())
	var found struct {
		Messages []struct {
			Type, URL, Message, Extract string
			LastLine                    int
		}
	}
	require.NoError(t, json.Unmarshal(said.Bytes(), &found), said.String())
	for _, m := range found.Messages {
		if m.Type == "error" {
			t.Errorf("%s:%d: %s: %s", strings.TrimPrefix(m.URL, "file:"+out+"/"), m.LastLine, m.Message, m.Extract)
		}
	}
}
