package leaf_test

import (
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// told is a sentence of this test's own: a golden file of the layout need not
// change with the words of the steps.
func told(sentence string) protocol.Message { return words.Message("book.name", "farm", sentence) }

// The text of two sheets with three steps, of one mix and of several. "go test
// ./cmd/internal/leaf -update" writes them anew.
func TestSheetTextGolden(t *testing.T) {
	for _, n := range []int{12, 400} {
		t.Run(strconv.Itoa(n), func(t *testing.T) { sheetTextGolden(t, n) })
	}
}

func sheetTextGolden(t *testing.T, n int) {
	e, p, method := demo(t, "oyster-1100", n)
	p.Hazards = []procedure.Safety{
		{Signal: procedure.Notice, Text: told("A line up front about things.")},
		{Signal: procedure.Danger, Text: told("A line up front about the worst, that is long enough to go on in a second line of the list.")},
		{Signal: procedure.Danger, Text: told("Another.")},
	}
	row := p.Batch.Mix.Rows[0]
	p.Steps = []procedure.Step{
		{
			Number: 1, Station: work.Mixing, Role: work.SubstrateMaker, Title: told("Weigh"), When: told("Day 0"),
			Time: unit.Amount{Kind: unit.TimeOf, Value: 900},
			Safety: []procedure.Safety{
				{Signal: procedure.Caution, Text: told("Dust. It hurts lungs and eyes, so wear a mask and goggles and pour low and slow, always.")},
				{Signal: procedure.Caution, Text: told("Loads.")},
			},
			Amounts: []procedure.Amount{{What: told("pellets"), Amount: row.Scale.Amount(row.Mass), Remark: told("on the floor scale")}},
			Do:      []protocol.Message{told("Set a bin on the scale and press tare."), told("Weigh each row.")},
			Limit:   told("to the last figure"), Check: told("Read it twice."), IfOff: told("Weigh again."),
		},
		{
			Number: 2, Station: work.Mixing, Role: work.SubstrateMaker, Title: told("Mix"), When: told("right after weighing"),
			Do: []protocol.Message{told("Mix.")},
		},
		{
			Number: 3, Station: work.Sterilizing, Role: work.Operator, Title: told("Hold"), Critical: true,
			Limit: told("15.0\u00a0psi to 16.0\u00a0psi for at least 105\u00a0min without a dip, and never a minute less than that"),
			Do:    []protocol.Message{told("Hold.")},
			Front: told("15.0\u00a0psi to 16.0\u00a0psi for at least 105\u00a0min without a dip, and never a minute less than that"), FrontOf: told("Hold"),
		},
	}
	got, err := leaf.SheetText(e, p, method)
	require.NoError(t, err)
	checks.Golden(t, "testdata/sheet-oyster-"+strconv.Itoa(n)+".txt", got, *update)
}

func TestSheetTextFitsATerminal(t *testing.T) {
	for _, n := range []int{1, 12, 400, 100_000} {
		e, p, method := demo(t, "enoki-850", n)
		text, err := leaf.SheetText(e, p, method)
		require.NoError(t, err)
		for line := range strings.Lines(text) {
			line = strings.TrimSuffix(line, "\n")
			assert.LessOrEqual(t, utf8.RuneCountInString(line), leaf.Columns, line)
			assert.Equal(t, strings.TrimRight(line, " "), line)
			assert.NotContains(t, line, unit.Space)
			assert.NotContains(t, line, "<", "no markup in a terminal")
		}
		assert.NotContains(t, text, "\n\n\n", "no holes")
		for _, s := range p.Steps {
			title := strings.ReplaceAll(e.Voice.Say(s.Title), unit.Space, " ")
			assert.Contains(t, text, title)
		}
	}
}

// The text has what the page has: the same amounts.
func TestSheetTextHasTheAmountsOfThePage(t *testing.T) {
	e, p, method := demo(t, "enoki-850", 400)
	text, err := leaf.SheetText(e, p, method)
	require.NoError(t, err)
	page, err := leaf.Sheet(e, p, method)
	require.NoError(t, err)
	for _, r := range p.Batch.Mix.Rows {
		each := r.Scale.Amount(r.Mass).Show(e.Voice.Units())
		number, name, _ := strings.Cut(each, unit.Space)
		assert.Contains(t, text, number+" "+name)
		assert.Contains(t, string(page), `<span class="amount">`+number+`</span>&nbsp;<span class="unit">`+name+`</span>`)
	}
	assert.Contains(t, string(page), `<strong class="figure-of-size">400</strong>`)
}

// A page that stands on its own asks for no other file.
func TestLoneSheet(t *testing.T) {
	e, p, method := demo(t, "enoki-850", 48)
	page, err := leaf.LoneSheet(e, p, method)
	require.NoError(t, err)
	doc, err := html.Parse(strings.NewReader(string(page)))
	require.NoError(t, err)
	styles := 0
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		assert.NotContains(t, []string{"link", "script", "img"}, n.Data)
		if n.Data == "style" {
			styles++
			assert.NotRegexp(t, `url\("?(https?:|fonts/|/)`, n.FirstChild.Data)
		}
		for _, a := range n.Attr {
			if a.Key == "href" {
				assert.True(t, strings.HasPrefix(a.Val, "#"), a.Val)
			}
		}
	}
	assert.Equal(t, 2, styles)
	assert.Contains(t, string(page), "font-src data:")
}

