package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The house: each package with its floor. A package may import floors below
// its own, and those of its own floor that are listed for it. A package that
// is not in the list fails the test: decide on which floor it belongs.
var house = map[string]struct {
	floor int
	same  []string // packages of its own floor that it may import
	not   []string // packages of lower floors that it must not import
}{
	"unit":    {floor: 1},
	"working": {floor: 1, same: []string{"unit"}},
	"steam":   {floor: 1, same: []string{"unit", "working"}},
	"heat":    {floor: 1, same: []string{"unit", "working", "steam"}},
	"air":     {floor: 1, same: []string{"working"}},
	"chance":  {floor: 1},

	"vessel":     {floor: 2},
	"substrate":  {floor: 2},
	"sterilizer": {floor: 2},
	"lethality":  {floor: 2, not: []string{"steam", "heat"}},
	"spawn":      {floor: 2},
	"crop":       {floor: 2},
	"work":       {floor: 2},
	"cost":       {floor: 2},
	"formula":    {floor: 2},
	"run":        {floor: 2, same: []string{"lethality", "sterilizer", "vessel"}},
	"people":     {floor: 2, not: []string{"steam", "heat"}},
	"hygiene":    {floor: 2, not: []string{"steam", "heat"}},
	"room":       {floor: 2, not: []string{"steam", "heat"}},

	"protocol": {floor: 3, not: []string{"vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "cost", "run", "people", "room", "hygiene", "steam", "heat", "air", "chance"}},
	"limit":    {floor: 3, same: []string{"protocol"}},
	"farmfile": {floor: 3, same: []string{"protocol"}},

	"process":    {floor: 4, not: []string{"farmfile", "formula"}},
	"batch":      {floor: 4, same: []string{"process"}, not: []string{"farmfile", "formula"}},
	"design":     {floor: 4, same: []string{"process"}, not: []string{"farmfile"}},
	"stock":      {floor: 4, same: []string{"process", "batch"}, not: []string{"farmfile", "formula"}},
	"sanitation": {floor: 4, not: []string{"farmfile", "formula"}},
	"climate":    {floor: 4, same: []string{"process"}, not: []string{"farmfile", "formula"}},

	"words":     {floor: 5, not: []string{"farmfile"}},
	"procedure": {floor: 5, same: []string{"words"}, not: []string{"farmfile"}},
	"record":    {floor: 5, same: []string{"words", "procedure"}, not: []string{"farmfile", "formula"}},
	"review":    {floor: 5, same: []string{"words"}, not: []string{"farmfile"}},
	"calendar":  {floor: 5, not: []string{"farmfile"}},
	"results":   {floor: 5, same: []string{"words", "calendar"}, not: []string{"farmfile", "formula"}}, // it counts days, and says what counts show
	"season":    {floor: 5, same: []string{"calendar"}, not: []string{"farmfile"}},
	"change":    {floor: 5, same: []string{"words", "procedure"}, not: []string{"farmfile", "formula"}},
	"trace":     {floor: 5, same: []string{"words", "calendar"}, not: []string{"farmfile", "formula"}},

	"draw":  {floor: 6, not: []string{"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "review"}},
	"prose": {floor: 6, same: []string{"leaf"}, not: []string{"farmfile", "steam", "heat", "air", "chance", "run", "process", "batch"}},
	"leaf":  {floor: 6, same: []string{"draw"}, not: []string{"farmfile", "steam", "heat", "air", "chance", "run"}},
	"book":  {floor: 6, same: []string{"leaf", "prose", "binder", "rescale", "filing"}, not: []string{"farmfile", "steam", "heat", "air", "chance", "run"}},

	// It takes apart what leaf has set.
	"binder": {floor: 6, same: []string{"leaf"}, not: []string{"farmfile", "steam", "heat", "air", "chance", "run", "process", "batch", "procedure", "record", "protocol"}},

	// It works sheets out in a page, from what a book carries, and hands over what run has
	// solved: logs of probe runs are among it.
	"rescale": {floor: 6, same: []string{"leaf"}, not: []string{"farmfile", "steam", "air", "chance"}},

	// It puts files in their place.
	"filing": {floor: 6, not: []string{"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "design", "formula"}},

	// It prints pages that others made.
	"press": {floor: 6, same: []string{"filing"}, not: []string{"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "review"}},

	// It serves pages that others made, and watches a folder.
	"view": {floor: 6, not: []string{"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review"}},

	// It runs git, and knows of the farm that it has a folder.
	"history": {floor: 6, not: []string{"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "review"}},

	// It reads one state of a farm after another, and shows none of it.
	"versions": {floor: 6, same: []string{"history"}, not: []string{"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "limit", "process", "batch", "stock", "climate", "sanitation", "results", "words", "procedure", "record", "calendar", "season"}},

	// It reads what loggers wrote; what heat did to anything is not its business.
	"probe": {floor: 6, not: []string{"working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "limit", "farmfile", "process", "batch", "climate", "sanitation", "results", "trace", "procedure", "calendar", "season"}},

	// Support for tests; no program imports it.
	"checks": {floor: 1},
}

// forbidden lists outside packages that a floor must not know.
var forbidden = map[string][]string{
	"html/template":                          {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "probe"},
	"github.com/yuin/goldmark":               {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "leaf", "book", "probe"},
	"github.com/BurntSushi/toml":             {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "leaf", "book", "probe"},
	"github.com/go-playground/validator/v10": {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "leaf", "book", "probe"},
	"os":                                     {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "probe"},
	"os/exec":                                {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "leaf", "book", "probe"},
	// Where dates could leak in. The reader of files has to know a TOML date to
	// refuse it, so it may.
	"time":     {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "leaf", "probe"},
	"net/http": {"unit", "working", "steam", "heat", "air", "chance", "vessel", "substrate", "sterilizer", "lethality", "spawn", "crop", "work", "cost", "run", "people", "room", "hygiene", "protocol", "limit", "farmfile", "process", "batch", "stock", "climate", "sanitation", "results", "trace", "words", "procedure", "record", "calendar", "season", "change", "review", "draw", "leaf", "book", "probe"},
}

const internal = "bottlecrop/cmd/internal/"

// importsOf reads the imports of a package's files, those of tests left out.
func importsOf(t *testing.T, dir string) []string {
	var out []string
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, i := range parsed.Imports {
			out = append(out, strings.Trim(i.Path.Value, `"`))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func TestImportGraph(t *testing.T) {
	entries, err := os.ReadDir("../internal")
	require.NoError(t, err)
	for _, e := range entries {
		name := e.Name()
		room, known := house[name]
		if !assert.True(t, known, "package %s has no floor in the house", name) {
			continue
		}
		for _, path := range importsOf(t, filepath.Join("../internal", name)) {
			assert.NotContains(t, forbidden[path], name, "%s must not import %s", name, path)
			if strings.HasPrefix(path, "gonum.org/") {
				assert.Equal(t, "formula", name, "%s imports %s: optimization is of one package alone", name, path)
			}
			other, ok := strings.CutPrefix(path, internal)
			if !ok {
				continue
			}
			assert.NotContains(t, room.not, other, "%s must not know %s", name, other)
			assert.NotEqual(t, "checks", other, "%s imports the support of tests", name)
			floor := house[other].floor
			if floor == room.floor {
				assert.Contains(t, room.same, other, "%s must not know %s of its own floor", name, other)
			} else {
				assert.Less(t, floor, room.floor, "%s (floor %d) imports %s (floor %d)", name, room.floor, other, floor)
			}
		}
	}
	for name := range house {
		assert.DirExists(t, filepath.Join("../internal", name), "the house lists %s, which is not there", name)
	}
}

// The developers' guide shows the same house: each package on its floor, once.
func TestGuideShowsTheHouse(t *testing.T) {
	guide, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	told := map[string]int{}
	for _, row := range regexp.MustCompile(`(?m)^\| (\d) [a-z]+ \|([^|]*)\|`).FindAllStringSubmatch(string(guide), -1) {
		floor, err := strconv.Atoi(row[1])
		require.NoError(t, err)
		packages := regexp.MustCompile(`\([^)]*\)`).ReplaceAllString(row[2], "") // what they are for names others
		for _, name := range regexp.MustCompile("`([a-z]+)`").FindAllStringSubmatch(packages, -1) {
			assert.NotContains(t, told, name[1], "the guide shows %s twice", name[1])
			told[name[1]] = floor
		}
	}
	for name, room := range house {
		if name != "checks" { // the support of tests lives in no room
			assert.Equal(t, room.floor, told[name], "the guide shows %s on another floor, or on none", name)
		}
		delete(told, name)
	}
	assert.Empty(t, told, "the guide shows packages that are not there")
}

// Every package says in its first sentence what it is; a file holds one idea
// and stays short.
func TestHouseRules(t *testing.T) {
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == "out") {
			return fs.SkipDir
		}
		if filepath.Ext(path) != ".go" {
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		// Catalogs of words are lists, not code.
		if !strings.HasSuffix(path, "_en.go") {
			assert.LessOrEqual(t, strings.Count(string(text), "\n"), 600, "%s is too long", path)
		}
		return nil
	})
	require.NoError(t, err)
	dirs, err := filepath.Glob("../internal/*")
	require.NoError(t, err)
	for _, dir := range append(dirs, ".", "../../templates", "../../protocols", "../../site") {
		documented := false
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		for _, f := range files {
			parsed, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.PackageClauseOnly|parser.ParseComments)
			require.NoError(t, err)
			documented = documented || parsed.Doc != nil
		}
		assert.True(t, documented, "%s has no package comment", dir)
	}
}
