package site_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/site"
)

func pages(t *testing.T) map[string]string {
	t.Helper()
	names, err := fs.Glob(site.Pages, "*.md")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	out := map[string]string{}
	for _, name := range names {
		data, err := fs.ReadFile(site.Pages, name)
		require.NoError(t, err)
		out[name] = string(data)
	}
	return out
}

func TestPagesBeginWithTheirTitle(t *testing.T) {
	for name, text := range pages(t) {
		first, rest, _ := strings.Cut(text, "\n")
		assert.Regexp(t, `^# \S`, first, name)
		assert.NotContains(t, rest, "\n# ", "%s: one title a page", name)
	}
}

// ANSI Z535.6: a safety message has a signal word, and says the hazard, what it
// does to people (a notice: to things), and how to avoid it. That takes more than
// one sentence, and the last ones tell the reader to do something.
func TestSafetyMessagesHaveTheirParts(t *testing.T) {
	message := regexp.MustCompile(`^> \*\*(DANGER|WARNING|CAUTION|NOTICE)\*\* ([A-Z0-9].*[.])$`)
	people := map[string]*regexp.Regexp{
		"DANGER":  regexp.MustCompile(`(?i)\b(kills?|killed|die|death)\b`),
		"WARNING": regexp.MustCompile(`(?i)\b(kills?|killed|die|death|deadly|blind|burns?|burned|scalds?|lungs for life|poison|poisons|crush|tear off|break your arm|very ill)\b`),
		"CAUTION": regexp.MustCompile(`(?i)\b(hurts?|cut|scalded|break a bone)\b`),
		"NOTICE":  regexp.MustCompile(`(?i)\b(lost|unsterile)\b`),
	}
	avoid := regexp.MustCompile(`(?:^|[.;:,] |\band )(?i:never|do not|keep|use|wear|put|check|leave|stay|stand|read|let|move|sort|hold|heat|hang|burn|lift|load|fix|cut|clear|wipe|wash|pick|sterilize|always|add|tie|bleed|stop|switch|set|air|run|count)\b`)
	seen := map[string]int{}
	for name, text := range pages(t) {
		for _, line := range strings.Split(text, "\n") {
			if !strings.HasPrefix(line, ">") {
				assert.NotRegexp(t, `^\*\*(DANGER|WARNING|CAUTION|NOTICE)\*\*`, line, "%s: a safety message is a quote", name)
				continue
			}
			parts := message.FindStringSubmatch(line)
			if !assert.NotNil(t, parts, "%s: %s", name, line) {
				continue
			}
			signal, said := parts[1], parts[2]
			seen[signal]++
			assert.GreaterOrEqual(t, strings.Count(said, ". ")+1, 3, "%s: %s", name, line)
			assert.Regexp(t, people[signal], said, "%s: what does it do?", name)
			_, rest, _ := strings.Cut(said, ". ")
			assert.Regexp(t, avoid, rest, "%s: how is it avoided?", name)
			if signal == "NOTICE" {
				assert.NotRegexp(t, people["DANGER"], said, "%s: a notice is about things", name)
			}
		}
	}
	assert.Len(t, seen, 4, "all four words are used")
}

// A page of advice names where it is from, and what goes before it.
func TestPagesEndWithSourcesAndWhatGoesBeforeThem(t *testing.T) {
	for name, text := range pages(t) {
		_, sources, ok := strings.Cut(text, "\n## Sources\n")
		if !assert.True(t, ok, "%s has no sources", name) {
			continue
		}
		assert.NotContains(t, sources, "\n## ", "%s: the sources stand last", name)
		list, last, ok := strings.Cut(sources, "\n\n**")
		assert.True(t, ok, name)
		for _, item := range strings.Split(strings.TrimSpace(list), "\n") {
			assert.Regexp(t, `^- .*[.]$`, item, name)
		}
		assert.Regexp(t, `no source|the program's own`, list, "%s: what rests on no source says so", name)
		assert.True(t, strings.HasPrefix(last, "The maker's manual, local codes, and licensed practice win.** "), "%s: %s", name, last)
	}
}

// Headings go down one level at a time (WCAG 2.2, technique G141).
func TestHeadingsSkipNoLevel(t *testing.T) {
	heading := regexp.MustCompile(`(?m)^(#+) `)
	for name, text := range pages(t) {
		before := 0
		for _, h := range heading.FindAllStringSubmatch(text, -1) {
			level := len(h[1])
			assert.LessOrEqual(t, level, before+1, "%s: %s", name, h[0])
			before = level
		}
	}
}