// A number that nobody could account for stops the page.
func TestWorkingRefusesAQuantityFromNowhere(t *testing.T) {
	e, p, method := demo(t, "enoki-850", 12)
	p.Batch.Ledger.Given("vessels_out_of_thin_air", unit.CountOf, 3, working.Origin{})
	require.Panics(t, func() { _, _ = leaf.Working(e, p.Batch, method) }, "it has no words either")

	e, p, method = demo(t, "enoki-850", 12)
	_, err := leaf.Working(e, p.Batch, method)
	require.NoError(t, err)
	q := p.Batch.Ledger.Get("vessels")
	q.Origin = working.Origin{}
	_, err = leaf.Working(e, p.Batch, method)
	require.ErrorContains(t, err, "vessels has no law, no place and no source")
}

// A farm's name is text wherever it stands, and ends no string of the page rule.
func TestFarmNameIsText(t *testing.T) {
	e, p, method := demo(t, "enoki-850", 12)
	e.Farm.Name = `</title><script>x</script>"}`
	p.Batch.Process.Input.Protocol.Name = `a"}</style><script>`
	page, err := leaf.Sheet(e, p, method)
	require.NoError(t, err)
	doc, err := html.Parse(strings.NewReader(string(page)))
	require.NoError(t, err)
	for n := range doc.Descendants() {
		assert.NotEqual(t, "script", n.Data)
	}
	assert.Contains(t, string(page), `content:"a\22 \7d \3c \2f style\3e \3c script\3e `)
}

// Amounts in a sentence are set larger: those that the message carries, and no
// other digits.
func TestAmountsInSentencesStandOut(t *testing.T) {
	e, p, method := demo(t, "enoki-850", 12)
	p.Steps = []procedure.Step{{Number: 1, Station: work.Mixing, Role: work.Grower,
		Title: words.Message("record.runs", "sterilizer", "Steam 15",
			"low", unit.Amount{Kind: unit.GaugePressureOf, Value: 103421.36, Unit: "psi", Digits: 3},
			"high", unit.Amount{Kind: unit.GaugePressureOf, Value: 110316.1, Unit: "psi", Digits: 3},
			"vent", unit.Amount{Kind: unit.TimeOf, Value: 600}, "hold", unit.Amount{Kind: unit.TimeOf, Value: 5400}),
		When: words.Message("book.stages.co2")}}
	p.Steps[0].Do = append(p.Steps[0].Do, p.Steps[0].Title, words.Message("book.counts_in_the_open",
		"grow", 12, "controls", 2, "filled", 14, "vessels", "bottles"))
	page, err := leaf.Sheet(e, p, method)
	require.NoError(t, err)
	nb := unit.Space
	assert.Contains(t, string(page), `<li>Steam 15: gauge <strong class="amount">15`+nb+`psi</strong> to <strong class="amount">16`+nb+`psi</strong>, vent <strong class="amount">10`+nb+`min</strong>, hold <strong class="amount">90`+nb+`min</strong></li>`)
	assert.Contains(t, string(page), `<strong class="amount">2`+nb+`controls</strong>`)
	assert.Contains(t, string(page), `CO<sub>2</sub>, at most`)
	assert.NotContains(t, string(page), "₂", "the font does not have it")
}
