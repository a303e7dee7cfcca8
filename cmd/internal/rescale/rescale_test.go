package rescale

import (
	"bytes"
	"encoding/json"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

func session(t *testing.T, name string) *Session {
	t.Helper()
	s, err := Open(carriedDemo(t, name), "", 48)
	require.NoError(t, err)
	return s
}

// What is carried is the same however often it is made, and reads back as it was.
func TestCarriedIsCanonical(t *testing.T) {
	data := carriedDemo(t, "lions-mane-950")
	assert.True(t, bytes.Equal(data, carriedDemo(t, "lions-mane-950")))
	c, err := decode(data)
	require.NoError(t, err)
	again, err := c.Encode()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, again))
	assert.NotEmpty(t, c.Prose, "this protocol has prose")
	assert.Len(t, c.Library.Species, 1)

	var other map[string]any
	require.NoError(t, json.Unmarshal(data, &other))
	for _, key := range []string{"Format", "Calculation", "Run"} {
		was := other[key]
		other[key] = 1e6
		wrong, err := json.Marshal(other)
		require.NoError(t, err)
		_, err = decode(wrong)
		assert.ErrorIs(t, err, errMismatch, key)
		other[key] = was
	}
	_, err = decode([]byte("{"))
	assert.Error(t, err)
}

// An address says all that was asked, as short as it can be, and asks for the same again.
func TestFragments(t *testing.T) {
	s := session(t, "enoki-850")
	for asked, want := range map[string]string{
		"n=137":                             "n=137",
		"n=0137":                            "n=137",
		"good=yes&n=100":                    "good=100",
		"n=48&day=2026-12-01&from=start":    "n=48&start=2026-12-01",
		"n=48&day=2027-02-01&from=deliver":  "n=48&deliver=2027-02-01",
		"n=48&m.soy-hull=14.0":              "n=48&m.soy-hull=14",
		"n=48&m.soy-hull=100g%2F86g":        "n=48&m.soy-hull=14",
		"n=48&m.soy-hull=+14.25+%25":        "n=48&m.soy-hull=14.25",
		"n=1&short=soy-hull&have=12.40+kg":  "short.soy-hull=12.4kg",
		"n=48&air=96.40+kPa":                "n=48&air=96.4kPa",
		"n=48&air=850+m":                    "n=48&air=850m",
		"n=48&short=soy-hull&have=":         "n=48",
		"n=48&m.wheat-bran=9&m.soy-hull=10": "n=48&m.soy-hull=10&m.wheat-bran=9",
	} {
		fields, err := url.ParseQuery(asked)
		require.NoError(t, err)
		a, err := s.Work(fields)
		require.NoError(t, err)
		assert.Equal(t, want, a.Fragment, asked)
		again, err := s.Restore(a.Fragment)
		require.NoError(t, err)
		assert.Equal(t, a, withWorked(again, a.Worked), asked)
	}
}

// withWorked is an answer with as many runs solved: the second time they are remembered.
func withWorked(a Answer, n int) Answer { a.Worked = n; return a }

// Each number has a fingerprint of its own, and so has each other thing that is changed.
func TestMarks(t *testing.T) {
	s := session(t, "enoki-850")
	seen := map[string]string{}
	for _, asked := range []string{"n=48", "n=49", "good=48", "n=48&m.soy-hull=14", "n=48&start=2026-12-01", "n=48&deliver=2027-12-01", "short.soy-hull=12.4kg"} {
		a, err := s.Restore(asked)
		require.NoError(t, err)
		require.False(t, a.Refused, a.Said)
		m := regexp.MustCompile(`<dd class="fingerprint">(0123-abcd&#43;[0-9a-f]{4})</dd>`).FindStringSubmatch(a.Page)
		require.NotNil(t, m, asked)
		assert.Empty(t, seen[m[1]], "%s has the mark of another", asked)
		seen[m[1]] = asked
		record, err := s.Restore(asked + "&page=record")
		require.NoError(t, err)
		assert.Contains(t, record.Page, m[1], "all documents of it have one mark")
	}
}

// In other air the hold is never shorter and the gauge is the same; where the hold had to
// become longer, each case is worth at least what the approved run is. The sheet says that
// nobody has approved it.
func TestOtherAir(t *testing.T) {
	s := session(t, "enoki-850")
	approved := s.own.Input.Protocol.Sterilization
	last := 0.0
	for _, air := range []string{"98 kPa", "96.4 kPa", "94 kPa", "92 kPa", "86 kPa", "80 kPa"} {
		a := Asked{Vessels: 48, Air: tidy(air)}
		w, wrong := s.work(a)
		require.Nil(t, wrong, air)
		require.Empty(t, w.refused, air)
		p := w.batch.Process
		got := p.Input.Protocol.Sterilization
		assert.GreaterOrEqual(t, got.Hold, approved.Hold, air)
		assert.GreaterOrEqual(t, float64(got.Hold), last, "the thinner the air, the longer the hold: %s", air)
		last = float64(got.Hold)
		assert.Equal(t, approved.GaugePressure, got.GaugePressure)
		assert.Equal(t, approved.GaugeBand, got.GaugeBand)
		for _, name := range []string{"f0_quick", "f0_slow", "f0_collapsed"} {
			assert.GreaterOrEqual(t, p.Value(name), s.own.Value(name)*(1-1e-6), "%s in %s", name, air)
		}
		answer, err := s.Restore(a.fragment())
		require.NoError(t, err)
		assert.Contains(t, answer.Page, "NOT APPROVED")
		assert.Contains(t, answer.Page, "as measured here")
		for path := range answer.Links {
			assert.False(t, strings.HasPrefix(path, "working-"), "the working would say that the farm's file has this air")
		}
	}
	assert.Greater(t, last, float64(approved.Hold), "thin air takes longer")
	for _, nowhere := range []string{"20 kPa", "9000 m", "200 kPa"} {
		answer, err := s.Restore("n=48&air=" + url.QueryEscape(nowhere))
		require.NoError(t, err)
		assert.True(t, answer.Refused, nowhere)
		assert.Contains(t, answer.Page, "NOT WORKED OUT")
		assert.NotContains(t, answer.Page, `class="steps"`)
	}
	plain, err := s.Restore("n=48")
	require.NoError(t, err)
	assert.NotContains(t, plain.Page, "as measured here")
}

