package procedure

import "bottlecrop/cmd/internal/work"

var finishing = []draft{
	{
		id: work.HarvestCrop, critical: true,
		when:   []line{{"when.fixed", fixed("fruiting")}},
		safety: []line{{"spores", nil}, {"knife", nil}, {"food", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.7", collared}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil},
		},
	},
	{
		id:     work.Empty,
		safety: []line{{"mold", nil}, {"spores", nil}, {"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", reusable}, {"do.2.bag", bag}, {"do.3", nil}, {"do.5", controls}, {"do.4", nil},
		},
		why: []line{{"why.bag", bag}},
	},
	{
		id:     work.Wash,
		safety: []line{{"alkali", detergent}, {"scald", hotWash}, {"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", detergent}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil},
		},
		limit: []line{{"limit.detergent", detergent}},
		check: []line{{"check.detergent", detergent}},
	},
	{
		id:     work.InspectVessel,
		safety: []line{{"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil},
		},
	},
}
