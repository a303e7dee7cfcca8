package procedure

import "bottlecrop/cmd/internal/work"

// finishing is the work from the ripe crop to the vessel that is clean, or out
// of use.
var finishing = []draft{
	{
		id:     work.HarvestCrop,
		when:   []line{{"when.fixed", fixed("fruiting")}},
		safety: []line{{"spores", nil}, {"crate", heavyCrate}, {"noise", loud(work.Packing)}, {"floor", nil}},
		more:   []line{{"spores", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.5", nil}, {"do.7", collared}, {"do.3", nil}, {"do.4", nil}, {"do.6", nil},
		},
	},
	{
		id:     work.Trim,
		safety: append([]line{{"knife", nil}}, allergenCautions...),
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", allergic}, {"do.6", nil},
		},
	},
	{
		id: work.Chill, critical: true,
		safety: []line{{"airtight", nil}, {"food", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil},
		},
	},
	{
		id:     work.Release,
		safety: []line{{"law", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", allergic}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil},
		},
	},
	{
		id:     work.Empty,
		safety: []line{{"mold", nil}, {"spores", nil}, {"crate", heavyCrate}, {"noise", loud(work.Washing)}, {"glass", glass}},
		do: []line{
			{"do.0", nil}, {"do.1", nil}, {"do.2", reusable}, {"do.2.bag", bag}, {"do.3", nil}, {"do.5", controls}, {"do.4", nil},
		},
		why: []line{{"why.bag", bag}},
	},
	{
		id:     work.Wash,
		safety: []line{{"alkali", detergent}, {"wet-electrics", nil}, {"scald", hotWash}, {"floor", nil}, {"noise", loud(work.Washing)}, {"glass", glass}},
		do: []line{
			{"do.0", either(detergent, hotWash)}, {"do.1", nil}, {"do.2", nil}, {"do.3", detergent}, {"do.7", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil},
		},
		limit: []line{{"limit.detergent", detergent}},
		check: []line{{"check.detergent", detergent}},
		wrong: []line{{"wrong.detergent", detergent}},
	},
	{
		id:     work.InspectVessel,
		safety: []line{{"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.5", nil}, {"do.4", nil},
		},
	},
	{
		id:     work.Retire,
		safety: []line{{"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil},
		},
	},
}

// allergenCautions name what the substrate holds, wherever it is handled or may
// stay on the crop.
var allergenCautions = []line{
	{"soy", allergens("soy")}, {"wheat", allergens("wheat")}, {"gluten", allergens("gluten")},
	{"soy-wheat", allergens("soy", "wheat")}, {"soy-gluten", allergens("soy", "gluten")},
}

// allergic is true where the substrate holds something that makes people with
// an allergy ill.
var allergic = not(allergens())