// As many vessels are made of what is short as there is enough for, and not one more.
func TestShort(t *testing.T) {
	s := session(t, "enoki-850")
	for _, have := range []float64{0.5, 3, 12.4, 60} {
		n, err := most(s.own, "soy-hull", unit.Mass(have))
		require.NoError(t, err)
		need := func(n int) float64 {
			w, wrong := s.work(Asked{Vessels: n})
			require.Nil(t, wrong)
			for _, row := range w.batch.Mix.Rows {
				if row.ID == "soy-hull" {
					return row.All
				}
			}
			t.Fatal("no row of it")
			return 0
		}
		if n > 0 {
			assert.LessOrEqual(t, need(n), have+1e-9, "%v kg", have)
		}
		assert.Greater(t, need(n+1), have, "%v kg", have)
	}
	a, err := s.Restore("short.soy-hull=0.001g")
	require.NoError(t, err)
	assert.True(t, a.Refused)
	assert.Contains(t, a.Said, "not enough for one vessel")
}

// Whatever stands in an address or a form, nothing in the page that comes of it runs, is
// fetched or leads anywhere; and an address that asks for more than a sheet has is refused.
func TestHostileInputsAreInert(t *testing.T) {
	s := session(t, "enoki-850")
	hostile := []string{
		`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `'"--></style><script>x</script>`, `javascript:alert(1)`, "\x00\x1b[31m", "\u202e",
		strings.Repeat("9", 5000), `{{say "x"}}`, `%3Cscript%3E`, `1e308`, `../../etc/passwd`, `-1`, `-1.5`, `0x10`, `١٢`,
	}
	look := func(a Answer, of string) {
		assert.True(t, a.Refused, "%.60q gives a sheet", of)
		assert.Empty(t, a.Fragment)
		doc, err := html.Parse(strings.NewReader(a.Page))
		require.NoError(t, err)
		scripts := 0
		for n := range doc.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			switch n.Data {
			case "script":
				scripts++
			case "img", "iframe", "object", "embed", "base":
				t.Fatalf("%.60q gives a <%s>", of, n.Data)
			}
			for _, x := range n.Attr {
				if strings.HasPrefix(x.Key, "on") || x.Key == "style" || x.Key == "href" && strings.HasPrefix(strings.ToLower(x.Val), "javascript:") {
					t.Fatalf("%.60q gives %s=%q", of, x.Key, x.Val)
				}
			}
		}
		assert.Equal(t, 1, scripts, "the book's own alone")
	}
	for _, text := range hostile {
		for _, name := range []string{"n", "day", "air", "m.soy-hull", "have", "m." + text, text} {
			fields := url.Values{"n": {"48"}, "short": {"soy-hull"}}
			fields.Set(name, text)
			a, err := s.Work(fields)
			require.NoError(t, err)
			if name == "n" && text != "" {
				fields.Del("short")
				a, err = s.Work(fields)
				require.NoError(t, err)
			}
			look(a, name+"="+text)
		}
		for _, fragment := range []string{"n=" + text, "n=48&page=" + url.QueryEscape(text), "n=48&start=" + text, "n=48&" + url.QueryEscape(text) + "=1", "short." + url.QueryEscape(text) + "=1kg", "n=48&m.soy-hull=" + url.QueryEscape(text+"<")} {
			a, err := s.Restore(fragment)
			require.NoError(t, err)
			look(a, fragment)
		}
	}
	for _, fragment := range []string{"n=48&n=49", "n=48&page=sheet-1", "n=48;air=1", "n=48&good=3&x", "page=record", "n=48&limits=none", "n=48&page=..%2Fx"} {
		a, err := s.Restore(fragment)
		require.NoError(t, err)
		look(a, fragment)
	}
}

// What check refuses is refused here, with the same finding.
func TestRefusesWhatTheLimitsRefuse(t *testing.T) {
	s := session(t, "enoki-850")
	a, err := s.Restore("n=48&m.soy-hull=90&m.hardwood-pellet=90")
	require.NoError(t, err)
	require.True(t, a.Refused)
	in := s.carried.input(s.edition.Voice)
	in.Measured = map[string]unit.WetShare{"soy-hull": 0.9, "hardwood-pellet": 0.9}
	p, err := s.plan(in, Asked{Moisture: map[string]string{"soy-hull": "90", "hardwood-pellet": "90"}})
	require.NoError(t, err)
	var refused int
	for _, f := range p.Findings {
		if f.Severity == protocol.Error {
			refused++
			assert.Contains(t, a.Page, html.EscapeString(s.edition.Voice.Sentence(f.What))[:30])
		}
	}
	assert.Positive(t, refused)
}