// No brand: a capital inside a sentence belongs to a name, and the names are
// those of the sources, of places, of signal words and of pages of the book.
func TestNoNamesButThoseOfSources(t *testing.T) {
	known := map[string]bool{}
	for _, w := range strings.Fields(`I ANSI ISO ASME OSHA NIOSH HSE AIHA AIChE NFPA NIRMA ACGIH PNW USDA FDA CFR HEPA GHS GFCI RCD CO CO₂ C N
		PM73 PEL PP RH F L A N95 FFP2 FFP3 P2 P100 Z535.6 Z358.1 DANGER WARNING CAUTION NOTICE Danger Warning
		Iowa State University Cornell Environmental Health Safety Pacific Northwest Extension Complete Guide Home Canning Process Beacon Guidance Note
		United States Europe Australia New Zealand British January
		Dust Chemicals Clean Lifting Stale Electricity Working How When Search Index Start Stages Stop Heated Part PSI`) {
		known[w] = true
	}
	link := regexp.MustCompile(`\[([^]]*)\]\([^)]*\)`)
	signal := regexp.MustCompile(`^> \*\*[A-Z]+\*\* `)
	quoted := regexp.MustCompile(`“[^”]*”`)
	word := regexp.MustCompile(`[\p{L}][\p{L}\d.'’₂-]*`)
	for name, text := range pages(t) {
		assert.NotRegexp(t, `[®™]`, text, name)
		text, _, _ = strings.Cut(text, "\n## Sources\n")
		text = link.ReplaceAllString(quoted.ReplaceAllString(text, "“x”"), "x")
		for _, line := range strings.Split(text, "\n") {
			if strings.HasPrefix(line, "#") {
				continue
			}
			line = signal.ReplaceAllString(line, "")
			at := word.FindAllStringIndex(line, -1)
			for _, i := range at {
				w := strings.TrimRight(line[i[0]:i[1]], ".'’")
				w = strings.TrimSuffix(w, "'s")
				before := strings.TrimRight(line[:i[0]], " *_(“")
				starts := before == "" || strings.ContainsAny(before[len(before)-1:], ".!?:|>") || regexp.MustCompile(`^(-|\d+\.)$`).MatchString(strings.TrimSpace(before)) || strings.HasSuffix(before, "”")
				if starts || !regexp.MustCompile(`^\p{Lu}`).MatchString(w) || known[w] {
					continue
				}
				t.Errorf("%s: %q in %q: a name that is no source's", name, w, line)
			}
		}
	}
}

// The cautions of the sterilization reference, by the figure or the source
// that each of them rests on.
func TestPressureVesselPageCoversTheCautions(t *testing.T) {
	text := pages(t)["pressure-vessels.md"]
	for caution, signs := range map[string][]string{
		"deference":       {"manual of the vessel's maker", "licensed inspector", "rules where you live"},
		"pressure vessel": {"PM73", "ASME", "relief valve", "drum", "5 cubic feet", "gauge checked every year"},
		"opening":         {"Trust the vent, not the gauge", "Cornell", "force the vent"},
		"hot load":        {"at least 10 minutes", "OSHA", "sealed vessel", "closed shoes", "cold draft", "chipped"},
		"venting":         {"steady jet", "10 minutes", "PNW 421", "Air out the room"},
		"altitude":        {"names the altitude", "make up for altitude"},
		"dry run":         {"Do not add water", "inspected"},
		"power and gas":   {"left alone", "leakage protection", "carbon monoxide"},
		"lifting":         {"23 kg (51 lb)", "NIOSH", "15 kg (33 lb)", "Never carry hot racks"},
		"alcohol":         {"60 to 90 %", "17 to 27 °C", "5 gallons", "Never put alcohol in a sterilizer"},
		"failure":         {"start the whole hold again", "has a gap", "not a proof", "ISO 17665", "ISO 11138"},
	} {
		for _, sign := range signs {
			assert.Contains(t, text, sign, caution)
		}
	}
	// The order of work.
	at := 0
	for _, heading := range []string{"\n## Before", "\n## During", "\n## After", "\n## When something is wrong"} {
		next := strings.Index(text, heading)
		require.Greater(t, next, at, heading)
		at = next
	}
}
