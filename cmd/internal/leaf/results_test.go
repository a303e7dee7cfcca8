package leaf

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// recorded is the record of the demo farm, with its batches changed.
func recorded(t *testing.T, change func(*protocol.Results)) (*results.Record, []Recipe) {
	t.Helper()
	folder := DemoFarm()
	in := results.Input{Farm: folder.Farm, Results: folder.Results, Processes: map[string]*process.Process{}}
	var recipes []Recipe
	for _, p := range folder.Protocols {
		plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		require.NoError(t, err)
		in.Processes[p.Name] = plan
		recipes = append(recipes, Recipe{Process: plan, Method: Method{Protocol: p.Name}})
	}
	change(&in.Results)
	r, err := results.Of(in)
	require.NoError(t, err)
	return r, recipes
}

func resultsPages(t *testing.T, change func(*protocol.Results)) (page, working string) {
	t.Helper()
	r, recipes := recorded(t, change)
	e := Edition{Voice: words.English(unit.Metric), Version: "1.2.3"}
	e.Farm.Paper, e.Farm.Name = "A4", "Farm"
	a, err := Results(e, r, recipes, true)
	require.NoError(t, err)
	b, err := ResultsWorking(e, r)
	require.NoError(t, err)
	return string(a), string(b)
}

func TestResultsPage(t *testing.T) {
	page, working := resultsPages(t, func(*protocol.Results) {})
	for _, want := range []string{
		"All protocols together", `<a href="enoki-850/index.html">Enoki in the 850 mL bottle</a>`, "10 batches emptied, 1 under way",
		"So small a clean batch proves almost nothing", "spawn lot S-32", "not weighed", "5: 26 of 160", "mean 2.2", "assumed 5", `<a href="trace.html">`,
		"lost = &#34;2.2 %&#34;", "Such a plan is weak. Of lots of 400 with 8 bad ones, the plan for 1", "passes 74",
		`<svg class="batches"`, "the limits are provisional",
	} {
		assert.Contains(t, strings.ReplaceAll(page, unit.Space, " "), want)
	}
	// Each figure leads to how it was worked out, and no anchor stands twice.
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(`id="([^"]+)"`).FindAllStringSubmatch(working, -1) {
		assert.False(t, ids[m[1]], m[1])
		ids[m[1]] = true
	}
	links := regexp.MustCompile(`href="results-working\.html#([^"]+)"`).FindAllStringSubmatch(page, -1)
	require.Greater(t, len(links), 15)
	for _, m := range links {
		assert.True(t, ids[m[1]], m[1])
	}
	for _, m := range regexp.MustCompile(`href="#(q-[^"]+)"`).FindAllStringSubmatch(working, -1) {
		assert.True(t, ids[m[1]], m[1])
	}
}

// A code on a card is anything: no page breaks of it, and none is taken for HTML.
func TestResultsOfOddCodes(t *testing.T) {
	page, working := resultsPages(t, func(r *protocol.Results) {
		r.Batches = r.Batches[:3]
		r.Batches[0].Code, r.Batches[1].Code = `<b>"1" & 2</b>`, "a b"
	})
	for _, s := range []string{page, working} {
		assert.NotContains(t, s, "<b>")
		assert.NotContains(t, s, `id="q-result-filled.a b"`)
	}
	assert.Contains(t, page, ">Mixed<", "a code without its day has the day beside it")
}

func TestDrawnBatchesHaveRoom(t *testing.T) {
	several := func(n int) func(*protocol.Results) {
		return func(r *protocol.Results) {
			r.Batches = nil
			for i := range n {
				b := protocol.Result{Code: fmt.Sprint("B-", i), Protocol: "enoki-850", Mixed: fmt.Sprintf("2026-%02d-%02d", 1+i/28%12, 1+i%28), Filled: 160, Emptied: "2027-05-01"}
				if lost := (i * 7) % 40; lost > 0 {
					b.Lost = []protocol.LostVessels{{Count: lost, At: "incubation", Why: "green"}}
				}
				r.Batches = append(r.Batches, b)
			}
		}
	}
	for name, change := range map[string]func(*protocol.Results){"demo": func(*protocol.Results) {}, "2": several(2), "25": several(25), "120": several(120)} {
		r, _ := recorded(t, change)
		e := Edition{Voice: words.English(unit.Metric)}
		for i := range r.Groups {
			p := e.batchesDrawn(&r.Groups[i])
			if p == nil {
				assert.Less(t, len(r.Groups[i].Done), 2, name)
				continue
			}
			assert.Empty(t, checks.Drawing(string(p.Drawings[0]), 13), "%s, %s", name, r.Groups[i].Name)
			assert.NotEmpty(t, p.Notice)
		}
	}
	r, _ := recorded(t, several(120))
	p := (Edition{Voice: words.English(unit.Metric)}).batchesDrawn(&r.Groups[0])
	assert.Contains(t, p.How, "The last 40 of 120 batches are drawn.")
}

// Batches of a protocol that the farm has no more, and a farm with none but those
// under way, have their page too.
func TestResultsWithoutAProtocol(t *testing.T) {
	page, _ := resultsPages(t, func(r *protocol.Results) {
		for i := range r.Batches {
			r.Batches[i].Protocol = "enoki-old"
		}
	})
	assert.Contains(t, page, "enoki-old")
	assert.Contains(t, page, "not known")
	page, _ = resultsPages(t, func(r *protocol.Results) {
		r.Batches = r.Batches[:2]
		for i := range r.Batches {
			r.Batches[i].Emptied = ""
		}
	})
	assert.Contains(t, page, "No batch is emptied yet")
}
