package main

import (
	"fmt"
	"io/fs"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
)

// reach is what an author would have to write for a limit to speak.
type reach struct {
	before  []alteration // what the demo needs first, so as not to cross it as it is
	changes []alteration
	also    []string // other rules that the same changes cannot but cross
}

// alteration is one change to one file of the demo farm.
type alteration struct {
	file string
	make func(t *testing.T, src []byte) []byte
}

// reached is the protocol that is edited, and farmToml the farm around it.
const (
	reached   = "enoki-850"
	reachToml = "protocols/" + reached + ".toml"
	farmToml  = protocol.FarmDocument
)

// on, farm and library write one value into the protocol, the farm's file and
// an entry of the library.
func on(key string, value any) alteration     { return set(reachToml, key, value) }
func onFarm(key string, value any) alteration { return set(farmToml, key, value) }

func set(file, key string, value any) alteration {
	return alteration{file, func(t *testing.T, src []byte) []byte {
		out, err := farmfile.Set(src, key, value)
		require.NoError(t, err)
		return out
	}}
}

// in writes into the entry of a library file: "species enoki scrape".
func in(where string, value any) alteration {
	f := strings.Fields(where)
	kind, id, key := f[0], f[1], f[2]
	file := map[string]string{
		"species": "species", "ingredient": "ingredients", "vessel": "vessels", "sterilizer": "sterilizers",
	}[kind]
	return alteration{"protocols/library/" + file + ".toml", func(t *testing.T, src []byte) []byte {
		var tree map[string]any
		require.NoError(t, toml.Unmarshal(src, &tree))
		i := slices.IndexFunc(tree[kind].([]map[string]any), func(e map[string]any) bool { return e["id"] == id })
		require.GreaterOrEqual(t, i, 0, where)
		return set("", fmt.Sprintf("%s[%d].%s", kind, i, key), value).make(t, src)
	}}
}

// without takes a table with all its keys out of the protocol.
func without(table string) alteration {
	return alteration{reachToml, func(t *testing.T, src []byte) []byte {
		block := regexp.MustCompile(`(?ms)^\[{1,2}` + regexp.QuoteMeta(table) + `\]{1,2}\n.*?(^\[|\z)`)
		require.True(t, block.Match(src), table)
		for block.Match(src) {
			src = block.ReplaceAll(src, []byte("$1"))
		}
		return src
	}}
}

// mixOf replaces the ingredients of the protocol: "soy-hull 60 %".
func mixOf(parts ...string) []alteration {
	return []alteration{without("substrate.ingredient"), {reachToml, func(_ *testing.T, src []byte) []byte {
		for _, p := range parts {
			id, share, _ := strings.Cut(p, " ")
			src = fmt.Appendf(src, "\n[[substrate.ingredient]]\ningredient = %q\nshare_dm = %q\n", id, share)
		}
		return src
	}}}
}

// demoFiles are the TOML files of the demo farm, which is this repository, and the
// logs that they name; but its probe run is not accepted.
func demoFiles(t *testing.T) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	root := os.DirFS("../..")
	for _, pattern := range []string{"protocols/*.toml", "protocols/library/*.toml", "protocols/evidence/*"} {
		names, err := fs.Glob(root, pattern)
		require.NoError(t, err)
		for _, name := range names {
			src, err := fs.ReadFile(root, name)
			require.NoError(t, err)
			out[name] = &fstest.MapFile{Data: src}
		}
	}
	// What is assumed is judged where no probe run counts.
	unaccepted, err := farmfile.Set(out[farmToml].Data, "evidence[0].accepted", false)
	require.NoError(t, err)
	out[farmToml].Data = unaccepted
	return out
}

// crossed reads a farm and works out the protocol at the sizes that it names, as
// the program does; it returns the ids of all limits that are crossed.
//
// Planning the season takes longer than all else, so it is planned only where a row
// is about it.
func crossed(t *testing.T, files fstest.MapFS, season bool) []string {
	t.Helper()
	folder, found := farmfile.Read(files, nil)
	for _, f := range found {
		require.NotEqual(t, protocol.Error, f.Severity, "the files are refused before any limit: %s at %+v", f.Rule, f.Place)
	}
	i := slices.IndexFunc(folder.Protocols, func(p protocol.Protocol) bool { return p.Name == reached })
	require.GreaterOrEqual(t, i, 0)
	f := &farm{fsys: files, folder: folder}
	f.readEvidence()
	require.Empty(t, f.findings)
	p, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: folder.Protocols[i], Evidence: f.evidenceFor(folder.Protocols[i])})
	require.NoError(t, err)
	all := slices.Clone(p.Findings)
	for _, n := range folder.Protocols[i].BatchSizes {
		if protocol.Worst(p.Findings) == protocol.Error {
			break
		}
		b, err := batch.Compute(p, n)
		require.NoError(t, err)
		all = append(all, b.Own...)
	}
	all = append(all, sanitation.Findings(folder.Farm, []protocol.Species{p.Species})...)
	site := climate.NewSite(folder.Farm, folder.Library)
	all = append(all, climate.OfProtocol(site, p)...)
	if protocol.Worst(all) < protocol.Error {
		all = append(all, climate.Findings(site, []*process.Process{p})...)
		if season {
			all = append(all, seasonFindings(t, folder, p)...)
		}
	}
	seen := map[string]bool{}
	for _, f := range all {
		seen[f.Rule] = true
	}
	return slices.Sorted(maps.Keys(seen))
}

// changing are the files with changes, none of which may change nothing.
func changing(t *testing.T, files fstest.MapFS, list []alteration) fstest.MapFS {
	t.Helper()
	out := maps.Clone(files)
	for _, c := range list {
		before := out[c.file].Data
		after := c.make(t, before)
		require.NotEqual(t, string(before), string(after), "a change that changes nothing")
		out[c.file] = &fstest.MapFile{Data: after}
	}
	return out
}

// A limit that nobody can cross by writing a file protects nobody. Every row of
// the table is crossed by a small change to the demo farm, alone or with those
// that the same change cannot but cross; and the farm as it is does not cross
// it, or would not with what the entry has made before. A new row without an
// entry fails.
func TestEveryLimitCanBeCrossed(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	files := demoFiles(t)
	calms := map[bool][]string{}
	for _, season := range []bool{false, true} {
		calms[season] = append([]string{""}, crossed(t, files, season)...)
	}
	for _, row := range limit.All() {
		assert.Contains(t, reaches, row.ID, "say in reach_table_test.go how a farm's files cross it; a limit that none can cross is to be deleted")
	}
	for _, row := range checks.Every(7, limit.All()) {
		t.Run(row.ID, func(t *testing.T) {
			season := strings.HasPrefix(row.ID, "season.")
			r := reaches[row.ID]
			from, calm := files, calms[season]
			if len(r.before) > 0 {
				require.Contains(t, calm, row.ID, "the demo does not cross it as it is: nothing need be made before")
				from = changing(t, files, r.before)
				calm = crossed(t, from, season)
			}
			require.NotContains(t, calm, row.ID, "the demo crosses it as it is")
			changed := changing(t, from, r.changes)
			got := slices.DeleteFunc(crossed(t, changed, season), func(rule string) bool { return slices.Contains(calm, rule) })
			assert.ElementsMatch(t, append([]string{row.ID}, r.also...), got)
		})
	}
	for id := range reaches {
		assert.True(t, slices.ContainsFunc(limit.All(), func(l limit.Limit) bool { return l.ID == id }), "%s is no limit", id)
	}
}
