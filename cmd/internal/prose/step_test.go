package prose_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Prose is made ready with a mark for each fact and for the number of its step; no text
// of an author's makes anything that runs.
func TestInMarksFacts(t *testing.T) {
	ready := prose.In(words.English(unit.Metric))
	cold := leaf.FactMark(0)
	for text, want := range map[string]string{
		"At {cold}, **now**.":                                          "<p>At " + cold + ", <strong>now</strong>.</p>",
		"**{cold}** and {{braces}}":                                    "<p><strong>" + cold + "</strong> and {braces}</p>",
		"<script>alert(1)</script>\n\n<b>x</b> y":                      "<!-- raw HTML omitted -->\n<p><!-- raw HTML omitted -->x<!-- raw HTML omitted --> y</p>",
		"# One\n\n### Deep\n\n# Two":                                   "<h4>One</h4>\n<h5>Deep</h5>\n<h4>Two</h4>",
		"See ![a picture](x.png).":                                     "<p>See a picture.</p>",
		"[vessels](pressure-vessels.md#hold) [w](https://example.org)": `<p><a href="../guides/pressure-vessels.html#hold">vessels</a> <a href="https://example.org">w</a></p>`,
		"[x](javascript:alert(1)) [y](../a.md)":                        "<p>x y</p>",
	} {
		p := ready(text)
		assert.Equal(t, want, strings.TrimSpace(p.HTML), text)
		assert.Equal(t, p, ready(text), "the second time it is the same")
	}
	assert.Equal(t, "<p>vessels</p>", strings.TrimSpace(ready("[vessels](pressure-vessels.md)").Alone))
	assert.Contains(t, ready("| a | b |\n|---|---|\n| 1 | 2 |").HTML, `id="step-`+leaf.StepMark+`.table.1"`)
	assert.Equal(t, []string{"Head", "One line at " + cold + ".", "- first", "- second", "a | b", "1 | 2"},
		ready("# Head\n\nOne\nline at {cold}.\n\n- first\n- **second**\n\n| a | b |\n|---|---|\n| 1 | 2 |\n").Lines)
}

func TestFaults(t *testing.T) {
	isGuide := func(name string) bool { return name == "hygiene" }
	for text, want := range map[string][]prose.Fault{
		"[a](hygiene.md), [b](https://example.org), [c](mailto:a@example.org)": nil,
		"[a](hygien.md)":            {{"prose.link", "hygien.md"}},
		"[a](../hygiene.md)":        {{"prose.link", "../hygiene.md"}},
		"[a](/hygiene.md)":          {{"prose.link", "/hygiene.md"}},
		"[a](sheet-12.html)":        {{"prose.link", "sheet-12.html"}},
		"[a](javascript:x)":         {{"prose.link", "javascript:x"}},
		"[a](//example.org/x.md)":   {{"prose.link", "//example.org/x.md"}},
		"> **DANGER.** It can kill": {{"prose.caution", "DANGER"}},
		"A **warning** in words":    nil,
	} {
		assert.Equal(t, want, prose.Faults(text, isGuide), text)
	}
}
