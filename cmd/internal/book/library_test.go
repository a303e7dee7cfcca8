package book_test

import (
	"maps"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// known lists the source and the status of every entry, by page and id.
func known(lib protocol.Library) map[string]map[string]protocol.Known {
	out := map[string]map[string]protocol.Known{
		leaf.SpeciesPath: {}, leaf.IngredientsPath: {}, leaf.VesselsPath: {}, leaf.SterilizersPath: {},
		leaf.TroubleEntriesPath: {},
	}
	for id, x := range lib.Species {
		out[leaf.SpeciesPath][id] = x.Known
	}
	for id, x := range lib.Ingredients {
		out[leaf.IngredientsPath][id] = x.Known
	}
	for id, x := range lib.Vessels {
		out[leaf.VesselsPath][id] = x.Known
	}
	for id, x := range lib.Sterilizers {
		out[leaf.SterilizersPath][id] = x.Known
	}
	for id, x := range lib.Troubles {
		out[leaf.TroubleEntriesPath][id] = x.Known
	}
	return out
}

// Every entry stands on the page of its kind with its id, its source, and what
// is from memory marked so.
func TestEveryEntryStandsOnItsPage(t *testing.T) {
	in := demo(t, unit.Metric)
	docs := demoPages(t, unit.Metric)
	entries := 0
	for page, list := range known(in.Library) {
		require.NotEmpty(t, list, page)
		for id, k := range list {
			entries++
			at := byID(docs[page], leaf.EntryAnchor(id))
			if !assert.NotNil(t, at, "%s: %s", page, id) {
				continue
			}
			said := plainText(at)
			assert.Contains(t, said, id)
			if in.Library.Species[id].StrainOf != "" {
				continue // only what differs
			}
			assert.Contains(t, strings.ToLower(said), strings.ToLower(flat(k.Source)), id)
			assert.Contains(t, strings.ToLower(said), strings.ToLower(flat(k.Status)), id)
			assert.Contains(t, said, flat(k.Notes), id)
		}
	}
	assert.Greater(t, entries, 50)
}

// No key of an entry is left out: whichever is changed, the page changes.
func TestEveryKeyOfAnEntryIsShown(t *testing.T) {
	in := demo(t, unit.Metric)
	var err error
	in.Edition, err = in.Edition.Ready()
	require.NoError(t, err)
	// An entry with every note that there may be.
	full := func(entry any) {
		v := reflect.ValueOf(entry).Elem()
		for _, key := range []string{"BulkNote", "CollarNote", "Notes"} {
			if f := v.FieldByName(key); f.IsValid() {
				f.SetString("A note of its own")
			}
		}
	}
	species, ingredient := in.Library.Species["enoki"], in.Library.Ingredients["wheat-bran"]
	vessel, sterilizer := in.Library.Vessels["bottle-850"], in.Library.Sterilizers["autoclave-small"]
	trouble := protocol.Trouble{
		ID: "odd", Title: "An odd one", Looks: "Odd.", SeenAt: []string{"pin"}, Decides: "grower", Safety: "mold", Prevent: "Do it right.",
		Applies: protocol.Applies{Species: []string{"enoki"}, Except: []string{"enoki"}, Where: []string{"bored"}},
		Known:   protocol.Known{Source: "Nobody", Status: "invented"},
	}
	cause := protocol.Cause{Cause: "A slip", Check: "Look.", Do: "Mend it.", Reads: []string{"pin-air"}, Applies: trouble.Applies}
	for _, entry := range []any{&species, &ingredient, &vessel, &sterilizer, &trouble} {
		full(entry)
	}
	rate := protocol.Respiration{Of: protocol.OfSpawnRun, Rate: 1e-8, At: unit.FromCelsius(21), Q10: 2.5, Source: "Nobody"}
	species.Respiration = []protocol.Respiration{rate}
	render := func() string {
		lib := protocol.Library{
			Species:     map[string]protocol.Species{"enoki": species},
			Ingredients: map[string]protocol.Ingredient{"wheat-bran": ingredient},
			Vessels:     map[string]protocol.Vessel{"bottle-850": vessel},
			Sterilizers: map[string]protocol.Sterilizer{"autoclave-small": sterilizer},
			Troubles:    map[string]protocol.Trouble{"odd": trouble},
		}
		odd := trouble // its causes are changed by themselves
		odd.Causes = []protocol.Cause{cause}
		lib.Troubles["odd"] = odd
		if len(species.Respiration) > 0 { // its keys are changed by themselves too
			breathing := species
			breathing.Respiration = []protocol.Respiration{rate}
			lib.Species["enoki"] = breathing
		}
		shelves, err := leaf.Library(in.Edition, lib, nil)
		require.NoError(t, err)
		var b strings.Builder
		for _, page := range []string{leaf.SpeciesPath, leaf.IngredientsPath, leaf.VesselsPath, leaf.SterilizersPath, leaf.TroubleEntriesPath} {
			b.Write(shelves[page])
		}
		return b.String()
	}
	plain := render()
	choice := map[string]string{
		"InBottles": "fair", "Collar": "optional", "Scrape": "never", "Opens": protocol.OpensGray, "Role": protocol.RoleBase, "CarbonBy": "definition",
		"MetalOf": "aluminum", "Form": "jar", "Of": protocol.OfMushrooms, "Material": "glass", "Decides": "picker", "Safety": "food",
	}
	keys := 0
	var change func(v reflect.Value, path string)
	change = func(v reflect.Value, path string) {
		for i := range v.NumField() {
			field, name := v.Field(i), v.Type().Field(i).Name
			switch {
			case name == "ID" || name == "StrainOf" || name == "Currency" || name == "Causes":
				continue // looked up by; tested by itself; the farm's own
			case field.Kind() == reflect.Struct:
				change(field, path+"."+name)
				continue
			}
			before := reflect.ValueOf(field.Interface())
			switch field.Kind() {
			case reflect.String:
				field.SetString("another text")
				if choice[name] != "" {
					field.SetString(choice[name])
				}
			case reflect.Bool:
				field.SetBool(!field.Bool())
			case reflect.Int:
				field.SetInt(field.Int() + 7)
			case reflect.Float64:
				field.SetFloat(field.Float()*1.5 + 0.01)
			case reflect.Pointer: // what was said is not said
				field.Set(reflect.Zero(field.Type()))
			case reflect.Slice:
				field.Set(reflect.Zero(field.Type()))
			default:
				require.Fail(t, "a kind of field that this test does not know", path+"."+name)
			}
			keys++
			assert.NotEqual(t, plain, render(), "%s.%s is not shown", path, name)
			field.Set(before)
		}
	}
	for _, entry := range []any{&species, &ingredient, &vessel, &sterilizer, &trouble, &cause, &rate} {
		v := reflect.ValueOf(entry).Elem()
		change(v, v.Type().Name())
	}
	assert.Equal(t, plain, render(), "all was put back")
	assert.Greater(t, keys, 80)
}

// A strain stands under its species, and shows only what differs.
func TestStrainsStandUnderTheirSpecies(t *testing.T) {
	in := demo(t, unit.Metric)
	doc := demoPages(t, unit.Metric)[leaf.SpeciesPath]
	strains := 0
	for id, s := range in.Library.Species {
		if s.StrainOf == "" {
			continue
		}
		strains++
		at, parent := byID(doc, leaf.EntryAnchor(id)), byID(doc, leaf.EntryAnchor(s.StrainOf))
		require.NotNil(t, at)
		require.NotNil(t, parent)
		within := false
		for n := at.Parent; n != nil; n = n.Parent {
			within = within || n == parent
		}
		assert.True(t, within, "%s stands elsewhere", id)
		mine, theirs := facts(at), facts(parent)
		assert.NotEmpty(t, mine, id)
		assert.Less(t, len(mine), len(theirs), id)
		of := in.Library.Species[s.StrainOf]
		_, shown := mine["Air, fruiting"]
		assert.Equal(t, s.FruitAir != of.FruitAir, shown, "%s: air", id)
		_, shown = mine["Collar"]
		assert.Equal(t, s.Collar != of.Collar || s.CollarNote != of.CollarNote, shown, "%s: collar", id)
		for name, value := range mine {
			assert.NotEqual(t, theirs[name], value, "%s: %s", id, name)
		}
	}
	assert.GreaterOrEqual(t, strains, 2)
}

// facts reads the figures of an entry; those of a strain within are not its.
func facts(entry *html.Node) map[string]string {
	out := map[string]string{}
	list := all(entry, class("facts"))
	if len(list) == 0 {
		return out
	}
	for _, d := range all(list[0], tag("div")) {
		out[text(all(d, tag("dt"))[0])] = text(all(d, tag("dd"))[0])
	}
	return out
}

// Figures are in the units of the farm's pages, and worked out here by hand.
func TestEntriesInUnitsOfThePage(t *testing.T) {
	for sys, want := range map[unit.System][][3]string{
		unit.Metric: {
			{leaf.SpeciesPath, "enoki", "Air, fruiting=5 to 12 °C"},
			{leaf.VesselsPath, "bottle-850", "Filled to the brim=850 mL"},
			{leaf.SterilizersPath, "autoclave-small", "Usual rated pressure, at most=275.8 kPa"}, // 40 psi · 6.894757 kPa
			{leaf.IngredientsPath, "wheat-bran", "Allergens=wheat, gluten"},
		},
		unit.US: {
			{leaf.SpeciesPath, "enoki", "Air, fruiting=41 to 53.6 °F"},         // 5 · 9/5 + 32, 12 · 9/5 + 32
			{leaf.VesselsPath, "bottle-850", "Filled to the brim=28.74 fl oz"}, // 850 mL / 29.5735 mL
			{leaf.SterilizersPath, "autoclave-small", "Usual rated pressure, at most=40 psi"},
		},
	} {
		docs := pages(t, renderedOnly(t, demo(t, sys), at(leaf.SpeciesPath, leaf.VesselsPath, leaf.SterilizersPath, leaf.IngredientsPath)))
		for _, w := range want {
			name, value, _ := strings.Cut(w[2], "=")
			entry := byID(docs[w[0]], leaf.EntryAnchor(w[1]))
			require.NotNil(t, entry, w[1])
			assert.Equal(t, value, flat(facts(entry)[name]), w[1])
		}
	}
}

// An entry links to the protocols that use it, and they to it; whose entry it
// is stands beside it.
func TestEntriesAndProtocolsLinkToEachOther(t *testing.T) {
	in := demo(t, unit.Metric)
	const unused = "coffee-grounds"
	in.Library.Entries = maps.Clone(in.Library.Entries)
	in.Library.Entries["ingredient."+unused] = working.Origin{Document: protocol.BuiltIn + "/ingredients.toml", Key: "ingredient[0]"}
	docs := pages(t, renderedOnly(t, in, func(path string) bool {
		return strings.HasSuffix(path, "/index.html") || strings.HasPrefix(path, "library/")
	}))
	uses := func(page, id string) map[string]bool {
		out := map[string]bool{}
		for _, a := range all(byID(docs[page], leaf.EntryAnchor(id)), tag("a")) {
			out[attr(a, "href")] = true
		}
		return out
	}
	for _, e := range in.Entries {
		p := e.Process
		entries := [][2]string{
			{leaf.SpeciesPath, p.Species.ID}, {leaf.VesselsPath, p.Vessel.ID}, {leaf.SterilizersPath, p.Model.ID},
		}
		for _, part := range p.Parts {
			entries = append(entries, [2]string{leaf.IngredientsPath, part.ID})
		}
		page := "../" + leaf.ProtocolPath(p.Input.Protocol.Name)
		there := map[string]bool{}
		for _, a := range all(docs[leaf.ProtocolPath(p.Input.Protocol.Name)], tag("a")) {
			there[attr(a, "href")] = true
		}
		for _, x := range entries {
			assert.True(t, uses(x[0], x[1])[page], "%s does not name %s", x[1], page)
			assert.True(t, there["../"+x[0]+"#"+leaf.EntryAnchor(x[1])], "%s does not link to %s", page, x[1])
		}
	}
	assert.Empty(t, uses(leaf.IngredientsPath, unused))
	assert.Contains(t, text(byID(docs[leaf.IngredientsPath], leaf.EntryAnchor(unused))), "Comes with the program")
	assert.Contains(t, text(byID(docs[leaf.VesselsPath], leaf.EntryAnchor("bottle-850"))), "In this farm's folder")
	assert.Contains(t, text(byID(docs[leaf.VesselsPath], leaf.EntryAnchor("bottle-850"))), "protocols/library/vessels.toml:")
}

// The pages to look things up in are found from every page.
func TestReferenceIsFoundFromEveryPage(t *testing.T) {
	in := demo(t, unit.Metric)
	docs := demoPages(t, unit.Metric)
	for name, doc := range docs {
		var there []string
		for _, a := range all(all(doc, tag("nav"))[0], tag("a")) {
			there = append(there, attr(a, "href"))
		}
		root := strings.Repeat("../", strings.Count(name, "/"))
		assert.Contains(t, there, root+leaf.LimitsPath, name)
		assert.Contains(t, there, root+leaf.HomePath+"#library", name)
		assert.Contains(t, there, root+leaf.SearchPath, name)
	}
	var home []string
	for _, a := range all(byID(docs[leaf.HomePath], "library").Parent.Parent, tag("a")) {
		home = append(home, attr(a, "href"))
	}
	assert.Equal(t, []string{leaf.SpeciesPath, leaf.IngredientsPath, leaf.VesselsPath, leaf.SterilizersPath, leaf.TroubleEntriesPath, leaf.LimitsPath, leaf.IndexPath}, home)

	// A farm without a single sound protocol has a library all the same.
	files, err := book.Render(book.Input{Edition: in.Edition, Library: in.Library})
	require.NoError(t, err)
	assert.NotEmpty(t, files)
}
